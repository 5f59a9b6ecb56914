import type { Press } from '../presses/presses.ts';
import type { Readings } from '../sensor/readings.ts';
import { levelAt, shareAt, speedCourse, type SpeedCourse } from './speed-course.ts';
import { FASTEST_RIPPLE_HZ } from '../motor-model.ts';
import { STANDING_OVER_HIGHEST } from './speed-over-run.ts';
import { STEEPNESSES } from './steepness.ts';
import { WINDOW_S } from './ripple-windows.ts';
import { CLEAR_PART, SMALL_PART } from '../signal/decision-levels.ts';
import { MOST_WINDOWS } from '../signal/spectrum.ts';
import { MAINS_PERIOD_S } from '../time-scales.ts';

/** A line that was followed in one press. */
export interface FollowedLine {
  readonly press: Press;
  /** usual current of the run, A, and where the line lies then, Hz */
  readonly usualA: number;
  readonly usualHz: number;
}

/** genuine: what is seen is what is there; alias: it is a faster line that sampling put here; open: the trace does not tell */
type AliasVerdict = 'genuine' | 'alias' | 'open';

/** from a standstill current of twice the highest seen on: a slow clamp lowers the peak of the switch-on */
const steepnesses = STEEPNESSES.filter((steepness) => steepness >= 1 / STANDING_OVER_HIGHEST[1]);
/** how far the line of a window may lie from the usual place, in lines that a window tells apart */
const reach = [-2, -1, 0, 1, 2];

interface Window {
  readonly line: FollowedLine;
  readonly course: SpeedCourse;
  /** first sample, how many, and the place of the line's sum */
  readonly from: number;
  readonly length: number;
  readonly sum: number;
}

/** Whether a ripple fast enough to be folded down to this place may be there at all. */
export function couldBeAlias(rateHz: number, usualHz: number): boolean {
  return rateHz - usualHz <= FASTEST_RIPPLE_HZ;
}

/**
 * Whether a line is what it seems, or a faster one folded down by sampling.
 *
 * The speed of a brushed motor follows its current (see SpeedCourse), so each reading of the line - at its own frequency, at the rate minus it,
 * at the rate plus it and so on - says how its phase must run through a stretch in which the current changed: getting up to speed, waves of the
 * load, slowing to a stop. Taken along the true one the stretch adds up, along the others it does not (a Fourier sum over the angle turned instead
 * of the time). The windows in which the speed changes most are used, of all presses of the trace.
 *
 * @param highestA highest current of the trace at switch-on or standing, A
 */
export function aliasVerdict(lines: readonly FollowedLine[], highestA: number, readings: Readings): AliasVerdict {
  if (!lines.some((line) => couldBeAlias(readings.sampling.rateHz, line.usualHz))) return 'genuine';
  const windows = chooseWindows(lines, highestA, readings);
  // one window alone tells nothing sure
  if (windows.length < 2) return 'open';
  const genuine = powerAlong(windows, 0, 1, lines.length, readings);
  let most = 0;
  for (let times = 1; times * readings.sampling.rateHz - Math.max(...lines.map((line) => line.usualHz)) <= FASTEST_RIPPLE_HZ; times++) {
    for (const sign of [-1, 1]) most = Math.max(most, powerAlong(windows, times, sign, lines.length, readings));
  }
  if (most > (1 + SMALL_PART) * genuine) return 'alias';
  return most < (1 - SMALL_PART) * genuine ? 'genuine' : 'open';
}

function chooseWindows(lines: readonly FollowedLine[], highestA: number, readings: Readings): Window[] {
  // within a window the phases add up, from window to window only the powers: long enough to tell lines 5 Hz apart, short enough to trust the speed read from the current
  const length = Math.round(2 * WINDOW_S * readings.sampling.rateHz);
  const all: { window: Window; swing: number }[] = [];
  for (const [sum, line] of lines.entries()) {
    const { startIndex, endIndex } = line.press;
    const course = speedCourse({ press: line.press, range: line.press, usualA: line.usualA, highestA, blockS: MAINS_PERIOD_S }, readings);
    if (course === null) continue;
    for (let from = startIndex; from + length <= endIndex; from += Math.max(1, length >> 1)) {
      if (readings.sampling.holes.some((hole) => hole > from && hole < from + length)) continue;
      let low = Infinity;
      let high = -Infinity;
      for (let i = 0; i < length; i += Math.max(1, length >> 3)) {
        const share = shareAt(course, 1, from + i - startIndex);
        low = Math.min(low, share);
        high = Math.max(high, share);
      }
      // a small part either way at the most: steps of the current are no ripple
      if (low <= CLEAR_PART || high - low > 2 * SMALL_PART) continue;
      all.push({ window: { line, course, from, length, sum }, swing: Math.max(1 - low, high - 1) });
    }
  }
  return all.sort((a, b) => b.swing - a.swing).slice(0, MOST_WINDOWS).map(({ window }) => window);
}

/** Power of the windows along one reading of the lines, with the steepness that gives most. */
function powerAlong(windows: readonly Window[], times: number, sign: number, lines: number, readings: Readings): number {
  let most = 0;
  for (const steepness of steepnesses) {
    const sums = Array.from({ length: lines }, () => new Float64Array(reach.length));
    for (const window of windows) addWindow(window, steepness, times * readings.sampling.rateHz + sign * window.line.usualHz, readings, sums[window.sum]);
    most = Math.max(most, sums.reduce((total, sum) => total + Math.max(...sum), 0));
  }
  return most;
}

function addWindow({ line, course, from, length }: Window, steepness: number, hz: number, readings: Readings, sums: Float64Array): void {
  const lastsS = length * readings.sampling.periodS;
  const real = new Float64Array(reach.length);
  const imaginary = new Float64Array(reach.length);
  let turnedS = -lastsS / 2;
  for (let i = 0; i < length; i++) {
    const place = from + i - course.range.startIndex;
    turnedS += shareAt(course, steepness, place) * readings.sampling.periodS;
    const weight = 0.5 - 0.5 * Math.cos((2 * Math.PI * (i + 0.5)) / length);
    const value = (readings.baseline.deviationA[from + i] * line.press.sign - levelAt(course, place)) * weight;
    // from one place of the reach to the next the angle grows by the same amount
    const step = (2 * Math.PI * turnedS) / lastsS;
    const [turnReal, turnImaginary] = [Math.cos(step), Math.sin(step)];
    const angle = 2 * Math.PI * (hz + reach[0] / lastsS) * turnedS;
    let [cosine, sine] = [Math.cos(angle), Math.sin(angle)];
    for (let r = 0; r < reach.length; r++) {
      real[r] += value * cosine;
      imaginary[r] += value * sine;
      [cosine, sine] = [cosine * turnReal - sine * turnImaginary, sine * turnReal + cosine * turnImaginary];
    }
  }
  for (let r = 0; r < reach.length; r++) sums[r] += real[r] * real[r] + imaginary[r] * imaginary[r];
}
