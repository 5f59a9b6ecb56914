import { UNKNOWN_GAIN_LIMIT_PERCENT } from '../../reference/sensors.ts';
import { ofLimits } from '../uncertainty/budget.ts';
import { NORMAL_95 } from '../uncertainty/normal-95.ts';
import type { CompareProblem, Side } from './codes.ts';

/** What is known of the sensor behind a trace. */
export interface SensorFacts {
  /** tells it from others; null where nobody said which one it was */
  readonly id: string | null;
  /** standard uncertainty of its scale, percent of the reading; null where it was never calibrated */
  readonly gainUncertaintyPercent: number | null;
  /** whether the readings are made up by the virtual vehicle; absent where nobody said, as in a plain file */
  readonly isVirtual?: boolean;
}

/** Sensors of the first and of the second trace. */
export type SensorPair = readonly [before: SensorFacts, after: SensorFacts];

/** One sensor reads both too high or both too low by the same share: that cancels in what changed (JCGM 100:2008, F.1.2.3). */
function sameSensor([before, after]: SensorPair): boolean {
  return before.id !== null && before.id === after.id;
}

/**
 * 95 % half-width that the scales put on the change of a figure that goes with the current: of two different sensors, or of sensors nobody
 * named, each on its side; of one and the same, whose scale is common to both sides, on the change alone. A sensor never calibrated may be off by the widest limit in the table of sensors.
 */
export function scalesHalfWidth(sensors: SensorPair | undefined, before: number, after: number): number {
  if (sensors === undefined) return 0;
  if (sameSensor(sensors)) return NORMAL_95 * gainShare(sensors[1]) * Math.abs(after - before);
  const [first, second] = sensors.map((sensor) => gainShare(sensor));
  return NORMAL_95 * Math.hypot(first * before, second * after);
}

/** Whether a figure of this unit goes with the scale of the current; an ohm goes against it by the same share. */
export function goesWithScale(unit: string): boolean {
  return unit === 'A' || unit === 'ohm' || unit === 'C';
}

/** The trace of the virtual vehicle beside one of a real one: nothing follows from their difference. Null where both are alike, or it is not known. */
export function virtualSide(sensors: SensorPair | undefined): Side | null {
  const [before, after] = sensors?.map(({ isVirtual }) => isVirtual) ?? [];
  if (before === undefined || after === undefined || before === after) return null;
  return before ? 'first' : 'second';
}

/** Said beside a comparison that carries both scales. */
export function sensorProblems(sensors: SensorPair | undefined): CompareProblem[] {
  if (sensors === undefined || sameSensor(sensors)) return [];
  const [before, after] = sensors;
  const percent = 100 * scalesHalfWidth(sensors, 1, 1);
  return [{ problem: 'different-sensor', code: before.id === null || after.id === null ? 'unknown-sensor' : 'other-sensor', percent }];
}

function gainShare({ gainUncertaintyPercent }: SensorFacts): number {
  return (gainUncertaintyPercent ?? ofLimits(UNKNOWN_GAIN_LIMIT_PERCENT)) / 100;
}
