/**
 * Lays two recordings of the same movement on each other at the switch edge. The analysis finds each edge to the sample; the rest, a
 * part of a sample, comes from the shapes: the shift at which the two rises correlate best.
 */
export interface EdgeWindow {
  /** seconds, rising; need not be even */
  readonly timeS: Float64Array;
  /** magnitude of the current, A */
  readonly currentA: ArrayLike<number>;
}

/** How much of the record around the edge is used: the rise of an inrush, from before it until it decays (maxon RE 65 data sheet: peak after about 1 ms). */
const BEFORE_EDGE_S = 0.05;
const AFTER_EDGE_S = 0.25;
/** Shifts are sought this far to either side of the coarse one: the analysis is within 20 ms. */
const SEARCH_S = 0.03;
const GRID_POINTS_MAX = 4096;

/**
 * Seconds to add to the second recording's time so that its switch edge lies on the first one's. `edgeAS` and `edgeBS` are the
 * edges as the analysis found them, each in its own time. Cross-correlation of the two rises on a common even grid of the finer rate,
 * with a parabola through the best three shifts (exact to a few hundredths of a sample for band-limited edges).
 * Falls back to the plain difference where a window holds fewer than 8 samples or does not change.
 */
export function alignEdges(a: EdgeWindow, edgeAS: number, b: EdgeWindow, edgeBS: number): number {
  const coarseS = edgeAS - edgeBS;
  const stepS = Math.max(Math.min(typicalStepS(a, edgeAS), typicalStepS(b, edgeBS)), (BEFORE_EDGE_S + AFTER_EDGE_S) / GRID_POINTS_MAX);
  if (!Number.isFinite(stepS)) return coarseS;
  const searchSteps = Math.max(2, Math.ceil(SEARCH_S / stepS));
  const length = Math.floor((BEFORE_EDGE_S + AFTER_EDGE_S) / stepS);
  const fixed = onGrid(a, edgeAS - BEFORE_EDGE_S, stepS, length);
  const moving = onGrid(b, edgeBS - BEFORE_EDGE_S - searchSteps * stepS, stepS, length + 2 * searchSteps);
  if (fixed === null || moving === null) return coarseS;
  const scores = new Float64Array(2 * searchSteps + 1);
  let best = 0;
  for (let shift = 0; shift < scores.length; shift++) {
    scores[shift] = correlation(fixed, moving, shift);
    if (scores[shift] > scores[best]) best = shift;
  }
  if (!(scores[best] > 0)) return coarseS;
  let fraction = 0;
  if (best > 0 && best < scores.length - 1) {
    const curvature = scores[best - 1] - 2 * scores[best] + scores[best + 1];
    if (curvature < 0) fraction = (scores[best - 1] - scores[best + 1]) / (2 * curvature);
  }
  // best = searchSteps means no correction; a later match in b means that b must move back
  return coarseS - (best - searchSteps + fraction) * stepS;
}

function typicalStepS({ timeS }: EdgeWindow, edgeS: number): number {
  let first = -1;
  let count = 0;
  let lastS = 0;
  for (let i = 0; i < timeS.length; i++) {
    if (timeS[i] < edgeS - BEFORE_EDGE_S || timeS[i] > edgeS + AFTER_EDGE_S) continue;
    if (first < 0) first = i;
    lastS = timeS[i];
    count++;
  }
  return count < 8 ? Infinity : (lastS - timeS[first]) / (count - 1);
}

/** Current on an even grid by straight lines between samples, held at the ends; null when it does not change. */
function onGrid({ timeS, currentA }: EdgeWindow, startS: number, stepS: number, length: number): Float64Array | null {
  const values = new Float64Array(length);
  let index = 0;
  let low = Infinity;
  let high = -Infinity;
  for (let i = 0; i < length; i++) {
    const atS = startS + i * stepS;
    while (index < timeS.length - 1 && timeS[index + 1] <= atS) index++;
    let value = currentA[index];
    if (index < timeS.length - 1 && atS > timeS[index]) {
      value += ((currentA[index + 1] - value) * (atS - timeS[index])) / (timeS[index + 1] - timeS[index]);
    }
    values[i] = value;
    low = Math.min(low, value);
    high = Math.max(high, value);
  }
  return high > low ? values : null;
}

/** Pearson's correlation of `fixed` with the stretch of `moving` that begins at `shift`. */
function correlation(fixed: Float64Array, moving: Float64Array, shift: number): number {
  const n = fixed.length;
  let sumX = 0;
  let sumY = 0;
  for (let i = 0; i < n; i++) {
    sumX += fixed[i];
    sumY += moving[shift + i];
  }
  const meanX = sumX / n;
  const meanY = sumY / n;
  let xx = 0;
  let yy = 0;
  let xy = 0;
  for (let i = 0; i < n; i++) {
    const x = fixed[i] - meanX;
    const y = moving[shift + i] - meanY;
    xx += x * x;
    yy += y * y;
    xy += x * y;
  }
  return xx === 0 || yy === 0 ? 0 : xy / Math.sqrt(xx * yy);
}
