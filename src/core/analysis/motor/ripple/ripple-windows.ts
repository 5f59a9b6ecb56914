import { FEWEST_PER_TURN, SLOWEST_TURN_HZ } from '../motor-model.ts';
import { MOST_WINDOWS, spectrumMaker } from '../signal/spectrum.ts';

/** Spectra of a stretch, window by window. */
export interface RippleWindows {
  /** samples a window */
  readonly length: number;
  /** first sample of each window, from the start of the stretch */
  readonly starts: readonly number[];
  readonly spectra: readonly Float64Array[];
  /** sum of the spectra */
  readonly total: Float64Array;
  readonly binHz: number;
  /** first bin that is looked at */
  readonly lowestBin: number;
}

/** of the rate, or of the samples a window as bins; a line nearer to half the rate may as well be a folded one. 2.5 samples a ripple, common practice */
export const HIGHEST_SHARE = 0.4;
/** s; one spectrum covers about this: long enough for a narrow line, short enough that the speed hardly drifts. Scored */
export const WINDOW_S = 0.2;

/** samples of a window, at worst half of them: shorter ones have no line of their own beside the level */
export const FEWEST_SAMPLES = 64;

/** Spectra of half-overlapping (or, in a long stretch, evenly spread) windows; null for a stretch too short for one. */
export function rippleWindows(values: Float32Array, startIndex: number, endIndex: number, rateHz: number): RippleWindows | null {
  const samples = endIndex - startIndex;
  const wanted = 2 ** Math.round(Math.log2(rateHz * WINDOW_S));
  const length = Math.min(Math.max(FEWEST_SAMPLES, wanted), 2 ** Math.floor(Math.log2(samples)));
  if (length < FEWEST_SAMPLES / 2) return null;
  const maker = spectrumMaker(length);
  const windows = Math.min(MOST_WINDOWS, Math.max(1, Math.floor((2 * samples) / length) - 1));
  const starts = Array.from({ length: windows }, (_start, w) => (windows === 1 ? 0 : Math.round(((samples - length) * w) / (windows - 1))));
  const spectra = starts.map(() => new Float64Array(length / 2 + 1));
  for (let w = 0; w + 1 < windows; w += 2) maker.addPowers(values, startIndex + starts[w], startIndex + starts[w + 1], spectra[w], spectra[w + 1]);
  if (windows % 2 === 1) maker.addPower(values, startIndex + starts[windows - 1], spectra[windows - 1]);
  const total = new Float64Array(length / 2 + 1);
  for (const power of spectra) for (let k = 0; k < power.length; k++) total[k] += power[k];
  const binHz = rateHz / length;
  // slower lines than half the slowest commutation, once a segment, are the mechanism's
  return { length, starts, spectra, total, binHz, lowestBin: Math.max(2, Math.ceil((SLOWEST_TURN_HZ * FEWEST_PER_TURN) / 2 / binHz)) };
}
