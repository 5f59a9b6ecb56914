import { median, robustSigma } from '../../stats.ts';

/** One window of a followed line: where it lay and what current flowed. */
export interface LinePoint {
  readonly hz: number;
  readonly levelA: number;
}

export type LawVerdict = 'agrees' | 'contradicts' | 'silent';

/** spread of the current, over its distance from standing current, that the law needs to show in the frequency. Scored */
const FEWEST_SPREAD = 0.012;
const FEWEST_POINTS = 6;
const MOST_POINTS = 80;
/** of the usual frequency; windows further off follow another line and tell nothing about this one. Scored: ripple told falsely */
const OTHER_LINE = 0.4;
/** relative slope of a true line over 1/(peak - current): standing current is 0.9 to 3 times a peak (slow clamps lower it), with margin */
const LEAST_SLOPE = 0.15;
const MOST_SLOPE = 1.7;

/**
 * Holds a line against the motor's law: speed, and so ripple, falls in proportion to how near the current is to the standing current
 * (e = V - R i), which is a little above the switch-on peak. A line folded down by sampling moves the other way or too far.
 *
 * All windows of all presses of a trace count together, since they show one motor. The slope is the median of those of all pairs (Theil 1950,
 * Sen 1968), so that a window on the edge of a stall does not decide; its doubt is that of a straight line through half as many points
 * (windows overlap). 'silent' when the current hardly changed, or the line lies too scattered to tell.
 */
export function holdAgainstLaw(all: readonly LinePoint[], peakA: number): LawVerdict {
  if (all.length < FEWEST_POINTS) return 'silent';
  const usualHz = median(all.map((point) => point.hz));
  const points = thinned(all.filter((point) => Math.abs(point.hz / usualHz - 1) < OTHER_LINE));
  if (points.length < FEWEST_POINTS) return 'silent';
  const middleA = median(points.map((point) => point.levelA));
  const middleHz = median(points.map((point) => point.hz));
  const roomA = peakA - middleA;
  if (!(roomA > 0.05 * peakA)) return 'silent';
  const leastA = FEWEST_SPREAD * roomA;
  const slopes: number[] = [];
  for (let i = 0; i < points.length; i++) {
    for (let j = 0; j < i; j++) {
      const apartA = points[i].levelA - points[j].levelA;
      if (Math.abs(apartA) > leastA) slopes.push((points[i].hz - points[j].hz) / apartA);
    }
  }
  if (slopes.length < 2 * points.length) return 'silent';
  const slope = median(slopes);
  const offHz = robustSigma(points.map((point) => point.hz - middleHz - slope * (point.levelA - middleA)));
  const spreadA = robustSigma(points.map((point) => point.levelA));
  const steepness = (-slope * roomA) / middleHz;
  const doubt = (2 * roomA * offHz) / (middleHz * Math.max(leastA, spreadA) * Math.sqrt(points.length / 2));
  // a current that hardly wandered convicts no line: what moved it may be the clamp
  if (spreadA > leastA && (steepness - doubt > MOST_SLOPE || steepness + doubt < LEAST_SLOPE)) return 'contradicts';
  return doubt < 0.5 && steepness > LEAST_SLOPE && steepness < MOST_SLOPE ? 'agrees' : 'silent';
}

/** At most `MOST_POINTS`, evenly picked: the pairs grow as the square. */
function thinned(points: readonly LinePoint[]): readonly LinePoint[] {
  if (points.length <= MOST_POINTS) return points;
  return Array.from({ length: MOST_POINTS }, (_point, p) => points[Math.floor((p * points.length) / MOST_POINTS)]);
}
