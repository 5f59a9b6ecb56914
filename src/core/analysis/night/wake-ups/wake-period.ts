import { median } from '../../../stats.ts';
import { NORMAL_95 } from '../../uncertainty/normal-95.ts';
import { ofStep } from '../../uncertainty/budget.ts';
import { UPPER_95, tQuantile } from '../../uncertainty/distributions.ts';
import { CLEAR_SIGMAS, FEWEST_WAKE_UPS, PATTERN, SAME_SHARE } from '../settings.ts';
import type { WakeRhythm, WakeUp } from '../../results.ts';

/** Logarithm of the likelihood ratio against "at random" from which on a period is reported: e^5 is 150 to 1, "strong" by Jeffreys' scale. */
const STRONG = 5;
/** Sleeps that scatter by more than this share of their mean are at no period whatever their number (a module that waits for a network, common practice). */
const MOST_SCATTER = 0.25;

/** Distances between wake-ups that nobody caused, in whole sleeps. */
interface Distances {
  readonly starts: readonly number[];
  /** sleeps in each distance: more than one where wake-ups were missed */
  readonly sleeps: readonly number[];
  readonly meanS: number;
  /** of one sleep; never less than the two moments it lies between can be read */
  readonly scatterS: number;
}

/**
 * The period of wake-ups that nobody caused, reported only against the alternative that they come at random (exponential distances), by the
 * ratio of the likelihoods. The bounds are those of the mean sleep: from the scatter of the sleeps when each has a length of its own, and
 * from the residuals about a line when the wake-ups keep to the ticks of a clock, which the neighbouring distances show by leaning the
 * opposite way, or by scattering no more than the time between readings (`spacingS`) makes them. Where neighbouring sleeps are alike and only
 * their length drifts, the mean is that of the recording, as well as its two ends are read. Needs three wake-ups; null with fewer.
 */
export function wakePeriod(wakeUps: readonly WakeUp[], spacingS: number): WakeRhythm | null {
  const starts = wakeUps.filter((wake) => wake.cause === null || wake.cause === undefined).map((wake) => wake.start_s);
  if (starts.length < FEWEST_WAKE_UPS) return null;
  const readS = Math.SQRT2 * ofStep(spacingS);
  const distances = distancesOf(starts, readS);
  const lean = neighboursLean(distances);
  const count = distances.sleeps.length;
  // neighbours of a clock's jitter lean by -1/2, those of independent sleeps by 0; the estimate itself scatters by one over the root
  const clock = distances.scatterS < CLEAR_SIGMAS * readS || (count >= PATTERN / 2 && lean < -0.5 / 2 - 1 / Math.sqrt(count));
  const total = totalSleeps(distances);
  // what the readings' spacing alone makes is known, and not taken from the scatter of a few; a clock that drifts has no other mean than that of the recording
  const isKnown = distances.scatterS <= 2 * readS || (count >= PATTERN / 2 && neighboursDiffer(distances) < SAME_SHARE);
  const halfWidthS = isKnown ? (NORMAL_95 * readS) / total : tQuantile(UPPER_95, count - 1) * (clock ? lineErrorS(distances) : distances.scatterS / Math.sqrt(total));
  const regular = logRatio(distances) > STRONG && distances.scatterS < MOST_SCATTER * distances.meanS;
  return { period_s: distances.meanS, low_s: distances.meanS - halfWidthS, high_s: distances.meanS + halfWidthS, regular };
}

/** True when a start lies a whole number of periods from another. */
export function isOnBeat(startS: number, otherS: number, periodS: number): boolean {
  const sleeps = Math.abs(startS - otherS) / periodS;
  return Math.round(sleeps) >= 1 && Math.abs(sleeps - Math.round(sleeps)) <= MOST_SCATTER / 2;
}

function distancesOf(starts: readonly number[], readS: number): Distances {
  const apart: number[] = [];
  for (let i = 1; i < starts.length; i++) apart.push(starts[i] - starts[i - 1]);
  const middle = median(apart);
  const sleeps = apart.map((distance) => {
    const whole = Math.max(1, Math.round(distance / middle));
    return Math.abs(distance / middle - whole) < MOST_SCATTER ? whole : 1;
  });
  const total = sleeps.reduce((sum, one) => sum + one, 0);
  const meanS = (starts[starts.length - 1] - starts[0]) / total;
  let squares = 0;
  apart.forEach((distance, i) => (squares += (distance - sleeps[i] * meanS) ** 2 / sleeps[i]));
  return { starts, sleeps, meanS, scatterS: Math.max(readS, Math.sqrt(squares / Math.max(1, apart.length - 1))) };
}

function totalSleeps({ sleeps }: Distances): number {
  return sleeps.reduce((sum, one) => sum + one, 0);
}

/** Logarithm of the likelihood of equal sleeps with normal scatter over that of distances at random, the second parameter paid for (BIC). */
function logRatio({ starts, sleeps, meanS, scatterS }: Distances): number {
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

/** Correlation of neighbouring distances about the mean sleep. */
function neighboursLean({ starts, sleeps, meanS }: Distances): number {
  let products = 0;
  let squares = 0;
  let before = 0;
  for (let i = 0; i < sleeps.length; i++) {
    const apartS = starts[i + 1] - starts[i] - sleeps[i] * meanS;
    products += apartS * before;
    squares += apartS * apartS;
    before = apartS;
  }
  return squares === 0 ? -1 : products / squares;
}

/** How much neighbouring sleeps differ against how much all do (von Neumann 1941): about 1 where each has a length of its own, next to 0 where the length goes one way. */
function neighboursDiffer({ starts, sleeps, meanS }: Distances): number {
  let differences = 0;
  let squares = 0;
  let before = NaN;
  for (let i = 0; i < sleeps.length; i++) {
    const apartS = (starts[i + 1] - starts[i]) / sleeps[i] - meanS;
    if (i > 0) differences += (apartS - before) ** 2;
    squares += apartS ** 2;
    before = apartS;
  }
  return squares === 0 ? 1 : differences / (2 * squares);
}

/** Standard error of the slope of a straight line through the starts, numbered in sleeps. */
function lineErrorS({ starts, sleeps }: Distances): number {
  const numbers = [0];
  for (const one of sleeps) numbers.push(numbers[numbers.length - 1] + one);
  const count = starts.length;
  const middle = numbers.reduce((sum, value) => sum + value, 0) / count;
  const meanS = starts.reduce((sum, value) => sum + value, 0) / count;
  let xx = 0;
  let xy = 0;
  for (let i = 0; i < count; i++) {
    xx += (numbers[i] - middle) ** 2;
    xy += (numbers[i] - middle) * (starts[i] - meanS);
  }
  let squares = 0;
  for (let i = 0; i < count; i++) squares += (starts[i] - meanS - (xy / xx) * (numbers[i] - middle)) ** 2;
  // the mean sleep is the distance of two ends, each with the jitter of one start
  const jitterS = Math.sqrt(squares / Math.max(1, count - 2));
  return (Math.SQRT2 * jitterS) / numbers[count - 1];
}
