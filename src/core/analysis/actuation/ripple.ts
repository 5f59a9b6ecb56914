import { median, robustSigma } from '../../stats.ts';
import type { Ripple } from '../results.ts';
import type { Baseline } from './baseline.ts';
import type { IndexRange, Press } from './presses.ts';
import type { Sampling } from './sampling.ts';
import { idleSpectrum, isInIdle } from './idle-lines.ts';
import { couldFold, foldVerdict, type FollowedLine } from './fold-test.ts';
import { chooseRipple, findLines, neededAt, type Line } from './ripple-line.ts';
import { rippleWindows, spectrumMaker, type RippleWindows } from './ripple-windows.ts';
import { student95 } from './run.ts';
import { comesOnceATurn, couldBeRotation } from './rotation-line.ts';
import { peakBetweenBins } from './spectrum.ts';
import { findTurn, isSure, orderOf, type Turn } from './turn.ts';
import { atEvenSpeed, meanShare, speedCourse, usualCurrent, type SpeedCourse } from './speed-course.ts';
import { commonSteepness, concentrationOf, floorsOf } from './steepness.ts';

export interface RippleReading {
  readonly ripple: Ripple | null;
  /** a line was seen that is, or may be, an alias of a faster one */
  readonly aliased: boolean;
}

/** A followed line of one press, before it is decided whether it is told. */
interface Candidate extends FollowedLine {
  readonly ripple: Ripple;
  /** it may be the rotation, with its ripple out of sight */
  readonly lone: boolean;
  /** something comes once a turn, were it the ripple */
  readonly turning: boolean;
}

/** a ripple must come this many times for a frequency to be told (TI DRV8215 datasheet: "consider at least 20 ripples") */
const FEWEST_RIPPLES = 20;
/** Hz; slower lines are the mechanism's, not the commutator's. Common practice */
const LOWEST_HZ = 20;
/** of the rate; a line nearer to half the rate may as well be a folded one. 2.5 samples a ripple (outside numbers 3.3) */
const HIGHEST_SHARE = 0.4;

/** samples per second below which a line at 20 Hz to 0.4 of the rate is rather a folded one: ripple is usually at 100 Hz to 1 kHz (outside numbers 3.3) */
const SLOW_LOGGER_HZ = 900;

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
export function readRipples(presses: readonly Press[], running: readonly (readonly IndexRange[])[], baseline: Baseline, sampling: Sampling, peakA: number, perRevolution: number | undefined, cornerHz: number): RippleReading[] {
  const idle = new Map<number, Float64Array | null>();
  const idleOf = (length: number): Float64Array | null => {
    const known = idle.get(length);
    if (known !== undefined) return known;
    const made = idleSpectrum(baseline, spectrumMaker(length));
    idle.set(length, made);
    return made;
  };
  const views = presses.map((press, p) => viewRipple(press, running[p], baseline, sampling, idleOf)).filter((view) => view !== null);
  const evened = evenedViews(views, peakA, baseline, sampling);
  const candidates = presses.map((press) => {
    const view = evened.find((each) => each.press === press);
    return view === undefined ? null : findCandidate(view, baseline, sampling, perRevolution, cornerHz, idleOf);
  });
  const followed = candidates.filter((candidate) => candidate !== null && candidate !== 'folded');
  const verdict = followed.some((line) => couldFold(sampling.rateHz, line.usualHz)) ? foldVerdict(followed, peakA, baseline, sampling) : 'genuine';
  const isTold = verdict === 'genuine' || (verdict === 'open' && sampling.rateHz >= SLOW_LOGGER_HZ);
  const turning = followed.some((line) => line.turning);
  return candidates.map((candidate) => {
    if (candidate === null || (candidate !== 'folded' && candidate.lone && !turning)) return { ripple: null, aliased: false };
    return candidate !== 'folded' && isTold ? { ripple: candidate.ripple, aliased: false } : { ripple: null, aliased: true };
  });
}

/** The longest running stretch of a press, with its spectra as recorded. */
interface RippleView {
  readonly press: Press;
  readonly running: readonly IndexRange[];
  readonly range: IndexRange;
  readonly usualA: number;
  readonly windows: RippleWindows;
  readonly idleBins: Uint8Array | null;
  readonly lowestBin: number;
  readonly floors: Float64Array;
}

function viewRipple(press: Press, running: readonly IndexRange[], baseline: Baseline, sampling: Sampling, idleOf: (length: number) => Float64Array | null): RippleView | null {
  const range = longestWhole(running, sampling);
  const usualA = usualCurrent(press, running, baseline, sampling);
  if (range === null || usualA === null || sampling.rateHz < 60) return null;
  const windows = rippleWindows(baseline.deviationA, range.startIndex, range.endIndex, sampling.rateHz);
  if (windows === null) return null;
  const idle = idleOf(windows.length);
  const count = windows.starts.length;
  const idleBins = idle === null ? null : Uint8Array.from(windows.total, (power, k) => (isInIdle(idle, k, power / count) ? 1 : 0));
  return { press, running, range, usualA, windows, idleBins, lowestBin: lowestBinOf(windows), floors: floorsOf(windows) };
}

/** The same, with the spectra at the usual speed. */
interface EvenView extends RippleView {
  readonly course: SpeedCourse | null;
  readonly steepness: number;
  readonly even: RippleWindows;
  /** readings at the usual speed: part of an array */
  readonly values: Float32Array;
  readonly from: number;
  readonly to: number;
}

/** s; currents averaged over these tell the speed. The longer lets pass what comes once a turn, which moves the current more than the speed. Scored */
const COURSE_S = [0.03, 0.1];
/** how many times narrower the lines must be as recorded, or with the longer means, before that is believed. Scored */
const LIKELIER = [1, 1.1, 1.05];

function evenedViews(views: readonly RippleView[], peakA: number, baseline: Baseline, sampling: Sampling): EvenView[] {
  const ways = [views.map((view) => evenView(view, null, 0, baseline, sampling))];
  for (const blockS of COURSE_S) {
    const courses = views.map((view) => speedCourse(view.press, view.range, view.usualA, peakA, blockS, baseline, sampling));
    const steepness = commonSteepness(views.map((view, v) => ({ ...view, course: courses[v] })));
    ways.push(views.map((view, v) => evenView(view, courses[v], steepness, baseline, sampling)));
  }
  const narrow = ways.map((way) => way.reduce((sum, view) => sum + Math.log(concentrationOf(view.even, view.floors, view.lowestBin)), 0));
  const judged = narrow.map((value, w) => value + Math.log(LIKELIER[w]) * views.length);
  return ways[judged.indexOf(Math.max(...judged))];
}

function evenView(view: RippleView, course: SpeedCourse | null, steepness: number, baseline: Baseline, sampling: Sampling): EvenView {
  const even = course === null ? null : atEvenSpeed(baseline.deviationA, course, steepness);
  const windows = even === null ? null : rippleWindows(even, 0, even.length, sampling.rateHz);
  if (even === null || windows === null) return { ...view, course, steepness, even: view.windows, values: baseline.deviationA, from: view.range.startIndex, to: view.range.endIndex };
  return { ...view, course, steepness, even: windows, values: even, from: 0, to: even.length };
}

function lowestBinOf({ binHz }: RippleWindows): number {
  return Math.max(3, Math.ceil(LOWEST_HZ / binHz));
}

function findCandidate(view: EvenView, baseline: Baseline, sampling: Sampling, perRevolution: number | undefined, cornerHz: number, idleOf: (length: number) => Float64Array | null): Candidate | 'folded' | null {
  const { range, running, course, steepness } = view;
  const { length, spectra, total, binHz } = view.even;
  const count = spectra.length;
  const idle = idleOf(length);
  const found = findLines(total, count, lowestBinOf(view.even));
  const lines = found.filter((line) => !isMains(line.at * binHz, binHz, (4 / length) * Math.sqrt(line.power / count), baseline) && !isInIdle(idle, line.bin, line.power / count));
  const picked = chooseRipple(lines, perRevolution, binHz);
  const first = picked === null ? null : firstOf(found, picked);
  if (first === null) return null;
  const turn = findTurn(view.values, view.from, view.to, sampling.rateHz);
  const chosen = turn === null ? first : byOrder(first, lines, turn, binHz, perRevolution);
  const track = withoutStrays(follow(spectra, chosen.bin, binHz));
  const usualHz = median(track);
  if (usualHz > HIGHEST_SHARE * sampling.rateHz || (turn !== null && isFoldedByOrder(usualHz, turn, sampling.rateHz))) return 'folded';
  const line = { hz: usualHz, power: chosen.power / count, floorAt: (hz: number) => neededAt(total, hz / binHz, count) / count };
  const lone = couldBeRotation(line, perRevolution, cornerHz, HIGHEST_SHARE * sampling.rateHz);
  let runS = 0;
  for (const part of running) runS += (part.endIndex - part.startIndex) * sampling.periodS;
  const meanHz = average(track) * (course === null ? 1 : meanShare(course, steepness, 0, range.endIndex - range.startIndex));
  if (meanHz * runS < FEWEST_RIPPLES) return null;
  const errorHz = Math.hypot(boundOf(track, average(track), binHz), usualHz * LAW_DOUBT, course === null ? 0 : usualHz * EDGE_DOUBT * steepness * robustSigma(course.load));
  return {
    ripple: {
      frequency_hz: usualHz,
      low_hz: usualHz - errorHz,
      high_hz: usualHz + errorHz,
      revolutions_per_s: perRevolution === undefined || !(perRevolution > 0) ? null : usualHz / perRevolution,
      count: Math.round(meanHz * runS),
    },
    lone,
    turning: perRevolution !== undefined && lone && comesOnceATurn(view.values, view.from, view.to, sampling.rateHz, usualHz / perRevolution),
    press: view.press,
    usualA: view.usualA,
    usualHz,
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

/** share of a hum that may be left once it was taken out: grids wander, so its phase does. Scored */
const HUM_LEFT = 0.3;

/** What is left of a mains hum after it was taken out is no ripple, nor its second harmonic. A motor may turn at that rate too: a stronger line is its own. */
function isMains(hz: number, binHz: number, amplitudeA: number, baseline: Baseline): boolean {
  const { hum } = baseline;
  if (hum === null) return false;
  if (Math.abs(hz - hum.frequencyHz) < Math.max(1, binHz)) return amplitudeA < HUM_LEFT * hum.amplitudeA;
  return Math.abs(hz - 2 * hum.frequencyHz) < Math.max(0.5, binHz / 2) && amplitudeA < hum.amplitudeA;
}

/** power of the line at twice the rate, over the line's own, at which it is more than a harmonic: a rectified wave has 0.04 */
const TWICE_SEEN = 0.06;

/**
 * The line at twice the rate where this one comes once a segment and not once a commutation: commutations per revolution are the least common
 * multiple of brushes and segments (outside numbers 3.3), and so an even number, as brushes come in pairs. Unlike segments make the lower line the stronger.
 */
function byOrder(line: Line, lines: readonly Line[], turn: Turn, binHz: number, perRevolution: number | undefined): Line {
  const order = orderOf(line.at * binHz, turn);
  if (order === null || order < 5 || !(order % 2 === 1 || 2 * order === perRevolution) || order === perRevolution) return line;
  return lines.find((other) => Math.abs(other.at - 2 * line.at) < Math.max(1.5, 0.01 * line.at) && other.power > TWICE_SEEN * line.power) ?? line;
}

/** Whether the line comes no whole number of times a turn, but the faster line does that would be folded to this place. */
function isFoldedByOrder(hz: number, turn: Turn, rateHz: number): boolean {
  if (!couldFold(rateHz, hz) || !isSure(hz, turn) || orderOf(hz, turn) !== null) return false;
  const faster = orderOf(rateHz - hz, turn);
  return faster !== null && faster % 2 === 0;
}

/** The line itself where only its second harmonic stood clear of the hum beside it: the idle clamp, which lacks the harmonic, does not make its first. */
function firstOf(found: readonly Line[], picked: Line): Line {
  const first = found.find((line) => Math.abs(2 * line.at - picked.at) < Math.max(1, 0.01 * picked.at) && line.power > picked.power);
  return first ?? picked;
}

/** Where the line lies in each window, Hz: the strongest bin near where all windows together have it. */
function follow(spectra: readonly Float64Array[], bin: number, binHz: number): number[] {
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

/** share of the frequency; what the motor's law leaves open (warming, brushes, a sagging feed). Scored */
const LAW_DOUBT = 0.0025;
/** of the scatter of the speed over the run: where in it the run is said to begin and end moves the usual speed by as much. Scored */
const EDGE_DOUBT = 0.3;

function boundOf(track: readonly number[], meanHz: number, binHz: number): number {
  // the parabola's own error is a few hundredths of a bin (Hann window)
  const placeHz = 0.04 * binHz;
  if (track.length < 3) return Math.max(0.25 * binHz, placeHz);
  let squares = 0;
  for (const hz of track) squares += (hz - meanHz) ** 2;
  const independent = Math.max(2, track.length / 2);
  return Math.hypot(student95(Math.round(independent)) * Math.sqrt(squares / (track.length - 1) / independent), placeHz);
}
