interface Overlaid {
  /** rising, from the switch edge, s */
  readonly timeS: ArrayLike<number>;
  /** A */
  readonly currentA: ArrayLike<number>;
}

interface Difference {
  /** moments of `before` that `after` covers too */
  readonly timeS: number[];
  readonly beforeA: number[];
  readonly afterA: number[];
  /** after less before */
  readonly currentA: number[];
}

/**
 * After minus before at the moments of `before` that `after` covers too; `after` is read between its samples along a straight line, so
 * traces of different rates subtract. Times of both must rise. O(n + m).
 */
export function differenceOf(before: Overlaid, after: Overlaid): Difference {
  const difference: Difference = { timeS: [], beforeA: [], afterA: [], currentA: [] };
  const last = after.timeS.length - 1;
  let right = 1;
  for (let i = 0; i < before.timeS.length; i++) {
    const atS = before.timeS[i];
    if (last < 1 || atS < after.timeS[0] || atS > after.timeS[last]) continue;
    while (right < last && after.timeS[right] < atS) right++;
    const leftS = after.timeS[right - 1];
    const widthS = after.timeS[right] - leftS;
    const share = widthS > 0 ? (atS - leftS) / widthS : 1;
    const valueA = after.currentA[right - 1] * (1 - share) + after.currentA[right] * share;
    difference.timeS.push(atS);
    difference.beforeA.push(before.currentA[i]);
    difference.afterA.push(valueA);
    difference.currentA.push(valueA - before.currentA[i]);
  }
  return difference;
}
