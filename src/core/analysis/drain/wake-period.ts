import { median } from '../../stats.ts';
import type { WakeUp } from '../results.ts';

export interface WakePeriod {
  period_s: number;
  low_s: number;
  high_s: number;
  /** false: woken again and again, but not by a clock */
  regular: boolean;
}

/** Wake-ups whose starts scatter about a fixed beat by less than this share of the period are regular. */
const REGULAR_SHARE = 0.12;

/**
 * The beat of wake-ups that nobody caused: starts are numbered in whole periods from the first one (so that a missed one, or a stretch
 * without samples, does not spoil it), then a straight line through start against number gives the period and, from its residuals, the
 * doubt. Needs three wake-ups; null with fewer.
 */
export function wakePeriod(wakeUps: readonly WakeUp[]): WakePeriod | null {
  const starts = wakeUps.filter((wake) => wake.cause === null || wake.cause === undefined).map((wake) => wake.start_s);
  if (starts.length < 3) return null;
  const apart: number[] = [];
  for (let i = 1; i < starts.length; i++) apart.push(starts[i] - starts[i - 1]);
  const beatS = median(apart);
  const numbers = [0];
  for (const gapS of apart) numbers.push(numbers[numbers.length - 1] + Math.max(1, Math.round(gapS / beatS)));
  const count = starts.length;
  const middle = numbers.reduce((sum, value) => sum + value, 0) / count;
  const meanS = starts.reduce((sum, value) => sum + value, 0) / count;
  let xx = 0;
  let xy = 0;
  for (let i = 0; i < count; i++) {
    xx += (numbers[i] - middle) ** 2;
    xy += (numbers[i] - middle) * (starts[i] - meanS);
  }
  const periodS = xy / xx;
  let rest = 0;
  let largest = 0;
  const offBeat: number[] = [];
  for (let i = 0; i < count; i++) {
    const residual = starts[i] - meanS - periodS * (numbers[i] - middle);
    rest += residual * residual;
    largest = Math.max(largest, Math.abs(residual));
  }
  for (let i = 0; i < apart.length; i++) offBeat.push(Math.abs(apart[i] - periodS * (numbers[i + 1] - numbers[i])));
  const doubtS = Math.max(0.001 * periodS, 2.5 * Math.sqrt(rest / Math.max(1, count - 2) / xx));
  const skipped = numbers[count - 1] - (count - 1);
  const regular = median(offBeat) <= REGULAR_SHARE * periodS && skipped <= 0.34 * numbers[count - 1] + 1;
  return { period_s: periodS, low_s: periodS - doubtS, high_s: periodS + doubtS, regular };
}
