import type { SensorUncertainty } from '../../options.ts';
import type { Run } from '../../results.ts';
import { SECONDS_PER_HOUR } from '../../../units.ts';
import type { Baseline } from '../sensor/baseline.ts';
import { NORMAL_95 } from '../../uncertainty/distributions.ts';


/**
 * Widens the bounds of a level by what is known of the sensor (root of squares, JCGM 100:2008). The scale counts always; the zero where no
 * idle moment shows it, since a level is read from the resting one; its drift for the time to the nearest moment at rest.
 */
export function withSensor(run: Run | null, { zeroUncertaintyA, gainUncertaintyPercent, zeroDriftAPerHour }: SensorUncertainty, { found, nodeS }: Baseline): Run | null {
  if (run === null) return null;
  const middleS = (run.start_s + run.end_s) / 2;
  const awayS = nodeS.reduce((least, atS) => Math.min(least, Math.abs(atS - middleS)), found ? Infinity : 0);
  const zeroA = found ? 0 : (zeroUncertaintyA ?? 0);
  const gainA = ((gainUncertaintyPercent ?? 0) / 100) * run.median_a;
  const driftA = Number.isFinite(awayS) ? ((zeroDriftAPerHour ?? 0) * awayS) / SECONDS_PER_HOUR : 0;
  const addedA = NORMAL_95 * Math.hypot(zeroA, gainA, driftA);
  if (addedA === 0) return run;
  return { ...run, low_a: run.median_a - Math.hypot(run.median_a - run.low_a, addedA), high_a: run.median_a + Math.hypot(run.high_a - run.median_a, addedA) };
}
