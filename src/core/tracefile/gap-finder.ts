/**
 * Tells a hole in time from an uneven rhythm.
 *
 * Rule: an interval is a hole when it is longer than 3 times the typical interval around it. Typical is the 80 % quantile of 64
 * successive intervals, the largest of that group and its two neighbours: so a logger whose lines arrive in bursts of up to five, a change of
 * rate and a thinned stretch are no holes, while one missed second among regular samples is. Three, because one lost sample (twice the
 * period) with jitter is not worth breaking the line of a chart, and a lost block is.
 */
export const GAP_PERIODS = 3;
const GROUP = 64;
const TYPICAL_QUANTILE = 0.8;

/** Indices i for which `[timeS[i-1], timeS[i])` is a hole, in order. `timeS` must rise. Linear. */
export function findHoles(timeS: Float64Array, startIndex = 0, endIndex = timeS.length): number[] {
  const holes: number[] = [];
  const groups = Math.max(1, Math.floor((endIndex - startIndex - 1) / GROUP));
  const typicalS = new Float64Array(groups).fill(-1);
  const typicalOf = (group: number): number => {
    if (group < 0 || group >= groups) return 0;
    if (typicalS[group] < 0) typicalS[group] = groupTypicalS(timeS, startIndex + group * GROUP, group === groups - 1 ? endIndex - 1 : startIndex + (group + 1) * GROUP);
    return typicalS[group];
  };
  for (let group = 0; group < groups; group++) {
    const from = startIndex + group * GROUP;
    const to = group === groups - 1 ? endIndex - 1 : from + GROUP;
    let shortestS = Infinity;
    let longestS = 0;
    for (let i = from; i < to; i++) {
      const intervalS = timeS[i + 1] - timeS[i];
      if (intervalS < shortestS) shortestS = intervalS;
      if (intervalS > longestS) longestS = intervalS;
    }
    if (longestS <= GAP_PERIODS * shortestS) continue;
    const limitS = GAP_PERIODS * Math.max(typicalOf(group - 1), typicalOf(group), typicalOf(group + 1));
    for (let i = from; i < to; i++) if (timeS[i + 1] - timeS[i] > limitS) holes.push(i + 1);
  }
  return holes;
}

/** The lower of the two neighbours where the quantile falls between two, so that of two intervals the longer can be a hole. */
function groupTypicalS(timeS: Float64Array, from: number, to: number): number {
  const intervals = new Float64Array(to - from);
  for (let i = from; i < to; i++) intervals[i - from] = timeS[i + 1] - timeS[i];
  intervals.sort();
  return intervals[Math.floor(TYPICAL_QUANTILE * (intervals.length - 1))];
}
