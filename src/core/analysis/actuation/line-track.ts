import { student95 } from './run.ts';
import { peakBetweenBins } from './spectrum.ts';

/** Where the line lies in each window, Hz: the strongest bin near where all windows together have it. */
export function follow(spectra: readonly Float64Array[], bin: number, binHz: number): number[] {
  return spectra.map((power) => placeNear(power, bin, Math.max(2, Math.round(0.06 * bin))) * binHz);
}

/** Position of the strongest bin within `reach` bins of a place. */
function placeNear(power: Float64Array, bin: number, reach: number): number {
  const first = Math.max(2, Math.round(bin - reach));
  const last = Math.min(power.length - 2, Math.round(bin + reach));
  let best = Math.max(first, Math.min(last, Math.round(bin)));
  for (let k = first; k <= last; k++) if (power[k] > power[best]) best = k;
  return peakBetweenBins(power, best);
}

/** A window whose line was lost in noise takes the middle of the track instead of a noise bin's place. */
export function withoutStrays(track: readonly number[]): number[] {
  const sorted = [...track].sort((a, b) => a - b);
  const middle = sorted[sorted.length >> 1];
  const off = track.map((hz) => Math.abs(hz - middle)).sort((a, b) => a - b);
  const limit = Math.max(5 * off[off.length >> 1], 0.004 * middle);
  return track.map((hz) => (Math.abs(hz - middle) > limit ? middle : hz));
}

export function average(values: readonly number[]): number {
  let sum = 0;
  for (const value of values) sum += value;
  return sum / values.length;
}

/** How far the middle of a track is open, Hz, 95 % by the scatter of the windows, half of them counted as independent (they overlap by half). */
export function boundOf(track: readonly number[], meanHz: number, binHz: number): number {
  // the parabola's own error is a few hundredths of a bin (Hann window)
  const placeHz = 0.04 * binHz;
  if (track.length < 3) return Math.max(0.25 * binHz, placeHz);
  let squares = 0;
  for (const hz of track) squares += (hz - meanHz) ** 2;
  const independent = Math.max(2, track.length / 2);
  return Math.hypot(student95(Math.round(independent)) * Math.sqrt(squares / (track.length - 1) / independent), placeHz);
}
