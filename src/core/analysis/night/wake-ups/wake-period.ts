import { median } from '../../../stats.ts';
import { ofStep } from '../../uncertainty/budget.ts';
import { FEWEST_WAKE_UPS } from '../settings.ts';
import { STRONG, boundedPeriod, totalOf } from './period-bounds.ts';
import type { Distances } from './start-scatter.ts';
import type { WakeRhythm, WakeUp } from '../../results.ts';

/** Sleeps that scatter by more than this share of their mean are at no period whatever their number (a module that waits for a network, common practice). */
const MOST_SCATTER = 0.25;

/** Distances, and how they scatter. */
interface Scattered extends Distances {
  /** of one sleep; never less than the two moments it lies between can be read */
  readonly scatterS: number;
}

/**
 * The period of wake-ups that nobody caused, reported only against the alternative that they come at random (exponential distances), by the
 * ratio of the likelihoods; its bounds by how the starts scatter. `spacingS` is the time between readings. Needs three wake-ups; null with fewer.
 */
export function wakePeriod(wakeUps: readonly WakeUp[], spacingS: number): WakeRhythm | null {
  const starts = wakeUps.filter((wake) => wake.cause === null || wake.cause === undefined).map((wake) => wake.start_s);
  if (starts.length < FEWEST_WAKE_UPS) return null;
  const distances = distancesOf(starts, Math.SQRT2 * ofStep(spacingS));
  const { periodS, halfWidthS } = boundedPeriod(distances, spacingS);
  const regular = logRatio(distances) > STRONG && distances.scatterS < MOST_SCATTER * distances.meanS;
  return { period_s: periodS, low_s: periodS - halfWidthS, high_s: periodS + halfWidthS, regular };
}

/** True when a start lies a whole number of periods from another. */
export function isOnBeat(startS: number, otherS: number, periodS: number): boolean {
  const sleeps = Math.abs(startS - otherS) / periodS;
  return Math.round(sleeps) >= 1 && Math.abs(sleeps - Math.round(sleeps)) <= MOST_SCATTER / 2;
}

function distancesOf(starts: readonly number[], readS: number): Scattered {
  const apart: number[] = [];
  for (let i = 1; i < starts.length; i++) apart.push(starts[i] - starts[i - 1]);
  const middle = median(apart);
  const sleeps = apart.map((distance) => {
    const whole = Math.max(1, Math.round(distance / middle));
    return Math.abs(distance / middle - whole) < MOST_SCATTER ? whole : 1;
  });
  const meanS = (starts[starts.length - 1] - starts[0]) / totalOf({ sleeps });
  let squares = 0;
  apart.forEach((distance, i) => (squares += (distance - sleeps[i] * meanS) ** 2 / sleeps[i]));
  return { starts, sleeps, meanS, scatterS: Math.max(readS, Math.sqrt(squares / Math.max(1, apart.length - 1))) };
}

/** Logarithm of the likelihood of equal sleeps with normal scatter over that of distances at random, the second parameter paid for (BIC). */
function logRatio({ starts, sleeps, meanS, scatterS }: Scattered): number {
  const count = sleeps.length;
  let steady = 0;
  for (let i = 0; i < count; i++) {
    const apartS = starts[i + 1] - starts[i] - sleeps[i] * meanS;
    const variance = scatterS * scatterS * sleeps[i];
    steady -= 0.5 * Math.log(2 * Math.PI * variance) + (apartS * apartS) / (2 * variance);
  }
  const meanApartS = (starts[count] - starts[0]) / count;
  const random = -count * (Math.log(meanApartS) + 1);
  return steady - random - 0.5 * Math.log(count);
}
