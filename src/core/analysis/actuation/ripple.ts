import { mean, median } from '../../stats.ts';
import type { Ripple } from '../results.ts';
import type { Baseline } from './baseline.ts';
import type { IndexRange, Press } from './presses.ts';
import type { Sampling } from './sampling.ts';
import { idleSpectrum, isInIdle } from './idle-lines.ts';
import { holdAgainstLaw, type LinePoint } from './ripple-law.ts';
import { chooseRipple, findLines, type Line } from './ripple-line.ts';
import { student95 } from './run.ts';
import { peakBetweenBins, SpectrumMaker } from './spectrum.ts';

export interface RippleReading {
  readonly ripple: Ripple | null;
  /** a line was seen that is, or may be, an alias of a faster one */
  readonly aliased: boolean;
}

/** A followed line of one press, before it is decided whether it is told. */
interface Candidate {
  readonly ripple: Ripple;
  readonly points: readonly LinePoint[];
}

/** s; one spectrum covers about this: long enough for a narrow line, short enough that the speed hardly drifts. Scored */
const WINDOW_S = 0.2;
const MOST_WINDOWS = 24;
/** a ripple must come this many times for a frequency to be told (TI DRV8215 datasheet: "consider at least 20 ripples") */
const FEWEST_RIPPLES = 20;
/** Hz; slower lines are the mechanism's, not the commutator's. Common practice */
const LOWEST_HZ = 20;
/** of the rate; a line nearer to half the rate may as well be a folded one. 2.5 samples a ripple (outside numbers 3.3) */
const HIGHEST_SHARE = 0.4;

/** samples per second below which a line at 20 Hz to 0.4 of the rate is rather a folded one: ripple is usually at 100 Hz to 1 kHz (outside numbers 3.3) */
const SLOW_LOGGER_HZ = 900;
/** samples per second from which on no ripple is fast enough to fold into what is looked at: 52 a turn (outside numbers 3.1) at 6600 rpm is 5.7 kHz */
const NO_FOLD_HZ = 12_000;
/** revolutions per second; small motors under load turn at 900 rpm and more (common practice), starved or dragging ones at a sixth of that. Scored */
const SLOWEST_TURN_HZ = 2.5;
/** ripples per revolution when they are not known: three segments and two brushes, the fewest built (outside numbers 3.3) */
const FEWEST_PER_TURN = 6;
/** Hz; the fastest such motors, 6600 rpm: below this a lone line may be the rotation itself */
const FASTEST_TURN_HZ = 110;

/**
 * Frequency of the commutator's ripple in every press. Spectra of short windows are averaged to find the line, then the line is followed
 * from window to window, since the motor's speed drifts with its load. `frequency_hz` is the median of the windows, as the level is
 * that of the readings, and the count goes by their mean; the bounds are 95 % by the scatter of the windows with half of them counted as independent (they overlap by half).
 *
 * Null when no line stands clear of the noise, when the idle clamp shows it too, when it would make the motor turn slower than such motors
 * do, when the logger is too slow to tell it from the rotation, or when it moves against the motor's law (a folded line); a slow
 * logger's line must show by that law that it is none.
 *
 * @param peakA highest current of the trace at switch-on or standing, A
 */
export function readRipples(presses: readonly Press[], running: readonly (readonly IndexRange[])[], baseline: Baseline, sampling: Sampling, peakA: number, perRevolution: number | undefined): RippleReading[] {
  const idle = new Map<number, Float64Array | null>();
  const idleOf = (maker: SpectrumMaker): Float64Array | null => {
    const known = idle.get(maker.length);
    if (known !== undefined) return known;
    const made = idleSpectrum(baseline, maker);
    idle.set(maker.length, made);
    return made;
  };
  const candidates = presses.map((press, p) => findCandidate(press, running[p], baseline, sampling, perRevolution, idleOf));
  const points = candidates.flatMap((candidate) => (candidate === null || candidate === 'folded' ? [] : candidate.points));
  const law = holdAgainstLaw(points, peakA);
  const isTold = law === 'agrees' || sampling.rateHz >= NO_FOLD_HZ || (law === 'silent' && sampling.rateHz >= SLOW_LOGGER_HZ);
  return candidates.map((candidate) => {
    if (candidate === null) return { ripple: null, aliased: false };
    return candidate !== 'folded' && isTold ? { ripple: candidate.ripple, aliased: false } : { ripple: null, aliased: true };
  });
}

function findCandidate(press: Press, running: readonly IndexRange[], baseline: Baseline, sampling: Sampling, perRevolution: number | undefined, idleOf: (maker: SpectrumMaker) => Float64Array | null): Candidate | 'folded' | null {
  const range = longestWhole(running, sampling);
  if (range === null || sampling.rateHz < 60) return null;
  const samples = range.endIndex - range.startIndex;
  const wanted = 2 ** Math.round(Math.log2(sampling.rateHz * WINDOW_S));
  const length = Math.min(Math.max(64, wanted), 2 ** Math.floor(Math.log2(samples)));
  if (length < 32) return null;
  const maker = spectrumMaker(length);
  const windows = Math.min(MOST_WINDOWS, Math.max(1, Math.floor((2 * samples) / length) - 1));
  const binHz = sampling.rateHz / length;
  const lowestBin = Math.max(3, Math.ceil(LOWEST_HZ / binHz));
  const starts = Array.from({ length: windows }, (_start, w) => range.startIndex + (windows === 1 ? 0 : Math.round(((samples - length) * w) / (windows - 1))));
  const spectra = starts.map(() => new Float64Array(length / 2 + 1));
  for (let w = 0; w + 1 < windows; w += 2) maker.addPowers(baseline.deviationA, starts[w], starts[w + 1], spectra[w], spectra[w + 1]);
  if (windows % 2 === 1) maker.addPower(baseline.deviationA, starts[windows - 1], spectra[windows - 1]);
  const total = new Float64Array(length / 2 + 1);
  for (const power of spectra) for (let k = 0; k < power.length; k++) total[k] += power[k];
  const idle = idleOf(maker);
  const found = findLines(total, windows, lowestBin);
  const lines = found.filter((line) => !isMains(line.at * binHz, binHz, (4 / length) * Math.sqrt(line.power / windows), baseline) && !isInIdle(idle, line.bin, line.power / windows));
  const picked = chooseRipple(lines, perRevolution);
  const chosen = picked === null ? null : firstOf(found, picked);
  if (chosen === null) return null;
  const placed = follow(spectra, chosen.bin, binHz);
  const track = withoutStrays(placed);
  const meanHz = average(track);
  if (meanHz > HIGHEST_SHARE * sampling.rateHz) return 'folded';
  if (couldBeRotation(meanHz, sampling.rateHz, perRevolution)) return null;
  let runS = 0;
  for (const part of running) runS += (part.endIndex - part.startIndex) * sampling.periodS;
  if (meanHz * runS < FEWEST_RIPPLES) return null;
  const usualHz = median(track);
  const errorHz = boundOf(track, meanHz, binHz);
  return {
    ripple: {
      frequency_hz: usualHz,
      low_hz: usualHz - errorHz,
      high_hz: usualHz + errorHz,
      revolutions_per_s: perRevolution === undefined || !(perRevolution > 0) ? null : usualHz / perRevolution,
      count: Math.round(meanHz * runS),
    },
    points: linePoints(placed, track, starts, length, press, baseline),
  };
}

/**
 * Whether the line may as well be the rotation, with its ripple too fast for this logger to show: then only a rate that would make the
 * motor turn slower than motors do, were the line its ripple, tells nothing, and an unknown number of ripples nothing below the rate of rotation.
 */
function couldBeRotation(hz: number, rateHz: number, perRevolution: number | undefined): boolean {
  const perTurn = perRevolution ?? FEWEST_PER_TURN;
  if (hz * perTurn <= HIGHEST_SHARE * rateHz) return false;
  return perRevolution === undefined ? hz < FASTEST_TURN_HZ : hz < SLOWEST_TURN_HZ * perTurn;
}

/** The windows for the motor's law: without those that lost the line and, where there are enough, the first and last, which touch an edge. */
function linePoints(placed: readonly number[], track: readonly number[], starts: readonly number[], length: number, press: Press, baseline: Baseline): LinePoint[] {
  const points: LinePoint[] = [];
  const edge = starts.length > 4 ? 1 : 0;
  for (let w = edge; w < starts.length - edge; w++) {
    if (placed[w] !== track[w]) continue;
    points.push({ hz: placed[w], levelA: mean(baseline.deviationA.subarray(starts[w], starts[w] + length)) * press.sign });
  }
  return points;
}

/** Tables of the last length asked for: the presses of a trace mostly share one. */
let lastMaker: SpectrumMaker | null = null;

function spectrumMaker(length: number): SpectrumMaker {
  if (lastMaker?.length !== length) lastMaker = new SpectrumMaker(length);
  return lastMaker;
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

/**
 * What is left of a mains hum after it was taken out is no ripple. A motor may turn at that rate too: a line stronger than the hum ever
 * was is not what is left of it.
 */
function isMains(hz: number, binHz: number, amplitudeA: number, baseline: Baseline): boolean {
  const { hum } = baseline;
  if (hum === null || amplitudeA > hum.amplitudeA) return false;
  return Math.abs(hz - hum.frequencyHz) < Math.max(1, binHz) || Math.abs(hz - 2 * hum.frequencyHz) < Math.max(0.5, binHz / 2);
}

/** The line itself where only its second harmonic stood clear of the hum beside it: the idle clamp, which lacks the harmonic, does not make its first. */
function firstOf(found: readonly Line[], picked: Line): Line {
  const first = found.find((line) => Math.abs(2 * line.at - picked.at) < Math.max(1, 0.01 * picked.at) && line.power > picked.power);
  return first ?? picked;
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
  return track;
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
