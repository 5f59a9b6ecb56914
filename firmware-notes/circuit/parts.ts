import { part } from './print.ts';
import { CLAMP, DRAIN, MOTOR, SPEEDS } from './values.ts';

/** What must be bought: references as in the drawings, quantity, type with a number to order by, and why. */
type Row = readonly [references: string, quantity: string, type: string, why: string];

const ohm = (value: number): string => part(value, 'Ω');
const farad = (value: number): string => part(value, 'F');
const bySpeed = (values: readonly string[]): string => SPEEDS.map((speed, i) => `${values[i]} for ${speed.baud}`).join(', ');

export const BOARD_PARTS: readonly Row[] = [
  ['A1', '1', 'board with ATmega328P, 16 MHz crystal or resonator, 5 V, USB bridge good for 1 Mbaud', 'the committed images fit; the board carries its own decoupling and the 100 nF at AREF'],
  ['A2', '1', 'USB isolator, full speed, 2.5 kV, with an isolated and regulated 5 V supply of 200 mA or more', 'see grounding; its 5 V is the only supply of the logger. Unregulated ones reach 6 V without load, which destroys the board'],
  ['C5, C6', '1, 1', `${farad(MOTOR.c5F)} 10 V X7R, ${farad(MOTOR.c6F)} 50 V X7R`, 'between 5 V and GND, where the 5 V leaves the board'],
  ['S1, R8', '1, 1', `push button, ${ohm(MOTOR.r8Ohm)}`, 'mark, from D2 to GND; the resistor keeps a static discharge of the hand off the chip'],
  ['JP1, JP2', '2', 'two-pin headers with jumpers', 'D4 to GND: 500 k; D5 to GND: 115200; pull-ups are inside the chip'],
  ['X2', '1 each', 'terminal blocks of 5 mm pitch for thin leads, M5 brass bolts with lock washers for leads of 2.5 mm² and more', 'nothing that carries the vehicle\'s current is soldered or plugged'],
  ['case', '1', `closed plastic case, 120 × 80 × 40 mm, strain relief for every lead; for the drain logger with a finned heat sink of ${DRAIN.lidKPerW} K/W or better for its lid (about 100 × 100 mm)`, 'no bare conductor can be touched or can touch the body; the lid cools RS2 and D1, which are screwed to it insulated'],
];

export const MOTOR_PARTS: readonly Row[] = [
  ['F1', '1', `blade fuse in a holder, the circuit's own rating or less, ${MOTOR.f1A} A at most`, 'close to the source: the test leads are otherwise the weak part'],
  ['F2, F3', '2', `${MOTOR.f2A} A fast, 5 × 20 mm, 63 V DC or more, in line holders directly at the thin clips`, 'a chafed or wrongly clipped thin lead opens its fuse and does not burn'],
  ['U1', '1', 'ACS712ELCTR-05B, -20A or -30A on a carrier with screw terminals', 'isolated from the circuit; zero and span follow the 5 V just as the converter does. Current into IP+ counts as plus. Carriers get hot: above 20 A for a minute at most'],
  ['C1, C2', '1, 1', `${farad(MOTOR.c1F)} 50 V X7R at its VCC, ${farad(MOTOR.c2F)} 50 V C0G or X7R at its filter pin`, 'carriers have 1 nF at the filter pin: exchange it, or the noise and bandwidth below are not reached'],
  ['R1', '1', `${ohm(MOTOR.r1Ohm)} 1 %`, 'a missing sensor reads 0 V, which the program calls `sensor-lost`'],
  ['R2, C3', '1, 1', `${bySpeed(SPEEDS.map((speed) => ohm(speed.r2Ohm)))}, 0.6 W; ${farad(MOTOR.c3F)} 50 V 5 %`, 'filter; R2 also limits the current of a lead touched by mistake'],
  ['R4, R5, R6', '2, 1', `${ohm(MOTOR.r4Ohm)} 1 % 0.6 W 350 V (0207 metal film), ${ohm(MOTOR.r6Ohm)} 1 %`, 'divider. Two on top, because one alone does not withstand 600 V'],
  ['C4', '1', `${bySpeed(SPEEDS.map((speed) => farad(speed.c4F)))}, 50 V 5 %`, 'gives volts the same delay as current'],
  ['D1, D2', '2', 'BAS70-04 (dual, in series), from GND to 5 V with the middle at the node', 'clamp. Its 100 nA cost 10 mV at the battery; 1 µA, as ordinary Schottky pairs have, would cost 0.1 V'],
  ['R3, R7', '2', `${ohm(MOTOR.r3Ohm)}`, 'what the clamp leaves does not reach the pin'],
];

export const CLAMP_PARTS: readonly Row[] = [
  ['IC1', '1', 'MCP6002-I/P, dual rail-to-rail amplifier', 'works on the logger\'s 5 V'],
  ['R31, R32', '2', `${ohm(CLAMP.inputOhm)} 1 %`, 'limit what a lead touched by mistake drives into IC1'],
  ['R33, R34', '2 each', `${CLAMP.gains.map((gain) => `${ohm(gain.feedbackOhm)} 1 % for ${gain.name}`).join(', ')}`, 'gain'],
  ['S2', '1', 'slide switch with two changeover contacts', 'chooses both pairs together; send `clamp` again after moving it'],
  ['R35, R36, C20', '2, 1', `${ohm(CLAMP.middleOhm)} 1 %, ${farad(CLAMP.middleF)}`, 'half the supply. Small, so that it follows the 5 V as the converter does'],
  ['C21', '1', `${farad(CLAMP.middleF)} 50 V X7R`, 'at IC1\'s supply pins'],
  ['X1', '1', 'BNC socket, insulated, or two 4 mm safety sockets', 'the clamp\'s own plug. Its black side goes to the logger\'s ground and nowhere else'],
];

export const DRAIN_PARTS: readonly Row[] = [
  ['F1', '1', `blade fuse ${DRAIN.f1A} A in a holder, on the body side`, 'blown, the shunts stay at battery minus and nothing floats up to 12 V at the monitors'],
  ['F2', '1', `${DRAIN.f2A} A fast, 5 × 20 mm, 63 V DC or more, in a line holder directly at the plus clip`, 'the thin plus lead opens it and does not burn'],
  ['F3', '1', `${DRAIN.f3A} A fast, 5 × 20 mm`, 'between battery minus and the logger\'s ground: with a clip on the wrong pole no battery current goes through the board and the USB'],
  ['RS1', '1', `PBV-R002-F1-1.0, ${ohm(DRAIN.coarseOhm)} 1 %, four terminals`, 'coarse shunt'],
  ['RS2', '1', `PBV-R100-F1-1.0, ${ohm(DRAIN.fineOhm)} 1 %, four terminals, on the lid`, 'fine shunt; cooled it withstands what the fuse lets through even with the bypass open'],
  ['Q1', '1', 'IRLB3036PbF, N-channel, 60 V, for a 4.5 V gate', 'bypass across RS2'],
  ['R10, D3', '1, 1', `${ohm(DRAIN.r10Ohm)}, 1N4148`, 'hold the bypass closed from the battery, with or without USB'],
  ['R11, D4', '1, 1', `${ohm(DRAIN.r11Ohm)}, BAT85`, 'hold it closed from the 5 V, should the plus clip fall off'],
  ['DZ1', '1', `BZX79-C${DRAIN.zenerV}, ${DRAIN.zenerV} V`, `gate withstands ${DRAIN.gateLimitV} V`],
  ['Q2, R12, R13', '1 each', `2N7000, ${ohm(DRAIN.r12Ohm)}, ${ohm(DRAIN.r13Ohm)}`, 'only a high D6 opens the bypass'],
  ['D1', '1', '10A10 or another silicon rectifier of 10 A, not Schottky (they leak)', 'across RS2: takes the current while the bypass closes'],
  ['IC1, IC2', '2', 'INA226AIDGS on a carrier **with its own shunt (R100 or R010) taken off**', 'monitors. Straps: A0 and A1 of IC1 to GND (0x40); A0 of IC2 to VS, A1 to GND (0x41)'],
  ['C13, C14', '2', '100 nF 50 V X7R', 'at VS of each monitor'],
  ['R14, R15', '2', `${ohm(DRAIN.r14Ohm)}`, 'SDA and SCL to 5 V; leave them out where the carriers have pull-ups of 10 kΩ'],
  ['R20 to R23', '4', `${ohm(DRAIN.r20Ohm)} 1 % 0.25 W`, 'one in each sense lead, at the shunt'],
  ['C10, C11', '2', `${farad(DRAIN.c10F)} 16 V X7R, ceramic`, 'between the two sense leads of each monitor, at its pins'],
  ['R24', '1', `${ohm(DRAIN.r24Ohm)} ${DRAIN.r24W} W wirewound, pulse-proof`, 'limits what the vehicle\'s supply drives into DZ2, and withstands it indefinitely if DZ2 fails short'],
  ['DZ2', '1', 'P6KE33A, unipolar', 'neither a jump start of 24 V nor a 24 V vehicle makes it conduct'],
  ['R25, C12', '1, 1', `${ohm(DRAIN.r25Ohm)}, ${farad(DRAIN.c12F)} 50 V X7R`, 'keep the bus pins from what DZ2 leaves below ground'],
];

export const LEADS: readonly Row[] = [
  ['motor logger, feed', '2 × 1 m', '4 mm² (30 A), at a fuse of 20 A or less 2.5 mm²', 'the length warms, not the plug: crimped eyelets or blade tabs, no 4 mm plugs'],
  ['motor logger, volts and ground', '2 × 1.5 m', '0.5 mm², clips, F2 and F3 at the clips', 'carry a milliampere'],
  ['drain logger, minus', '2 × 0.5 m', '2.5 mm², battery clamp and eyelet, crimped', 'behind the 10 A fuse'],
  ['drain logger, plus', '1.5 m', '0.5 mm², clip with F2', ''],
  ['jumper', '0.6 m', `16 mm², two battery clamps of 200 A, F4: ${DRAIN.f4A} A bolt-down fuse at one of them`, 'across the whole logger. F4, because a clamp on the wrong pole shorts the battery. Not for cranking'],
];
