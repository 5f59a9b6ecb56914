import type { Line } from '../../src/core/wire/prove.ts';

/**
 * After minus before at the moments of `before` that `after` covers too; `after` is read between its samples along a straight line, so
 * traces of different rates subtract. Times of both must rise. O(n + m).
 */
export function differenceOf(before: Line, after: Line): { timeS: number[]; currentA: number[] } {
  const timeS: number[] = [];
  const currentA: number[] = [];
  const last = after.timeS.length - 1;
  let right = 1;
  for (const [i, atS] of before.timeS.entries()) {
    if (last < 1 || atS < after.timeS[0]! || atS > after.timeS[last]!) continue;
    while (right < last && after.timeS[right]! < atS) right++;
    const leftS = after.timeS[right - 1]!;
    const widthS = after.timeS[right]! - leftS;
    const share = widthS > 0 ? (atS - leftS) / widthS : 1;
    const valueA = after.currentA[right - 1]! * (1 - share) + after.currentA[right]! * share;
    timeS.push(atS);
    currentA.push(valueA - before.currentA[i]!);
  }
  return { timeS, currentA };
}
