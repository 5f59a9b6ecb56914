import { sensorPart } from '../../reference/sensors.ts';
import type { SensorUncertainty } from '../options.ts';
import { TEMPERATURE_CHANGE_K } from './sensor-advice.ts';
import { budgetOf, ofLimits, type BudgetInput, type Correlations } from './budget.ts';

/** A known current or voltage beside what the logger read of it. */
export interface KnownPoint {
  /** what the reference said, A or V */
  applied: number;
  /** what the logger recorded, A or V */
  read: number;
  /** the reference's tolerance, percent of `applied` (its datasheet's +- figure) */
  tolerance_percent: number;
}

/**
 * One calibration of one channel of a logger, as a person made it. Field names are public: it is in trace.json and in the data
 * folder. Only what was read and known is kept; the correction is worked out from it.
 */
export interface CalibrationRecord {
  channel: 'current' | 'voltage';
  /** RFC 3339, UTC */
  at: string;
  by: string;
  temperature_c: number | null;
  /** RFC 3339, UTC: to be done again after this; null where no time was chosen */
  due: string | null;
  /** what the logger read with nothing applied, before and after the test, A or V */
  zero_before: number | null;
  zero_after: number | null;
  /** standard uncertainty of one such reading, from its scatter */
  zero_scatter: number | null;
  /** time between the two zeros, h */
  zero_hours: number | null;
  /** none, one or two, all by the same reference: its error is common to them */
  points: KnownPoint[];
  /** the resistance the logger calculates with, the one on the shunt's plate, and its class in percent */
  shunt: { reckoned_ohm: number; ohm: number; class_percent: number } | null;
  /** a part of the table of sensors (`amptrail sensor`), whose tolerance then counts */
  part: string | null;
  /** RFC 3339, UTC: no longer to be used from then on; null while it holds */
  taken_back: string | null;
}

/** true = gain x (recorded - zero), with standard uncertainties (k = 1); null where nothing is known of it. */
export interface Correction {
  readonly zero: number;
  readonly gain: number;
  readonly zeroUncertainty: number | null;
  readonly gainUncertaintyPercent: number | null;
  readonly zeroDriftPerHour: number | null;
  /** what warmth does to the zero in a night, by the data sheet of the part */
  readonly zeroTemperature: number | null;
}

export type CalibrationFault = 'nothing-known' | 'point-needs-zero' | 'point-at-zero' | 'points-too-close' | 'unknown-part' | 'gain-implausible' | 'not-positive';

/** The name under which a logger's calibrations are kept: its serial number; one that sends plain numbers is known by its port alone. */
export function calibrationName({ kind, serial, name }: { readonly kind: string; readonly serial: string | null; readonly name: string }, port: string): string {
  if (serial !== null && serial !== '') return serial;
  return kind === 'numbers' || name === '' ? port : name;
}

/** By which names a logger may have been calibrated, the surest first: its serial number, its own name, the port it was at. */
export function calibrationNames({ serial, name }: { readonly serial: string | null; readonly name: string | null }, port: string | null): string[] {
  return [serial, name, port].filter((one): one is string => one !== null && one !== '');
}

export const NO_CORRECTION: Correction = { zero: 0, gain: 1, zeroUncertainty: null, gainUncertaintyPercent: null, zeroDriftPerHour: null, zeroTemperature: null };

/** A gain further from 1 than this factor is a wrong unit or a wrong reading, not a tolerance. */
const MOST_GAIN = 20;
/** Two known currents must differ by this share of the larger one: closer, the line through them says nothing of the gain. */
const LEAST_APART = 0.2;

/** What corrects the recorded values, and how well it is known (JCGM 100:2008). */
export function correctionOf(record: CalibrationRecord): Correction | CalibrationFault {
  const { points, shunt, part } = record;
  const zero = zeroOf(record);
  const known = part === null ? null : sensorPart(part);
  if (part !== null && known === null) return 'unknown-part';
  if (shunt !== null && !(shunt.ohm > 0 && shunt.reckoned_ohm > 0 && shunt.class_percent >= 0)) return 'not-positive';
  let scale: Scale | CalibrationFault;
  if (points.length > 0) scale = fromPoints(points, zero, record.zero_scatter);
  else if (shunt !== null) scale = { gain: shunt.reckoned_ohm / shunt.ohm, percent: ofLimits(shunt.class_percent), zero: null };
  else if (known !== null) scale = { gain: 1, percent: ofLimits(known.gainLimitPercent), zero: null };
  else if (zero !== null) scale = { gain: 1, percent: null, zero: null };
  else return 'nothing-known';
  if (typeof scale === 'string') return scale;
  if (!(scale.gain > 1 / MOST_GAIN && scale.gain < MOST_GAIN)) return 'gain-implausible';
  const offset = zero ?? scale.zero;
  // a part's own zero limit counts only where no zero was read: a zero step replaces it
  const partZero = offset === null && known !== null && known.zeroLimitA !== null ? ofLimits(known.zeroLimitA) : null;
  return {
    zero: offset?.value ?? 0,
    gain: scale.gain,
    zeroUncertainty: offset === null ? partZero : offset.uncertainty === null ? null : scale.gain * offset.uncertainty,
    gainUncertaintyPercent: scale.percent,
    zeroDriftPerHour: driftOf(record, scale.gain),
    zeroTemperature: known === null || known.zeroDriftAPerK === null ? null : ofLimits(known.zeroDriftAPerK * TEMPERATURE_CHANGE_K.drain),
  };
}

/** The correction of one recorded value. */
export function corrected(value: number, { gain, zero }: Correction): number {
  return gain * (value - zero);
}

/** What an analysis takes from a correction of the current: only what is known. */
export function sensorUncertaintyOf(correction: Correction): SensorUncertainty {
  const { zeroUncertainty, gainUncertaintyPercent, zeroDriftPerHour, zeroTemperature } = correction;
  return {
    ...(zeroUncertainty === null ? {} : { zeroUncertaintyA: zeroUncertainty }),
    ...(gainUncertaintyPercent === null ? {} : { gainUncertaintyPercent }),
    ...(zeroDriftPerHour === null ? {} : { zeroDriftAPerHour: zeroDriftPerHour }),
    ...(zeroTemperature === null ? {} : { zeroTemperatureA: zeroTemperature }),
  };
}

/** The calibration of a channel that holds: the last one in the list that was not taken back. */
export function holding(records: readonly CalibrationRecord[], channel: CalibrationRecord['channel']): CalibrationRecord | null {
  return records.findLast((record) => record.channel === channel && record.taken_back === null) ?? null;
}

interface Estimate {
  readonly value: number;
  /** null where nothing says how well it is known */
  readonly uncertainty: number | null;
}

interface Scale {
  readonly gain: number;
  readonly percent: number | null;
  /** where the line through two points meets zero */
  readonly zero: Estimate | null;
}

/**
 * Between the zeros before and after the test it may have been anywhere: their middle, +- half their difference (JCGM 100:2008, 4.3.7). One
 * reading without its scatter says nothing of how well it is known, nor do two that agree: that is no zero without error.
 */
function zeroOf({ zero_before: before, zero_after: after, zero_scatter: scatter }: CalibrationRecord): Estimate | null {
  const first = before ?? after;
  if (first === null) return null;
  if (before === null || after === null) return { value: first, uncertainty: scatter };
  if (scatter === null && before === after) return { value: first, uncertainty: null };
  return { value: (before + after) / 2, uncertainty: Math.hypot((scatter ?? 0) / Math.SQRT2, ofLimits(Math.abs(after - before) / 2)) };
}

function driftOf({ zero_before: before, zero_after: after, zero_hours: hours }: CalibrationRecord, gain: number): number | null {
  if (before === null || after === null || hours === null || !(hours > 0)) return null;
  return (gain * Math.abs(after - before)) / hours;
}

function fromPoints(points: readonly KnownPoint[], zero: Estimate | null, scatter: number | null): Scale | CalibrationFault {
  if (points.some(({ tolerance_percent: percent }) => !(percent >= 0))) return 'not-positive';
  if (points.some(({ applied, read }) => applied === 0 || read === 0)) return 'point-at-zero';
  const [one, two] = points as readonly [KnownPoint, KnownPoint?];
  if (two === undefined) return zero === null ? 'point-needs-zero' : onePoint(one, zero);
  if (Math.abs(one.applied - two.applied) < LEAST_APART * Math.max(Math.abs(one.applied), Math.abs(two.applied)) || one.read === two.read) return 'points-too-close';
  return twoPoints(one, two, scatter);
}

function onePoint({ applied, read, tolerance_percent: percent }: KnownPoint, zero: Estimate): Scale | CalibrationFault {
  if (read === zero.value) return 'points-too-close';
  const inputs: BudgetInput<'reference' | 'zero'>[] = [
    { source: 'reference', value: applied, uncertainty: referenceUncertainty(applied, percent) },
    // a zero whose scatter nobody gave adds nothing: the gain is then known to its reference at best
    { source: 'zero', value: zero.value, uncertainty: zero.uncertainty ?? 0 },
  ];
  const { value, uncertainty } = budgetOf(([a, z]) => a / (read - z), inputs);
  return { gain: value, percent: (100 * uncertainty) / Math.abs(value), zero: null };
}

/**
 * The line through two points. One reference read both, so its errors rise and fall together: correlation 1 (JCGM 100:2008, 5.2.4), and they
 * leave the line's zero where it is. What moves that is the scatter of the two readings, each by itself; without it the zero is not known.
 */
function twoPoints(one: KnownPoint, two: KnownPoint, scatter: number | null): Scale {
  const inputs: BudgetInput<'reference'>[] = [one, two].map(({ applied, tolerance_percent: percent }) => ({ source: 'reference', value: applied, uncertainty: referenceUncertainty(applied, percent) }));
  const sign = Math.sign(one.applied * two.applied);
  const together: Correlations = [{ a: 0, b: 1, r: sign }];
  const gain = budgetOf(([first, second]) => (second - first) / (two.read - one.read), inputs, together);
  const zero = budgetOf(([first, second]) => one.read - (first * (two.read - one.read)) / (second - first), inputs, together);
  // the slopes of the zero by either reading are two.applied and -one.applied over their difference
  const byReadings = scatter === null ? null : (scatter * Math.hypot(one.applied, two.applied)) / Math.abs(two.applied - one.applied);
  return { gain: gain.value, percent: (100 * gain.uncertainty) / Math.abs(gain.value), zero: { value: zero.value, uncertainty: byReadings === null ? null : Math.hypot(zero.uncertainty, byReadings) } };
}

function referenceUncertainty(applied: number, percent: number): number {
  return ofLimits((Math.abs(applied) * percent) / 100);
}
