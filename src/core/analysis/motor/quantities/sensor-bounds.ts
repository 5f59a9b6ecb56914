import type { SensorUncertainty } from '../../options.ts';
import type { Run } from '../../results.ts';
import { NORMAL_95 } from '../../uncertainty/normal-95.ts';
import { halfWidthOf, joinedParts, partsOf, type UncertaintyPart } from '../../uncertainty/parts.ts';
import { SECONDS_PER_HOUR } from '../../../units.ts';
import type { Baseline } from '../sensor/baseline.ts';

/** The stretch over which a level is read, and the level, A. */
export interface LevelRead {
  readonly startS: number;
  readonly endS: number;
  readonly levelA: number;
}

/**
 * What the sensor adds to a level (JCGM 100:2008). The scale counts always; the zero, with what warmth does to it, only where no idle
 * moment shows it, since a level is read from the resting one; its drift for the time to the nearest moment at rest.
 */
export function sensorParts({ startS, endS, levelA }: LevelRead, sensor: SensorUncertainty, { found, nodeS }: Baseline): UncertaintyPart[] {
  const { zeroUncertaintyA, gainUncertaintyPercent, zeroDriftAPerHour, zeroTemperatureA } = sensor;
  const middleS = (startS + endS) / 2;
  const awayS = nodeS.reduce((least, atS) => Math.min(least, Math.abs(atS - middleS)), found ? Infinity : 0);
  return partsOf({
    zero: found ? 0 : (zeroUncertaintyA ?? 0),
    temperature: found ? 0 : (zeroTemperatureA ?? 0),
    gain: ((gainUncertaintyPercent ?? 0) / 100) * levelA,
    'zero-drift': Number.isFinite(awayS) ? ((zeroDriftAPerHour ?? 0) * awayS) / SECONDS_PER_HOUR : 0,
  });
}

/** Widens the bounds of a running level by what is known of the sensor, and lists its parts. */
export function withSensor(run: Run | null, sensor: SensorUncertainty, baseline: Baseline): Run | null {
  if (run === null) return null;
  const added = sensorParts({ startS: run.start_s, endS: run.end_s, levelA: run.median_a }, sensor, baseline);
  const addedA = halfWidthOf(added);
  const read = run.uncertainty ?? partsOf({ noise: (run.high_a - run.low_a) / 2 / NORMAL_95 });
  return { ...run, low_a: run.median_a - Math.hypot(run.median_a - run.low_a, addedA), high_a: run.median_a + Math.hypot(run.high_a - run.median_a, addedA), uncertainty: joinedParts(read, added) };
}
