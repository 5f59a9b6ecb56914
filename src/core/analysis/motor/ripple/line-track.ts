import { median, sampleDeviation } from '../../../stats.ts';
import { NEAR } from './ripple-line.ts';
import { peakBetweenBins, strongestBin } from '../signal/spectrum.ts';
import { student95 } from '../../uncertainty/distributions.ts';

/** of a bin; how well a line is placed (parabola, Hann window) */
export const PLACED = 0.07;

/** Where the line lies in each window, Hz: the strongest bin near where all windows together have it. */
export function follow(spectra: readonly Float64Array[], bin: number, binHz: number): number[] {
  const reach = Math.max(2, Math.round(NEAR * bin));
  return spectra.map((power) => peakBetweenBins(power, strongestBin(power, Math.max(2, bin - reach), Math.min(power.length - 2, bin + reach))) * binHz);
}

/** A window whose line was lost in noise takes the middle of the track instead of a noise bin's place. */
export function withoutStrays(track: readonly number[]): number[] {
  const middle = median(track);
  const limit = Math.max(5 * median(track.map((hz) => Math.abs(hz - middle))), 0.004 * middle);
  return track.map((hz) => (Math.abs(hz - middle) > limit ? middle : hz));
}

/** How far the middle of a track is open, Hz, 95 % by the scatter of the windows, half of them counted as independent (they overlap by half). */
export function boundOf(track: readonly number[], binHz: number): number {
  const placeHz = PLACED * binHz;
  if (track.length < 3) return Math.max(0.25 * binHz, placeHz);
  const independent = Math.max(2, track.length / 2);
  return Math.hypot((student95(Math.round(independent)) * sampleDeviation(track)) / Math.sqrt(independent), placeHz);
}
