import { normalQuantile } from '../uncertainty/distributions.ts';
import type { Change } from './change.ts';

/** So many of so many. */
export interface Share {
  readonly count: number;
  readonly of: number;
}

/**
 * How much a share changed, after minus before, with 95 % bounds: Newcombe's method 10 (Statistics in Medicine 17, 1998, 873-890),
 * which joins the Wilson intervals of both sides and holds for small counts and for none or all. Both sides must hold at least one.
 */
export function shareChange(before: Share, after: Share): Change {
  const bounds = (probability: number): [low: number, high: number] => {
    const z = normalQuantile(probability);
    const [a, b] = [before, after].map((share) => wilson(share, z));
    const change = b.value - a.value;
    return [change - Math.hypot(b.value - b.low, a.high - a.value), change + Math.hypot(b.high - b.value, a.value - a.low)];
  };
  const [low, high] = bounds(0.975);
  const [low90, high90] = bounds(0.95);
  const values = { before: before.count / before.of, after: after.count / after.of };
  return { ...values, change: values.after - values.before, low, high, low90, high90, method: 'newcombe' };
}

/** Wilson's score interval (1927). */
export function wilson({ count, of }: Share, z: number): { value: number; low: number; high: number } {
  const value = count / of;
  const middle = (value + (z * z) / (2 * of)) / (1 + (z * z) / of);
  const half = (z / (1 + (z * z) / of)) * Math.sqrt((value * (1 - value)) / of + (z * z) / (4 * of * of));
  return { value, low: Math.max(0, middle - half), high: Math.min(1, middle + half) };
}
