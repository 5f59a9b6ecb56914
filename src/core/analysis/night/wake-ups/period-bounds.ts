import { ofStep } from '../../uncertainty/budget.ts';
import { UPPER_95, twoSided95 } from '../../uncertainty/distributions.ts';
import { mostLikely, supportOf, supportOfDrift, type Distances } from './start-scatter.ts';

/** Logarithm of a likelihood ratio from which on one explanation is taken against another: e^5 is 150 to 1, "strong" by Jeffreys' scale. */
export const STRONG = 5;

interface Bounded {
  readonly periodS: number;
  /** half of the 95 % bounds */
  readonly halfWidthS: number;
}

/**
 * The period of wake-ups, and its bounds by the kind of scatter that the starts show (the power laws of clocks: white in the phase, white in
 * the frequency, a walk of the frequency; Sullivan 1990), decided by their likelihoods:
 *
 * - sleeps with a length each: the mean of the two ends, by their scatter and two readings (effective degrees of freedom by Welch and
 *   Satterthwaite, JCGM 100:2008, G.4). The widest, so the others have to speak against it;
 * - ticks that nothing but the time between readings scatters: the two ends, each rounded. There is no scatter to be found, for which
 *   the first pays by the information criterion (Schwarz 1978);
 * - ticks that scatter: the slope of a line through the starts, and its standard error;
 * - sleeps that go up or down by and by, of a clock that drifts: no mean but that of the recording, so the two ends again.
 *
 * The last two are narrower than what may be, so they need strong evidence: a ratio of e^5 comes by chance at most once in 150 times (Markov).
 */
export function boundedPeriod(distances: Distances, spacingS: number): Bounded {
  const { meanS, sleeps } = distances;
  const readS2 = ofStep(spacingS) ** 2;
  const degrees = sleeps.length - 1;
  const ends = { periodS: meanS, halfWidthS: endsS(distances, spacingS) };
  const ownS2 = mostLikely(distances, readS2);
  const own = supportOf(distances, readS2, ownS2);
  if (supportOf(distances, readS2, 0) >= own - 0.5 * Math.log(sleeps.length)) return ends;
  const line = lineThrough(distances);
  const jitterS2 = Math.max(readS2, line.squaresS2 / degrees);
  const ticks = supportOf(distances, jitterS2, 0);
  if (supportOfDrift(distances, readS2) > Math.max(own, ticks) + STRONG) return ends;
  if (ticks > own + STRONG) return { periodS: line.slopeS, halfWidthS: twoSided95(degrees) * Math.sqrt(jitterS2 / line.xx) };
  const total = totalOf(distances);
  const varianceS2 = ownS2 * total + 2 * readS2;
  return { periodS: meanS, halfWidthS: (twoSided95(degrees * (varianceS2 / (ownS2 * total)) ** 2) * Math.sqrt(varianceS2)) / total };
}

/** Sleeps in the whole recording. */
export function totalOf({ sleeps }: Pick<Distances, 'sleeps'>): number {
  return sleeps.reduce((sum, one) => sum + one, 0);
}

/** Straight line by least squares through the starts, numbered in sleeps: its slope, and the squares that it leaves. */
function lineThrough({ starts, sleeps }: Distances): { readonly slopeS: number; readonly squaresS2: number; readonly xx: number } {
  const numbers = [0];
  for (const one of sleeps) numbers.push(numbers[numbers.length - 1] + one);
  const middle = numbers.reduce((sum, value) => sum + value, 0) / starts.length;
  const meanS = starts.reduce((sum, value) => sum + value, 0) / starts.length;
  let [xx, xy, squaresS2] = [0, 0, 0];
  for (let i = 0; i < starts.length; i++) {
    xx += (numbers[i] - middle) ** 2;
    xy += (numbers[i] - middle) * (starts[i] - meanS);
  }
  for (let i = 0; i < starts.length; i++) squaresS2 += (starts[i] - meanS - (xy / xx) * (numbers[i] - middle)) ** 2;
  return { slopeS: xy / xx, squaresS2, xx };
}

/**
 * The mean between two ends that are each read to a whole reading: two like rectangles make a triangle from one spacing below to one above
 * (JCGM 101:2008, 6.4.5), of which 95 % lie within 1 - sqrt(0.05). What lies between the ends does not narrow it: a period of nearly a whole
 * number of readings is rounded the same way each time.
 */
function endsS(distances: Distances, spacingS: number): number {
  return (spacingS * (1 - Math.sqrt(2 * (1 - UPPER_95)))) / totalOf(distances);
}
