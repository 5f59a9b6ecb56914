/**
 * Optimal change points in a series of constant levels with noise: the segmentation that minimises
 * `sum over segments of (sum of squared distances to the segment's mean) + penalty per change`.
 *
 * Functional pruning (FPOP): R. Maidstone, T. Hocking, G. Rigaill, P. Fearnhead, "On optimal multiple changepoint algorithms for large
 * data", Statistics and Computing 27 (2017) 519-533. The best cost is kept as a function of the last segment's mean, in pieces that
 * are parabolas; a candidate whose parabola is nowhere the lowest is gone for good. The result is exact (a test holds it equal to
 * brute-force optimal partitioning), and the cost stays near n log n even when one level lasts for the whole series.
 */

/** Pieces of the cost function, ordered by the mean they are of; `count` is the sum of weights: `count * (mu - mean)^2 + rest` on `(previous upper, upper]`. */
interface Pieces {
  upper: Float64Array;
  count: Float64Array;
  mean: Float64Array;
  rest: Float64Array;
  /** index of the first value of the last segment */
  start: Int32Array;
  length: number;
}

function makePieces(capacity: number): Pieces {
  return {
    upper: new Float64Array(capacity),
    count: new Float64Array(capacity),
    mean: new Float64Array(capacity),
    rest: new Float64Array(capacity),
    start: new Int32Array(capacity),
    length: 0,
  };
}

function grow(pieces: Pieces, capacity: number): void {
  const bigger = makePieces(capacity);
  bigger.upper.set(pieces.upper);
  bigger.count.set(pieces.count);
  bigger.mean.set(pieces.mean);
  bigger.rest.set(pieces.rest);
  bigger.start.set(pieces.start);
  pieces.upper = bigger.upper;
  pieces.count = bigger.count;
  pieces.mean = bigger.mean;
  pieces.rest = bigger.rest;
  pieces.start = bigger.start;
}

/**
 * Indices at which a new level starts, rising, the first value's 0 left out.
 * `penalty` is in squared units of the values: `c * variance * ln(n)` with c of 2 to 4 is usual; for noise that hangs together in time
 * take its long-run variance (see night/levels/noise.ts), or every slow swing becomes a level. With `weights` (positive, one a value; one over
 * the local variance is the use of them) each squared distance counts that many times. Values must be finite.
 */
export function changePoints(values: ArrayLike<number>, penalty: number, weights: ArrayLike<number> | null = null): number[] {
  const length = values.length;
  if (length < 2) return [];
  let lowest = Infinity;
  let highest = -Infinity;
  for (let i = 0; i < length; i++) {
    if (values[i] < lowest) lowest = values[i];
    if (values[i] > highest) highest = values[i];
  }
  if (lowest === highest) return [];
  const segmentStart = new Int32Array(length);
  let now = makePieces(64);
  let next = makePieces(64);
  now.length = 1;
  now.upper[0] = highest;
  for (let i = 0; i < length; i++) {
    const best = addValue(now, values[i], weights === null ? 1 : weights[i], lowest);
    segmentStart[i] = now.start[best.piece];
    if (i + 1 === length) break;
    if (next.upper.length < 3 * now.length + 2) grow(next, 6 * now.length + 4);
    prune(now, next, best.cost + penalty, i + 1, lowest);
    [now, next] = [next, now];
  }
  const changes: number[] = [];
  for (let start = segmentStart[length - 1]; start > 0; start = segmentStart[start - 1]) changes.push(start);
  return changes.reverse();
}

const best = { piece: 0, cost: 0 };

/** Adds one value's squared distance to every piece and finds the lowest point of all; returns one shared object. */
function addValue(pieces: Pieces, value: number, weight: number, lowest: number): { piece: number; cost: number } {
  const { upper, count, mean, rest, length } = pieces;
  let lower = lowest;
  best.cost = Infinity;
  for (let k = 0; k < length; k++) {
    const before = count[k];
    const distance = value - mean[k];
    const after = before + weight;
    const share = weight / after;
    count[k] = after;
    mean[k] += distance * share;
    rest[k] += distance * distance * before * share;
    const at = mean[k] < lower ? lower : mean[k] > upper[k] ? upper[k] : mean[k];
    const cost = count[k] * (at - mean[k]) * (at - mean[k]) + rest[k];
    if (cost < best.cost) {
      best.cost = cost;
      best.piece = k;
    }
    lower = upper[k];
  }
  return best;
}

/** Takes the lower of each piece and the constant `level` (a new segment that starts at `start`), cutting pieces where they cross. */
function prune(from: Pieces, to: Pieces, level: number, start: number, lowest: number): void {
  to.length = 0;
  let lower = lowest;
  for (let k = 0; k < from.length; k++) {
    const upper = from.upper[k];
    const mean = from.mean[k];
    const count = from.count[k];
    const room = level - from.rest[k];
    const below = lower - mean;
    const above = upper - mean;
    // most pieces lie below the level from end to end: no root is needed to see that
    if (count * below * below < room && count * above * above < room) keep(from, k, to, upper);
    else {
      const reach = room > 0 ? Math.sqrt(room / count) : -1;
      const left = mean - reach;
      const right = mean + reach;
      if (reach < 0 || right <= lower || left >= upper) begin(to, upper, level, start);
      else {
        if (left > lower) begin(to, left, level, start);
        keep(from, k, to, right < upper ? right : upper);
        if (right < upper) begin(to, upper, level, start);
      }
    }
    lower = upper;
  }
}

/** Piece `k` up to `upper`. */
function keep(from: Pieces, k: number, to: Pieces, upper: number): void {
  const at = to.length;
  to.upper[at] = upper;
  to.count[at] = from.count[k];
  to.mean[at] = from.mean[k];
  to.rest[at] = from.rest[k];
  to.start[at] = from.start[k];
  to.length = at + 1;
}

/** A new segment up to `upper`; it goes on where the piece before is of it already. */
function begin(to: Pieces, upper: number, level: number, start: number): void {
  const at = to.length;
  if (at > 0 && to.count[at - 1] === 0) {
    to.upper[at - 1] = upper;
    return;
  }
  to.upper[at] = upper;
  to.count[at] = 0;
  to.mean[at] = 0;
  to.rest[at] = level;
  to.start[at] = start;
  to.length = at + 1;
}
