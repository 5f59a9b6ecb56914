import { median, slopeOf } from '../../../stats.ts';
import type { ActuationOptions } from '../../options.ts';
import type { Baseline } from '../sensor/baseline.ts';
import type { Sampling } from '../sensor/sampling.ts';
import { EDGE } from '../signal/levels.ts';
import type { IndexRange } from '../types.ts';
import { SWITCH_ON_S } from '../time-scales.ts';

/** How fast the sensor follows, as the recording shows it. */
export interface ClampSpeed {
  /** time constant with which the reading follows a sudden change, s; 0 when it is within a sample or not known */
  readonly followS: number;
  /** the same when it is within a sample; null when the trace does not show it */
  readonly atMostS: number | null;
  /** typed in or from the calibration, not read off the trace */
  readonly known: boolean;
}

/** A stretch of current of one sign that a switch ended. */
interface Driven extends IndexRange {
  readonly sign: number;
}

interface Ended extends Driven {
  readonly endsMidway: boolean;
}

/** Low-pass corner of the sensor, Hz; Infinity where it follows within a sample. */
export function bandwidthOf({ followS }: ClampSpeed): number {
  return followS > 0 ? 1 / (2 * Math.PI * followS) : Infinity;
}

/**
 * How fast the sensor follows. An opening contact ends the current within a fraction of a millisecond (the arc takes some 12 V off the
 * coil: L I/V of 1 mH and 4 A is 0.3 ms), so the reading's fall after the switch-off is the sensor's own step response. A diode or a
 * resistor across the motor lets the current run on and looks the same: what is read from the fall is the slowest the sensor can be.
 */
export function clampSpeed(presses: readonly Ended[], baseline: Baseline, sampling: Sampling, options: ActuationOptions): ClampSpeed {
  if (options.sensorBandwidthHz !== undefined) {
    const followS = 1 / (2 * Math.PI * options.sensorBandwidthHz);
    return { followS, atMostS: followS, known: true };
  }
  const falls: number[] = [];
  for (const press of presses) {
    const fallS = press.endsMidway ? null : fallAfter(press, baseline, sampling);
    if (fallS !== null) falls.push(fallS);
  }
  if (falls.length === 0) return { followS: 0, atMostS: null, known: false };
  // braking and arcs spoil single presses; the fastest third is the sensor
  const sorted = [...falls].sort((a, b) => a - b);
  const followS = median(sorted.slice(0, Math.max(1, Math.ceil(sorted.length / 3))));
  return { followS: followS > sampling.periodS ? followS : 0, atMostS: followS, known: false };
}

/** Slope of the logarithm of the fall between 80 and 15 % of the level at the switch-off; null where it is hidden. */
export function fallAfter(press: Driven, baseline: Baseline, sampling: Sampling): number | null {
  if (press.endIndex - press.startIndex < 8) return null;
  const deviationA = baseline.deviationA;
  let levelA = 0;
  const before = Math.min(12, press.endIndex - press.startIndex - 3);
  for (let i = press.endIndex - 3 - before; i < press.endIndex - 3; i++) levelA += (deviationA[i] * press.sign) / before;
  if (!(levelA > 20 * baseline.noiseA)) return null;
  const last = Math.min(deviationA.length, press.endIndex + Math.round(SWITCH_ON_S * sampling.rateHz));
  let from = Math.max(0, press.endIndex - 3);
  while (from < last && deviationA[from] * press.sign > EDGE.from * levelA) from++;
  let to = from;
  while (to < last && deviationA[to] * press.sign > EDGE.to * levelA) to++;
  if (to >= last) return null;
  // fewer than three samples in the fall: faster than can be seen, so half of them is as slow as it can be
  const lastsS = (to - from < 3 ? Math.max(1, to - from) * 0.5 : to - from) * sampling.periodS;
  // a braked motor drives the current on past zero: the reading heads for there, and passes these levels sooner
  let beyond = 0;
  for (let i = to; i < last; i++) beyond = Math.max(beyond, (-deviationA[i] * press.sign) / levelA);
  if (beyond > 0.1) return lastsS / Math.log((EDGE.from + beyond) / (EDGE.to + beyond));
  if (to - from < 3) return lastsS;
  const samples = new Float64Array(to - from).map((_value, i) => i);
  const slope = slopeOf(samples, samples.map((i) => Math.log((deviationA[from + i] * press.sign) / levelA)));
  return slope < 0 ? -sampling.periodS / slope : null;
}
