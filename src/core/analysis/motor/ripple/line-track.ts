import { median, robustSigma, sampleDeviation } from '../../../stats.ts';
import { peakBetweenBins, strongestBin } from '../signal/spectrum.ts';
import type { Line } from './ripple-line.ts';
import { CLEAR_PART, clearOf, LITTLE, SMALL_PART } from '../signal/decision-levels.ts';
import { LAW_UNCERTAINTY } from './steepness.ts';
import { student95 } from '../../uncertainty/distributions.ts';

/** Where the line lies in each window, Hz: the strongest bin near where all windows together have it. */
export function follow(spectra: readonly Float64Array[], bin: number, binHz: number): number[] {
  return spectra.map((power) => peakBetweenBins(power, strongestNear(power, bin)) * binHz);
}

function strongestNear(power: Float64Array, bin: number): number {
  const reach = Math.max(2, Math.round(LITTLE * bin));
  return strongestBin(power, Math.max(2, bin - reach), Math.min(power.length - 2, bin + reach));
}

/**
 * Whether a line is there through most of the run: near its place most windows have a clear part of what they have in the mean. One that
 * is there for a while (one of several speeds, where a folded line turns back, a phone's frames) says nothing of the run.
 */
export function isThroughout({ bin, power }: Pick<Line, 'bin' | 'power'>, spectra: readonly Float64Array[]): boolean {
  const enough = (CLEAR_PART * power) / spectra.length;
  return 2 * spectra.filter((one) => one[strongestNear(one, bin)] > enough).length > spectra.length;
}

/** A window whose line was lost in noise takes the middle of the track instead of a noise bin's place. */
export function withoutStrays(track: readonly number[]): number[] {
  const middle = median(track);
  const limit = Math.max(clearOf(track.length) * robustSigma(track), LAW_UNCERTAINTY * middle);
  return track.map((hz) => (Math.abs(hz - middle) > limit ? middle : hz));
}

/** How far the middle of a track is open, Hz, 95 % by the scatter of the windows, half of them counted as independent (they overlap by half). */
export function boundOf(track: readonly number[], binHz: number): number {
  // a line is placed to a small part of a bin (parabola, Hann window), where windows enough follow it
  const placeHz = SMALL_PART * binHz;
  if (track.length <= 2) return binHz / 2;
  const independent = Math.max(2, track.length / 2);
  return Math.hypot((student95(Math.round(independent)) * sampleDeviation(track)) / Math.sqrt(independent), placeHz);
}
