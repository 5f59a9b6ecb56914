import { BOARD, CLAMP, CONVERTER, DRAIN, MONITOR, MOTOR, SPEEDS, WIRE } from './values.ts';
import { DIVIDER_TOP_OHM } from './stresses.ts';

/** Figures that follow from the values: nothing here is typed in twice. */

export const parallel = (...ohms: number[]): number => 1 / ohms.reduce((sum, ohm) => sum + 1 / ohm, 0);
export const cornerHz = (ohm: number, farad: number): number => 1 / (2 * Math.PI * ohm * farad);
/** What a first-order low-pass leaves at a frequency, dB. */
export const leftDb = (corner: number, frequencyHz: number): number => -10 * Math.log10(1 + (frequencyHz / corner) ** 2);

export const COUNT_V = CONVERTER.referenceV / CONVERTER.steps;
/** counts from the middle to where a Hall output or the front end clips */
export const CLIP_COUNTS = CONVERTER.clipHighCount - CONVERTER.middleCount;
export const DIVIDER = (DIVIDER_TOP_OHM + MOTOR.r6Ohm) / MOTOR.r6Ohm;
export const DIVIDER_OHM = parallel(DIVIDER_TOP_OHM, MOTOR.r6Ohm);
export const VOLTAGE_COUNT_V = COUNT_V * DIVIDER;
export const VOLTAGE_FULL_V = (CONVERTER.steps - 1) * VOLTAGE_COUNT_V;
/** leakage of a clamp diode at the divider, as battery volts */
export const LEAK_ERROR_V = MOTOR.clampLeakA * DIVIDER_OHM * DIVIDER;

/** How much later the slower of the two filters of a speed is, s. */
export const filterApartS = (speed: (typeof SPEEDS)[number]): number => DIVIDER_OHM * speed.c4F - speed.r2Ohm * MOTOR.c3F;

export const clampGain = (index: number): number => CLAMP.gains[index]!.feedbackOhm / CLAMP.inputOhm;
/** Noise bandwidth of the filter at A0: pi/2 of its corner. */
const NOISE_HZ = (Math.PI / 2) * cornerHz(MOTOR.r2Ohm, MOTOR.c3F);
/** Boltzmann's constant (exact, SI) times 300 K, J */
const KT = 1.380649e-23 * 300;
/** Noise of the front end at A0, V rms: the amplifier's own and that of both resistor pairs, each times (1 + gain). */
export function clampNoiseV(index: number): number {
  const sourceOhm = parallel(CLAMP.inputOhm, CLAMP.gains[index]!.feedbackOhm);
  const perRootHz = Math.hypot(CLAMP.noiseVPerRootHz, Math.sqrt(2 * 4 * KT * sourceOhm));
  return perRootHz * (1 + clampGain(index)) * Math.sqrt(NOISE_HZ);
}
/** A converter's step as noise, rms: a twelfth root (Analog Devices MT-001). */
export const stepNoise = (step: number): number => step / Math.sqrt(12);
/** Largest offset of the amplifier, as a share of what can be shown. */
export const clampOffsetShare = (index: number): number => (CLAMP.offsetV * (1 + clampGain(index))) / (CLIP_COUNTS * COUNT_V);
/** The clamp's own output resistance against the front end's input. */
export const clampLoadError = (index: number): number => CLAMP.clampOhm / (CLAMP.inputOhm + CLAMP.gains[index]!.feedbackOhm);

/** Bus reading: both monitors hang on R24 and R25. */
export const BUS_SERIES_ERROR = (DRAIN.r24Ohm + DRAIN.r25Ohm) / (MONITOR.busInputOhm / 2 + DRAIN.r24Ohm + DRAIN.r25Ohm);
export const SENSE_OHM = 2 * DRAIN.r20Ohm;

/** Gate of the bypass from each of its two sources. */
export const gateFromBatteryV = (batteryV: number): number => Math.min(DRAIN.zenerV, batteryV - DRAIN.diodeV);
export const GATE_FROM_USB_V = 5 - DRAIN.schottkyV;
/** Slowest closing: the charge through the battery's resistor alone, at a battery of 10 V and the gate's own middle. */
export const CLOSING_S = DRAIN.gateC / ((10 - DRAIN.diodeV - DRAIN.bypassFullV) / DRAIN.r10Ohm);
/** With USB pulled D6 stays high until the 5 V has fallen to the brown-out level. */
export const USB_CLOSING_S = (BOARD.railF * (5 - BOARD.brownOutV)) / BOARD.loadA + CLOSING_S;
/** Where the front end's output would stand without a clamp: its plus input then lies at half the supply. */
export const unpluggedV = (index: number): number => (CONVERTER.referenceV / 2) * (1 + clampGain(index));

/** What the open bypass takes from the battery (not through the shunts). */
export const OPEN_BATTERY_A = (12.6 - DRAIN.diodeV) / DRAIN.r10Ohm;

/** Current of the rectifier at the fine range's full scale, 26 mV thermal voltage. */
export const RECTIFIER_LEAK_A = DRAIN.rectifierSaturationA * (Math.exp(MONITOR.shuntFullV / 0.026) - 1);

/** With the bypass open and neither battery nor USB to close it: who carries the current, and what gets warm. */
export function openBypass(currentA: number): { shuntA: number; shuntW: number; rectifierW: number } {
  const shuntA = Math.min(currentA, DRAIN.rectifierV / DRAIN.fineOhm);
  return { shuntA, shuntW: shuntA ** 2 * DRAIN.fineOhm, rectifierW: (currentA - shuntA) * DRAIN.rectifierV };
}

/** Warming of RS2 above the air around the lid in that state: its own step, and the lid with both parts on it. */
export function openBypassWarmingK(currentA: number): { lid: number; shunt: number } {
  const { shuntW, rectifierW } = openBypass(currentA);
  const lid = (shuntW + rectifierW) * DRAIN.lidKPerW;
  return { lid, shunt: lid + shuntW * DRAIN.shuntKPerW };
}

/** A lamp of 21 W at 12 V, for the test on the bench, A; and what it drops across RS2. */
export const BENCH_A = 21 / 12;

/** Resistance from the battery post to the cable lug through the logger, bypass closed, and through the jumper. */
export const THROUGH_OHM = DRAIN.coarseOhm + DRAIN.bypassOhm + DRAIN.f1Ohm + WIRE.drainM * WIRE.ohmPerM['2.5'] + 2 * WIRE.contactOhm;
export const JUMPER_OHM = WIRE.jumperM * WIRE.ohmPerM['16'] + DRAIN.f4Ohm + 2 * WIRE.contactOhm;
export const JUMPER_SHARE = JUMPER_OHM / (JUMPER_OHM + THROUGH_OHM);

export interface Contribution {
  readonly what: string;
  readonly value: number;
  readonly from: string;
}

/** Errors of the motor logger's volts at 12.6 V, as shares, after calibration of the 5 V and of the divider. */
export const VOLTS_BUDGET: readonly Contribution[] = [
  { what: '1.1 V reading, half a step, at calibration', value: 0.5 / ((1.1 / CONVERTER.referenceV) * CONVERTER.steps), from: '225 counts' },
  { what: '1.1 V reading, half a step, now', value: 0.5 / ((1.1 / CONVERTER.referenceV) * CONVERTER.steps), from: '225 counts' },
  { what: '1.1 V reference over temperature', value: 0.005, from: 'from memory' },
  { what: 'A1, half a count', value: (0.5 * VOLTAGE_COUNT_V) / 12.6, from: 'converter' },
  { what: 'leakage of D2 at 25 °C', value: LEAK_ERROR_V / 12.6, from: 'BAS70-04' },
];

/** Errors of the drain logger at 50 mA on the fine shunt, A. */
export const DRAIN_BUDGET: readonly Contribution[] = [
  { what: 'offset before the zero step', value: MONITOR.offsetV / DRAIN.fineOhm, from: 'monitor' },
  { what: 'shunt, 1 % before calibration', value: 0.05 * DRAIN.shuntTolerance, from: 'PBV' },
  { what: 'gain of the monitor', value: 0.05 * MONITOR.gainError, from: 'monitor' },
  { what: 'rectifier, at 50 mA', value: DRAIN.rectifierSaturationA * (Math.exp((0.05 * DRAIN.fineOhm) / 0.026) - 1), from: 'from memory, 25 °C' },
];

/** And of its bus reading at 12.6 V, V. */
export const BUS_BUDGET: readonly Contribution[] = [
  { what: 'R24 and R25 against both bus pins (reads low)', value: 12.6 * BUS_SERIES_ERROR, from: '830 kΩ each' },
  { what: 'offset', value: MONITOR.busOffsetV, from: 'monitor' },
  { what: 'gain', value: 12.6 * MONITOR.gainError, from: 'monitor' },
];
