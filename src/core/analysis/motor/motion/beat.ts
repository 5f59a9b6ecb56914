import { mean, sampleDeviation, slopeOf } from '../../../stats.ts';
import type { Beat } from '../../results.ts';
import type { PressView } from './press-view.ts';
import { SLOWEST_TURN_HZ } from '../motor-model.ts';
import { BEAT } from '../settings.ts';
import type { IndexRange } from '../types.ts';
import { SMALL_PART } from '../signal/decision-levels.ts';

/**
 * A load that recurs at a steady period, slower than the commutator: the autocorrelation of the envelope has its first clear peak there,
 * and the run folded at it repeats from one period to the next. Depth is that of the folded wave, its bounds 95 % by the scatter between
 * periods. Null where fewer than four periods were recorded, or nothing recurs. O(cells x lags).
 */
export function findBeat({ envelope }: PressView, running: readonly IndexRange[]): Beat | null {
  const longest = running.reduce<IndexRange | null>((best, range) => (best === null || range.endIndex - range.startIndex > best.endIndex - best.startIndex ? range : best), null);
  if (longest === null) return null;
  const from = Math.max(0, Math.floor((longest.startIndex - envelope.startIndex) / envelope.step) + 2);
  const to = Math.min(envelope.cells - 2, Math.floor((longest.endIndex - envelope.startIndex) / envelope.step) - 4);
  // slower than the rotation of a motor, as gears and cranks turn
  const shortest = Math.ceil(1 / (SLOWEST_TURN_HZ * envelope.stepS));
  const most = Math.floor((to - from) / BEAT.fewestPeriods);
  if (most <= shortest) return null;
  const values = detrended(envelope.levelA.subarray(from, to));
  const period = recurrence(values, shortest, most);
  if (period === null) return null;
  const folded = fold(values, period);
  if (folded === null) return null;
  const { depthA, errorA } = folded;
  const levelA = mean(envelope.levelA.subarray(from, to));
  if (depthA < SMALL_PART * levelA || depthA < 2 * errorA) return null;
  return { period_s: period * envelope.stepS, depth_a: depthA, low_a: Math.max(0, depthA - errorA), high_a: depthA + errorA };
}

/** Without its straight line: a winding that warms up is no beat. */
function detrended(values: Float64Array): Float64Array {
  const cells = values.map((_value, i) => i - (values.length - 1) / 2);
  const level = mean(values);
  const slope = slopeOf(cells, values);
  return values.map((value, i) => value - level - slope * cells[i]);
}

/** Period in cells, with a fraction, of the first clear peak of the autocorrelation; null where nothing recurs. */
function recurrence(values: Float64Array, shortest: number, most: number): number | null {
  const power = values.reduce((sum, value) => sum + value * value, 0) / values.length;
  if (!(power > 0)) return null;
  const correlation = new Float64Array(most + 2);
  for (let lag = 1; lag < correlation.length; lag++) {
    let sum = 0;
    for (let i = lag; i < values.length; i++) sum += values[i] * values[i - lag];
    correlation[lag] = sum / (values.length - lag) / power;
  }
  let dipped = false;
  let best = 0;
  for (let lag = 2; lag <= most; lag++) {
    if (correlation[lag] < SMALL_PART) dipped = true;
    // half of the swing's power comes again: of noise and of a drifting load less does
    if (!dipped || correlation[lag] < 0.5) continue;
    if (correlation[lag] >= correlation[lag - 1] && correlation[lag] >= correlation[lag + 1] && (best === 0 || correlation[lag] > correlation[best] + SMALL_PART)) best = lag;
  }
  // what recurs faster than any beat is the rotor's, and so are its multiples
  if (best < shortest) return null;
  const [before, at, after] = [correlation[best - 1], correlation[best], correlation[best + 1]];
  const bend = before - 2 * at + after;
  return best + (bend < 0 ? (before - after) / (2 * bend) : 0);
}

/** The mean period and how far single periods differ from it. */
function fold(values: Float64Array, period: number): { depthA: number; errorA: number } | null {
  const periods = Math.floor(values.length / period);
  const bins = Math.min(24, Math.max(6, Math.floor(period / 2)));
  const rows = Array.from({ length: periods }, () => new Float64Array(bins));
  const counts = Array.from({ length: periods }, () => new Float64Array(bins));
  for (let i = 0; i < values.length; i++) {
    const turn = Math.floor(i / period);
    if (turn >= periods) break;
    const bin = Math.min(bins - 1, Math.floor((i / period - turn) * bins));
    rows[turn][bin] += values[i];
    counts[turn][bin]++;
  }
  const wave = Float64Array.from({ length: bins }, (_value, bin) => mean(rows.map((row, turn) => row[bin] / Math.max(1, counts[turn][bin]))));
  let high = 0;
  let low = 0;
  for (let bin = 1; bin < bins; bin++) {
    if (wave[bin] > wave[high]) high = bin;
    if (wave[bin] < wave[low]) low = bin;
  }
  const depths = Float64Array.from(rows, (row, turn) => row[high] / Math.max(1, counts[turn][high]) - row[low] / Math.max(1, counts[turn][low]));
  return periods < BEAT.fewestPeriods ? null : { depthA: wave[high] - wave[low], errorA: (2 * sampleDeviation(depths)) / Math.sqrt(periods) };
}
