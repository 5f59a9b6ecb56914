/**
 * Optimal change points by PELT (R. Killick, P. Fearnhead, I. A. Eckley, J. Amer. Statist. Assoc. 107 (2012) 1590-1598), written as in the paper: the plain version that the
 * functional pruning of src/core/analysis/change-points.ts is compared with. Returns the indices at which a new level starts.
 */
export function plainPelt(values: ArrayLike<number>, penalty: number): number[] {
  const length = values.length;
  const sum = new Float64Array(length + 1);
  const squares = new Float64Array(length + 1);
  for (let i = 0; i < length; i++) {
    sum[i + 1] = sum[i]! + values[i]!;
    squares[i + 1] = squares[i]! + values[i]! * values[i]!;
  }
  const cost = (from: number, to: number): number => squares[to]! - squares[from]! - (sum[to]! - sum[from]!) ** 2 / (to - from);
  const best = new Float64Array(length + 1);
  best[0] = -penalty;
  const before = new Int32Array(length + 1);
  let candidates = new Int32Array(length + 1);
  let count = 1;
  for (let end = 1; end <= length; end++) {
    let lowest = Infinity;
    for (let k = 0; k < count; k++) {
      const total = best[candidates[k]!]! + cost(candidates[k]!, end) + penalty;
      if (total < lowest) {
        lowest = total;
        before[end] = candidates[k]!;
      }
    }
    best[end] = lowest;
    let kept = 0;
    for (let k = 0; k < count; k++) if (best[candidates[k]!]! + cost(candidates[k]!, end) <= lowest) candidates[kept++] = candidates[k]!;
    candidates[kept++] = end;
    count = kept;
  }
  const changes: number[] = [];
  for (let start = before[length]!; start > 0; start = before[start]!) changes.push(start);
  return changes.reverse();
}
