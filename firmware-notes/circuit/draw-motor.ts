import { part } from './print.ts';
import { Sheet } from './sheet.ts';
import { battery, capacitor, chassis, contact, currentArrow, fuse, ground, motor, rail, resistor, schottkyBack } from './symbols.ts';
import { MOTOR } from './values.ts';
import type { Drawing, Point } from './sheet.ts';

const ohm = (value: number): string => part(value, 'Ω');
const farad = (value: number): string => part(value, 'F');

/** Clamp pair at a node: one diode to 5 V above it, one to ground below. */
function clampPair(sheet: Sheet, [x, y]: Point, name: string): void {
  sheet.dot([x, y]);
  schottkyBack(sheet, [x, y - 60], 'down', [name, 'BAS70-04'], 'left');
  rail(sheet, [x, y - 60], '5 V');
  schottkyBack(sheet, [x, y], 'down', []);
  ground(sheet, [x, y + 60]);
}

function toGround(sheet: Sheet, at: Point, draw: typeof resistor, lines: readonly string[]): void {
  sheet.dot(at);
  ground(sheet, draw(sheet, at, 'down', lines));
}

function feed(sheet: Sheet): void {
  battery(sheet, [90, 200]);
  sheet.wire([90, 120], [90, 200]);
  sheet.wire([90, 120], [140, 120]);
  fuse(sheet, [140, 120], 'right', [`F1, ${MOTOR.f1A} A at most`]);
  sheet.wire([200, 120], [380, 120]);
  sheet.text([290, 108], '4 mm²', { anchor: 'middle' });
  sheet.box(380, 80, 150, 90, ['U1 ACS712']);
  sheet.text([388, 125], 'IP+');
  sheet.text([522, 125], 'IP−', { anchor: 'end' });
  sheet.wire([530, 120], [760, 120]);
  currentArrow(sheet, [560, 104], 'right', 'I counts +');
  contact(sheet, [760, 120], 'right', ['switch of the circuit']);
  sheet.wire([820, 120], [1120, 120], [1120, 140]);
  motor(sheet, [1120, 140]);
  sheet.wire([1120, 200], [1120, 220]);
  chassis(sheet, [1120, 220]);
  sheet.wire([90, 260], [90, 640]);
  sheet.dot([90, 290]);
  sheet.wire([90, 290], [50, 290], [50, 310]);
  chassis(sheet, [50, 310]);
  sheet.text([24, 345], 'body');
}

function currentInput(sheet: Sheet): void {
  sheet.text([440, 162], 'OUT', { anchor: 'middle' });
  sheet.text([400, 162], '5 V', { anchor: 'middle' });
  sheet.text([505, 162], 'GND', { anchor: 'middle' });
  sheet.wire([505, 170], [505, 190]);
  ground(sheet, [505, 190]);
  sheet.wire([440, 170], [440, 260]);
  toGround(sheet, [440, 260], resistor, ['R1', ohm(MOTOR.r1Ohm)]);
  sheet.wire([440, 260], [480, 260]);
  resistor(sheet, [480, 260], 'right', [`R2 ${ohm(MOTOR.r2Ohm)}`]);
  sheet.wire([540, 260], [760, 260]);
  toGround(sheet, [590, 260], capacitor, ['C3', farad(MOTOR.c3F)]);
  clampPair(sheet, [690, 260], 'D1');
  resistor(sheet, [760, 260], 'right', [`R3 ${ohm(MOTOR.r3Ohm)}`]);
  sheet.wire([820, 260], [880, 260]);
}

function voltageInput(sheet: Sheet): void {
  sheet.dot([290, 120]);
  sheet.wire([290, 120], [290, 200]);
  fuse(sheet, [290, 200], 'down', [`F2 ${MOTOR.f2A} A`, 'at the clip']);
  sheet.wire([290, 260], [290, 330]);
  resistor(sheet, [290, 330], 'down', [`R4 ${ohm(MOTOR.r4Ohm)}`]);
  resistor(sheet, [290, 390], 'down', [`R5 ${ohm(MOTOR.r5Ohm)}`]);
  toGround(sheet, [290, 450], resistor, [`R6 ${ohm(MOTOR.r6Ohm)}`]);
  sheet.wire([290, 450], [760, 450]);
  toGround(sheet, [470, 450], capacitor, ['C4', farad(MOTOR.c4F)]);
  clampPair(sheet, [690, 450], 'D2');
  resistor(sheet, [760, 450], 'right', [`R7 ${ohm(MOTOR.r7Ohm)}`]);
  sheet.wire([820, 450], [880, 450]);
}

function groundLead(sheet: Sheet): void {
  sheet.wire([90, 640], [150, 640]);
  fuse(sheet, [150, 640], 'right', [`F3 ${MOTOR.f2A} A at the clip`]);
  sheet.wire([210, 640], [880, 640]);
  sheet.dot([290, 640]);
  sheet.wire([290, 640], [290, 660]);
  ground(sheet, [290, 660]);
}

function boardAndComputer(sheet: Sheet): void {
  sheet.box(880, 230, 140, 430, []);
  sheet.text([890, 265], 'A0 current');
  sheet.text([890, 455], 'A1 volts');
  sheet.text([890, 555], 'D2 mark');
  sheet.text([890, 645], 'GND');
  sheet.text([950, 320], 'A1', { anchor: 'middle', bold: true });
  sheet.text([950, 340], 'ATmega328P', { anchor: 'middle' });
  sheet.text([950, 360], '16 MHz, 5 V', { anchor: 'middle' });
  sheet.text([890, 590], 'D4, D5: JP1, JP2');
  ground(sheet, [700, 570]);
  sheet.wire([700, 570], [700, 550], [720, 550]);
  contact(sheet, [720, 550], 'right', ['S1'], 'below');
  resistor(sheet, [780, 550], 'right', [`R8 ${ohm(MOTOR.r8Ohm)}`]);
  sheet.wire([840, 550], [880, 550]);
  sheet.wire([1020, 450], [1050, 450]);
  sheet.box(1050, 400, 110, 110, ['A2 isolator', 'full speed', 'and its own', '5 V'], true);
  sheet.wire([1105, 510], [1105, 560]);
  sheet.box(1050, 560, 110, 60, ['computer', 'USB']);
}

export function drawMotor(): Drawing {
  const sheet = new Sheet(1180, 760, 'Motor logger: a Hall sensor in the circuit, volts beside it');
  feed(sheet);
  currentInput(sheet);
  voltageInput(sheet);
  groundLead(sheet);
  boardAndComputer(sheet);
  sheet.text([24, 705], `Triangles: the logger's own ground, joined to battery minus by one 0.5 mm² wire. C1 ${farad(MOTOR.c1F)} at U1's 5 V, C2 ${farad(MOTOR.c2F)} at its filter pin;`, { muted: true });
  sheet.text([24, 727], `C5 ${farad(MOTOR.c5F)} and C6 ${farad(MOTOR.c6F)} between 5 V and ground at the board. R2, C4: values for 1 Mbaud. Strokes on a bar: vehicle body.`, { muted: true });
  return { sheet, description: 'The feed goes from the battery through fuse F1 and the Hall sensor to the circuit. Volts are taken before the sensor through fuse F2 and two resistors in series. Both inputs have a filter, a pair of clamp diodes and a resistor before the pin. The ground lead has fuse F3.' };
}
