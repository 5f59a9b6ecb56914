import type { Ripple } from '../results.ts';
import type { Baseline } from './baseline.ts';
import type { IndexRange, Press } from './presses.ts';
import type { Sampling } from './sampling.ts';
import { chooseRipple, findLines } from './ripple-line.ts';
import { student95 } from './run.ts';
import { peakBetweenBins, SpectrumMaker } from './spectrum.ts';

export interface RippleReading {
  readonly ripple: Ripple | null;
  /** a line was seen that is, or may be, an alias of a faster one */
  readonly aliased: boolean;
}

const NOTHING: RippleReading = { ripple: null, aliased: false };

/** s; one spectrum covers about this: long enough for a narrow line, short enough that the speed hardly drifts. Scored */
const WINDOW_S = 0.2;
const MOST_WINDOWS = 40;
/** a ripple must come this many times for a frequency to be told (TI DRV8215 datasheet: "consider at least 20 ripples") */
const FEWEST_RIPPLES = 20;
/** Hz; slower lines are the mechanism's, not the commutator's. Common practice */
const LOWEST_HZ = 20;
/** of the rate; a line nearer to half the rate may as well be a folded one. 2.5 samples a ripple (outside numbers 3.3) */
const HIGHEST_SHARE = 0.4;

/**
 * Frequency of the commutator's ripple over the run. Spectra of short windows are averaged to find the line, then the line is followed
 * from window to window, since the motor's speed drifts with its load. `frequency_hz` is the mean over the run; the bounds are 95 % for
 * that mean by the scatter of the windows with half of them counted as independent (they overlap by half). Null when no line stands
 * clear of the noise or the rate does not allow it.
 */
export function readRipple(press: Press, running: readonly IndexRange[], baseline: Baseline, sampling: Sampling, perRevolution: number | undefined): RippleReading {
  const range = longestWhole(running, sampling);
  if (range === null || sampling.rateHz < 60) return NOTHING;
  const samples = range.endIndex - range.startIndex;
  const wanted = 2 ** Math.round(Math.log2(sampling.rateHz * WINDOW_S));
  const length = Math.min(Math.max(64, wanted), 2 ** Math.floor(Math.log2(samples)));
  if (length < 32) return NOTHING;
  const maker = new SpectrumMaker(length);
  const windows = Math.min(MOST_WINDOWS, Math.max(1, Math.floor((2 * samples) / length) - 1));
  const binHz = sampling.rateHz / length;
  const lowestBin = Math.max(3, Math.ceil(LOWEST_HZ / binHz));
  const spectra: Float64Array[] = [];
  const total = new Float64Array(length / 2 + 1);
  const starts: number[] = [];
  for (let w = 0; w < windows; w++) {
    const startIndex = range.startIndex + (windows === 1 ? 0 : Math.round(((samples - length) * w) / (windows - 1)));
    const power = new Float64Array(length / 2 + 1);
    maker.addPower(baseline.deviationA, startIndex, power);
    for (let k = 0; k < power.length; k++) total[k] += power[k];
    spectra.push(power);
    starts.push(startIndex);
  }
  const lines = findLines(total, windows, lowestBin).filter((line) => !isMains(line.at * binHz, binHz, baseline));
  const chosen = chooseRipple(lines, perRevolution);
  if (chosen === null) return NOTHING;
  const track = follow(spectra, chosen.bin, binHz);
  const meanHz = average(track);
  if (meanHz > HIGHEST_SHARE * sampling.rateHz) return { ripple: null, aliased: true };
  let runS = 0;
  for (const part of running) runS += (part.endIndex - part.startIndex) * sampling.periodS;
  if (meanHz * runS < FEWEST_RIPPLES) return NOTHING;
  if (movesWithLoad(track, starts, length, press, baseline, binHz)) return { ripple: null, aliased: true };
  const errorHz = boundOf(track, meanHz, binHz);
  return {
    ripple: {
      frequency_hz: meanHz,
      low_hz: meanHz - errorHz,
      high_hz: meanHz + errorHz,
      revolutions_per_s: perRevolution === undefined || !(perRevolution > 0) ? null : meanHz / perRevolution,
      count: Math.round(meanHz * runS),
    },
    aliased: false,
  };
}

/** The longest running stretch without a hole in time. */
function longestWhole(running: readonly IndexRange[], sampling: Sampling): IndexRange | null {
  let best: IndexRange | null = null;
  const consider = (startIndex: number, endIndex: number): void => {
    if (endIndex - startIndex >= 32 && (best === null || endIndex - startIndex > best.endIndex - best.startIndex)) best = { startIndex, endIndex };
  };
  for (const range of running) {
    let from = range.startIndex;
    for (const hole of sampling.holes) {
      if (hole <= from || hole >= range.endIndex) continue;
      consider(from, hole);
      from = hole;
    }
    consider(from, range.endIndex);
  }
  return best;
}

/** What is left of a mains hum after it was taken out is no ripple. */
function isMains(hz: number, binHz: number, baseline: Baseline): boolean {
  if (baseline.hum === null) return false;
  return Math.abs(hz - baseline.hum.frequencyHz) < Math.max(1, binHz) || Math.abs(hz - 2 * baseline.hum.frequencyHz) < Math.max(0.5, binHz / 2);
}

/** Where the line lies in each window, Hz: the strongest bin near where it was in the window before. */
function follow(spectra: readonly Float64Array[], bin: number, binHz: number): number[] {
  const track: number[] = [];
  const reach = Math.max(2, Math.round(0.06 * bin));
  for (const power of spectra) {
    let best = bin;
    for (let k = Math.max(2, bin - reach); k <= Math.min(power.length - 2, bin + reach); k++) if (power[k] > power[best]) best = k;
    track.push(peakBetweenBins(power, best) * binHz);
  }
  return withoutStrays(track);
}

/** A window whose line was lost in noise takes the middle of the track instead of a noise bin's place. */
function withoutStrays(track: readonly number[]): number[] {
  const sorted = [...track].sort((a, b) => a - b);
  const middle = sorted[sorted.length >> 1];
  const off = track.map((hz) => Math.abs(hz - middle)).sort((a, b) => a - b);
  const limit = Math.max(5 * off[off.length >> 1], 0.004 * middle);
  return track.map((hz) => (Math.abs(hz - middle) > limit ? middle : hz));
}

function average(values: readonly number[]): number {
  let sum = 0;
  for (const value of values) sum += value;
  return sum / values.length;
}

function boundOf(track: readonly number[], meanHz: number, binHz: number): number {
  // the parabola's own error is a few hundredths of a bin (Hann window)
  const placeHz = 0.04 * binHz;
  if (track.length < 3) return Math.max(0.25 * binHz, placeHz);
  let squares = 0;
  for (const hz of track) squares += (hz - meanHz) ** 2;
  const independent = Math.max(2, track.length / 2);
  return Math.hypot(student95(Math.round(independent)) * Math.sqrt(squares / (track.length - 1) / independent), placeHz);
}

/**
 * A motor slows down when its load, and so its current, rises. A line that rises with the current is therefore a folded one.
 * Only told when both have moved enough.
 */
function movesWithLoad(track: readonly number[], starts: readonly number[], length: number, press: Press, baseline: Baseline, binHz: number): boolean {
  if (track.length < 8) return false;
  const levels = starts.map((startIndex) => {
    let sum = 0;
    for (let i = startIndex; i < startIndex + length; i++) sum += baseline.deviationA[i];
    return (sum / length) * press.sign;
  });
  const meanHz = average(track);
  const meanA = average(levels);
  let across = 0;
  let alongHz = 0;
  let alongA = 0;
  for (let k = 0; k < track.length; k++) {
    across += (track[k] - meanHz) * (levels[k] - meanA);
    alongHz += (track[k] - meanHz) ** 2;
    alongA += (levels[k] - meanA) ** 2;
  }
  if (Math.sqrt(alongHz / track.length) < 0.3 * binHz || Math.sqrt(alongA / track.length) < 0.01 * Math.abs(meanA)) return false;
  return across / Math.sqrt(alongHz * alongA) > 0.75;
}
