import { part } from './print.ts';
import { Sheet } from './sheet.ts';
import type { Drawing } from './sheet.ts';
import { capacitor, chassis, currentArrow, diodeBack, fuse, ground, net, resistor, schottkyBack, transistorLying, transistorStanding, zenerBack } from './symbols.ts';
import { DRAIN } from './values.ts';

const ohm = (value: number): string => part(value, 'Ω');
const RAIL_Y = 330;

/** Shunt with its two sense leads, filter and monitor. */
function shuntAndMonitor(sheet: Sheet, x: number, names: { shunt: string; value: number; left: string; right: string; filter: string; chip: string; address: string }): void {
  resistor(sheet, [x, RAIL_Y], 'right', [`${names.shunt} ${ohm(names.value)}`], 'below');
  const taps: readonly (readonly [number, string, 'left' | 'right'])[] = [[x - 20, names.left, 'left'], [x + 80, names.right, 'right']];
  for (const [tap, name, side] of taps) {
    sheet.dot([tap, RAIL_Y]);
    sheet.wire([tap, RAIL_Y], [tap, RAIL_Y + 20]);
    resistor(sheet, [tap, RAIL_Y + 20], 'down', [name, ohm(DRAIN.r20Ohm)], side);
    sheet.wire([tap, RAIL_Y + 80], [tap, RAIL_Y + 150]);
    sheet.dot([tap, RAIL_Y + 110]);
  }
  sheet.wire([x - 20, RAIL_Y + 110], [x, RAIL_Y + 110]);
  capacitor(sheet, [x, RAIL_Y + 110], 'right', [names.filter], 'above');
  sheet.wire([x + 60, RAIL_Y + 110], [x + 80, RAIL_Y + 110]);
  sheet.text([x - 10, RAIL_Y + 145], 'IN−');
  sheet.text([x + 70, RAIL_Y + 145], 'IN+', { anchor: 'end' });
  sheet.box(x - 50, RAIL_Y + 150, 160, 90, [`${names.chip} INA226`, names.address]);
}

function bypass(sheet: Sheet): void {
  const left = 540;
  const right = 740;
  for (const x of [left, right]) {
    sheet.dot([x, RAIL_Y]);
    sheet.wire([x, RAIL_Y], [x, 220]);
    sheet.dot([x, 280]);
  }
  sheet.wire([left, 280], [610, 280]);
  diodeBack(sheet, [610, 280], 'right', []);
  sheet.text([640, 304], 'D1 10A10', { anchor: 'middle' });
  sheet.wire([670, 280], [right, 280]);
  sheet.wire([left, 220], [610, 220]);
  const q1 = transistorLying(sheet, [610, 220]);
  sheet.wire(q1.drain, [right, 220]);
  sheet.text([640, 242], 'Q1 IRLB3036', { anchor: 'middle' });
  sheet.wire(q1.gate, [640, 130]);
  sheet.dot([640, 130]);
  // zener from the gate to the source
  sheet.wire([640, 130], [480, 130], [480, 150]);
  zenerBack(sheet, [480, 150], 'down', ['DZ1', `${DRAIN.zenerV} V`], 'left');
  sheet.wire([480, 210], [480, RAIL_Y]);
  sheet.dot([480, RAIL_Y]);
  // what holds it closed
  sheet.wire([640, 130], [800, 130]);
  sheet.dot([800, 130]);
  sheet.wire([800, 130], [820, 130]);
  resistor(sheet, [820, 130], 'right', [`R10 ${ohm(DRAIN.r10Ohm)}`]);
  sheet.wire([880, 130], [920, 130]);
  diodeBack(sheet, [920, 130], 'right', ['D3 1N4148']);
  net(sheet, [980, 130], 'P (battery)', 'right');
  sheet.wire([800, 130], [800, 190]);
  sheet.dot([800, 190]);
  sheet.wire([800, 190], [820, 190]);
  resistor(sheet, [820, 190], 'right', [`R11 ${ohm(DRAIN.r11Ohm)}`]);
  sheet.wire([880, 190], [920, 190]);
  schottkyBack(sheet, [920, 190], 'right', ['D4 BAT85']);
  net(sheet, [980, 190], '5 V', 'right');
  // what opens it
  sheet.wire([800, 190], [800, 220]);
  const q2 = transistorStanding(sheet, [800, 220]);
  sheet.text([790, 255], 'Q2', { anchor: 'end' });
  ground(sheet, q2.source);
  sheet.wire(q2.gate, [880, 250]);
  sheet.dot([860, 250]);
  ground(sheet, resistor(sheet, [860, 250], 'down', []));
  sheet.text([876, 296], `R12 ${ohm(DRAIN.r12Ohm)}`);
  resistor(sheet, [880, 250], 'right', [`R13 ${ohm(DRAIN.r13Ohm)}`]);
  net(sheet, [940, 250], 'D6: high opens', 'right');
}

function busLead(sheet: Sheet): void {
  const y = 700;
  sheet.terminal([60, y]);
  sheet.text([24, y - 14], 'battery plus');
  sheet.wire([65, y], [130, y]);
  fuse(sheet, [130, y], 'right', [`F2 ${DRAIN.f2A} A`, 'at the clip'], 'below');
  sheet.wire([190, y], [220, y]);
  resistor(sheet, [220, y], 'right', [`R24 ${ohm(DRAIN.r24Ohm)} ${DRAIN.r24W} W`]);
  sheet.wire([280, y], [420, y]);
  sheet.dot([340, y]);
  ground(sheet, zenerBack(sheet, [340, y], 'down', ['DZ2', 'P6KE33A']));
  sheet.dot([390, y]);
  sheet.wire([390, y], [390, y - 30]);
  sheet.text([390, y - 36], 'P', { anchor: 'middle', bold: true });
  resistor(sheet, [420, y], 'right', [`R25 ${ohm(DRAIN.r25Ohm)}`]);
  sheet.wire([480, y], [520, y], [520, 545]);
  sheet.dot([520, y]);
  ground(sheet, capacitor(sheet, [520, y], 'down', ['C12', part(DRAIN.c12F, 'F')]));
  sheet.wire([310, 545], [560, 545]);
  sheet.dot([520, 545]);
  sheet.text([318, 538], 'VBUS');
}

export function drawDrain(): Drawing {
  const sheet = new Sheet(1240, 840, 'Drain logger: two shunts in the minus lead, and a bypass that stays closed by itself');
  // the path of the current
  sheet.terminal([60, RAIL_Y]);
  sheet.text([72, RAIL_Y - 34], 'battery');
  sheet.text([72, RAIL_Y - 16], 'minus post');
  sheet.wire([65, RAIL_Y], [200, RAIL_Y]);
  shuntAndMonitor(sheet, 200, { shunt: 'RS1', value: DRAIN.coarseOhm, left: 'R20', right: 'R21', filter: `C10 ${part(DRAIN.c10F, 'F')}`, chip: 'IC1', address: '0x40' });
  sheet.wire([260, RAIL_Y], [610, RAIL_Y]);
  shuntAndMonitor(sheet, 610, { shunt: 'RS2', value: DRAIN.fineOhm, left: 'R22', right: 'R23', filter: `C11 ${part(DRAIN.c10F, 'F')}`, chip: 'IC2', address: '0x41' });
  sheet.wire([670, RAIL_Y], [960, RAIL_Y]);
  fuse(sheet, [960, RAIL_Y], 'right', [`F1 ${DRAIN.f1A} A`], 'below');
  sheet.wire([1020, RAIL_Y], [1120, RAIL_Y]);
  currentArrow(sheet, [440, RAIL_Y - 14], 'left', 'I counts +');
  sheet.terminal([1125, RAIL_Y]);
  sheet.text([1138, RAIL_Y - 14], 'minus cable');
  sheet.wire([1130, RAIL_Y], [1180, RAIL_Y], [1180, RAIL_Y + 20]);
  chassis(sheet, [1180, RAIL_Y + 20]);
  sheet.text([1180, RAIL_Y + 52], 'body', { anchor: 'middle' });
  // jumper
  sheet.dashed([60, RAIL_Y - 5], [60, 76], [1125, 76], [1125, RAIL_Y - 5]);
  sheet.text([590, 68], `jumper 16 mm² with F4 ${DRAIN.f4A} A across everything, F1 too, until the vehicle sleeps`, { anchor: 'middle', bold: true });
  // ground of the logger
  sheet.dot([105, RAIL_Y]);
  sheet.wire([105, RAIL_Y], [105, RAIL_Y + 20]);
  fuse(sheet, [105, RAIL_Y + 20], 'down', [`F3 ${DRAIN.f3A} A`], 'left');
  ground(sheet, [105, RAIL_Y + 80]);
  bypass(sheet);
  busLead(sheet);
  // board
  sheet.box(860, 440, 170, 300, []);
  sheet.text([945, 470], 'A1 ATmega328P', { anchor: 'middle', bold: true });
  for (const [y, name] of [[510, 'A4 SDA'], [550, 'A5 SCL'], [590, 'D6'], [630, 'D2, D4, D5: as motor'], [670, '5 V'], [710, 'GND']] as const) sheet.text([872, y + 5], name);
  sheet.wire([830, 510], [860, 510]);
  sheet.wire([830, 550], [860, 550]);
  net(sheet, [830, 510], 'SDA', 'left');
  net(sheet, [830, 550], 'SCL', 'left');
  sheet.wire([830, 590], [860, 590]);
  net(sheet, [830, 590], 'D6', 'left');
  sheet.wire([860, 710], [830, 710], [830, 730]);
  ground(sheet, [830, 730]);
  sheet.text([230, 562], 'SDA, SCL, 5 V, GND', { anchor: 'middle' });
  sheet.text([640, 562], 'SDA, SCL, 5 V, GND', { anchor: 'middle' });
  sheet.wire([1030, 590], [1070, 590]);
  sheet.box(1070, 540, 130, 100, ['A2 isolator', 'full speed and', 'its own 5 V'], true);
  sheet.wire([1135, 640], [1135, 690]);
  sheet.box(1070, 690, 130, 60, ['computer', 'USB']);
  sheet.text([600, 640], `R14, R15 ${ohm(DRAIN.r14Ohm)}: SDA, SCL to 5 V`, { muted: true });
  sheet.text([600, 662], 'C13, C14 100 nF at IC1 and IC2', { muted: true });
  sheet.text([24, 822], 'Triangles: the logger\'s own ground. Nothing else may join it to the vehicle body: it would bridge the shunts. Places with one name are joined.', { muted: true });
  return { sheet, description: 'From the battery\'s minus post the current path goes through the coarse shunt, the fine shunt with bypass transistor and rectifier across it, and a fuse of 10 ampere to the minus cable. A jumper lies across all of it. The transistor\'s gate is held by the battery through a resistor and a zener, and by the 5 volt; only a high D6 pulls it down. The plus lead has a fuse of 1 ampere at its clip, then 1 kiloohm, then the suppressor, then 220 ohm to the bus pins.' };
}
