/**
 * Every value of the three circuits, once. The drawings, the tables of the build guide and the figures in its text are all made from
 * this file by write.ts. Plain SI numbers; where a number is a data sheet's, the sheet is named beside it.
 */

/** Converter: ATmega328P, 10 bit against the 5 V (data sheet, ADC). */
export const CONVERTER = { referenceV: 5, steps: 1024, clipLowCount: 62, clipHighCount: 962, middleCount: 512 };

/** What the pins of the chip may see: its own diodes begin to work half a volt outside the supply (data sheet, absolute maximum ratings). */
export const PIN = { highestV: 5.5, lowestV: -0.5 };

/** Sensitivities of the Hall parts, V/A (Allegro ACS712 data sheet, p. 5). */
export const HALL = [
  { part: '5 A', vPerA: 0.185, use: 'small motors, lamps; specified to 5 A only' },
  { part: '20 A', vPerA: 0.1, use: 'windows, wipers' },
  { part: '30 A', vPerA: 0.066, use: 'seats, steps, doors, blowers' },
];

/** The filters before A0 and A1, by speed: the two filters are to have the same time constant. */
export const SPEEDS = [
  { baud: '1 Mbaud', rateHz: 4000, r2Ohm: 2.2e3, c4F: 18e-9 },
  { baud: '500 k', rateHz: 2000, r2Ohm: 4.7e3, c4F: 33e-9 },
  { baud: '115200', rateHz: 1000, r2Ohm: 10e3, c4F: 82e-9 },
];

export const MOTOR = {
  f1A: 30,
  f2A: 1,
  r1Ohm: 100e3,
  r2Ohm: SPEEDS[0]!.r2Ohm,
  r3Ohm: 1e3,
  r4Ohm: 49.9e3,
  r5Ohm: 49.9e3,
  r6Ohm: 15e3,
  r7Ohm: 1e3,
  r8Ohm: 1e3,
  c1F: 100e-9,
  c2F: 47e-9,
  c3F: 100e-9,
  c4F: SPEEDS[0]!.c4F,
  c5F: 10e-6,
  c6F: 100e-9,
  /** BAS70-04: 100 nA at 50 V and 25 °C at most, 0.41 V at 1 mA, 0.75 V at 10 mA (Diodes, MCC data sheets) */
  clampLeakA: 100e-9,
};

/** What keeps the board alive when USB is pulled: capacitors on its 5 V, their load, the chip's brown-out level as shops set it (all from memory). */
export const BOARD = { railF: 110e-6, loadA: 0.03, brownOutV: 2.7 };

/** Front end for a clamp: a difference amplifier around half the supply. */
export const CLAMP = {
  inputOhm: 100e3,
  gains: [
    { name: '×2', feedbackOhm: 200e3 },
    { name: '×10', feedbackOhm: 1e6 },
  ],
  middleOhm: 10e3,
  middleF: 100e-9,
  /** MCP6002: 28 nV/√Hz, offset 4.5 mV at most (from memory); inputs stand 2 mA */
  noiseVPerRootHz: 28e-9,
  offsetV: 4.5e-3,
  inputLimitA: 2e-3,
  rows: [
    { clampVPerA: 0.01, gain: 0 },
    { clampVPerA: 0.01, gain: 1 },
    { clampVPerA: 0.1, gain: 0 },
    { clampVPerA: 0.1, gain: 1 },
  ],
  /** output resistance of a clamp, common practice, no published source */
  clampOhm: 100,
};

/** Shunt and bus monitor (TI SBOS547B, electrical characteristics and absolute maximum ratings). */
export const MONITOR = {
  shuntStepV: 2.5e-6,
  shuntFullV: 81.92e-3,
  busStepV: 1.25e-3,
  busHighestV: 36,
  /** what the bus pin withstands (from memory), and its input resistance */
  busLimitV: 40,
  busInputOhm: 830e3,
  /** a pin below ground: current that its diode may carry (from memory) */
  pinLimitA: 5e-3,
  offsetV: 10e-6,
  gainError: 0.001,
  busOffsetV: 7.5e-3,
};

export const DRAIN = {
  f1A: 10,
  /** cold resistance of a 10 A blade fuse, mvwautotechniek.nl */
  f1Ohm: 7.7e-3,
  f2A: 1,
  f3A: 1,
  /** in the jumper: bolt-down fuse, cold resistance from memory */
  f4A: 100,
  f4Ohm: 0.5e-3,
  coarseOhm: 2e-3,
  fineOhm: 100e-3,
  /** PBV four-terminal manganin: 3 W in free air, 10 W on a heat sink, 1 % (Isabellenhütte data sheet) */
  shuntFreeW: 3,
  shuntSinkW: 10,
  shuntTolerance: 0.01,
  /** and to its base plate at most 3 K/W; the lid of the case, a finned heat sink */
  shuntKPerW: 3,
  lidKPerW: 2.5,
  /** IRLB3036: 2.8 mΩ at most with 4.5 V at the gate, gate withstands 16 V, 140 nC at most (from memory) */
  bypassOhm: 2.8e-3,
  bypassFullV: 4.5,
  gateLimitV: 16,
  gateC: 140e-9,
  zenerV: 10,
  r10Ohm: 22e3,
  r11Ohm: 22e3,
  r12Ohm: 100e3,
  r13Ohm: 1e3,
  diodeV: 0.6,
  schottkyV: 0.3,
  /** rectifier at 25 °C: 0.9 V at 10 A, saturation current 0.1 µA at most (both from memory) */
  rectifierV: 0.9,
  rectifierSaturationA: 1e-7,
  r20Ohm: 10,
  c10F: 22e-6,
  r24Ohm: 1e3,
  r24W: 3,
  r25Ohm: 220,
  c12F: 100e-9,
  /** P6KE33A: 28.2 V stand-off, breaks down at 31.4 to 34.7 V, 45.7 V at 13.2 A (P6SMB33A of the same family: Taiwan Semiconductor) */
  suppressor: { standOffV: 28.2, lowestV: 31.4, highestV: 34.7, clampV: 45.7, clampA: 13.2, forwardV: 1 },
  r14Ohm: 4.7e3,
};

/** Wires: largest resistance of class 5 copper at 20 °C, ohm/m (IEC 60228); lengths there and back, m. */
export const WIRE = {
  ohmPerM: { '0.5': 39e-3, '2.5': 7.98e-3, '4': 4.95e-3, '16': 1.21e-3 },
  drainM: 1,
  jumperM: 0.6,
  /** one battery clamp or eyelet, common practice, no published source */
  contactOhm: 0.5e-3,
};
