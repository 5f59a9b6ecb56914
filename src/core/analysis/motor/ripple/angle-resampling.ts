import { isInIdle, type IdleSpectra } from '../sensor/idle-lines.ts';
import { longestWhole, type Press } from '../presses/presses.ts';
import { floorsOf } from './surroundings.ts';
import { HIGHEST_SHARE, rippleWindows, type RippleWindows } from './ripple-windows.ts';
import type { Readings } from '../sensor/readings.ts';
import { atEvenSpeed, speedCourse, usualCurrent, type SpeedCourse } from './speed-course.ts';
import { commonSteepness, concentrationOf, isUneven } from './steepness.ts';
import { FEWEST_PER_TURN, SLOWEST_TURN_HZ } from '../motor-model.ts';
import { LEVEL_S } from '../time-scales.ts';
import type { IndexRange } from '../types.ts';

/** The longest running stretch of a press, with its spectra as recorded. */
interface RippleView {
  readonly press: Press;
  readonly running: readonly IndexRange[];
  readonly range: IndexRange;
  readonly usualA: number;
  readonly windows: RippleWindows;
  /** bins that the idle clamp shows too */
  readonly idleBins: Uint8Array | null;
  /** power of the surroundings of each bin */
  readonly floors: Float64Array;
}

/** Null where the press has no running stretch of some readings without a hole, the logger changed its rate or shows no commutation of the slowest motor. */
export function viewRipple(press: Press, running: readonly IndexRange[], readings: Readings, idleOf: IdleSpectra): RippleView | null {
  const range = longestWhole(running, readings.sampling);
  const usualA = usualCurrent(press, running, readings);
  if (range === null || usualA === null || !readings.sampling.isSteady || HIGHEST_SHARE * readings.sampling.rateHz * 2 < SLOWEST_TURN_HZ * FEWEST_PER_TURN) return null;
  const windows = rippleWindows(readings.baseline.deviationA, range.startIndex, range.endIndex, readings.sampling.rateHz);
  if (windows === null) return null;
  const idle = idleOf(windows.length);
  const count = windows.starts.length;
  const idleBins = idle === null ? null : Uint8Array.from(windows.total, (power, k) => (isInIdle(idle, k, power / count) ? 1 : 0));
  return { press, running, range, usualA, windows, idleBins, floors: floorsOf(windows.total) };
}

/** The same, with the spectra at the usual speed. */
export interface EvenView extends RippleView {
  readonly course: SpeedCourse | null;
  readonly steepness: number;
  readonly even: RippleWindows;
  /** power of the surroundings of each bin there */
  readonly evenFloors: Float64Array;
  /** readings at the usual speed: part of an array */
  readonly values: Float32Array;
  readonly from: number;
  readonly to: number;
}

/**
 * All presses of a trace at their usual speed: as recorded where the current hardly changes, else straightened by it in one of two ways or as recorded
 * after all (another load on the wire changes the current alone, a knob speed and current alike), whichever makes the lines narrowest.
 *
 * @param highestA highest current of the trace at switch-on or standing, A
 */
export function evenedViews(views: readonly RippleView[], highestA: number, readings: Readings): EvenView[] {
  const asRecorded = views.map((view) => evenView(view, null, 0, readings));
  const ways: EvenView[][] = [asRecorded];
  // currents averaged over these tell the speed: the longer lets pass what comes once a turn, which moves the current more than the speed
  for (const blockS of [LEVEL_S, 1 / SLOWEST_TURN_HZ]) {
    const courses = views.map((view) => speedCourse({ ...view, highestA, blockS }, readings));
    if (!views.some((view, v) => isUneven({ windows: view.windows, course: courses[v] }))) return asRecorded;
    const steepness = commonSteepness(views.map((view, v) => ({ ...view, course: courses[v] })));
    ways.push(views.map((view, v) => evenView(view, courses[v], steepness, readings)));
  }
  // a smeared line raises its own surroundings, but not those of the way that gathers it
  const floors = views.map((_view, v) => ways.map((way) => way[v].evenFloors).reduce(lowerOf));
  const narrow = ways.map((way) => way.reduce((sum, view, v) => sum + Math.log(concentrationOf(view.even, floors[v])), 0));
  return ways[narrow.indexOf(Math.max(...narrow))];
}

function lowerOf(some: Float64Array, others: Float64Array): Float64Array {
  return some.map((floor, k) => Math.min(floor, others[k]));
}

function evenView(view: RippleView, course: SpeedCourse | null, steepness: number, readings: Readings): EvenView {
  const even = course === null ? null : atEvenSpeed(readings.baseline.deviationA, course, steepness);
  const windows = even === null ? null : rippleWindows(even, 0, even.length, readings.sampling.rateHz);
  if (even === null || windows === null) return { ...view, course, steepness, even: view.windows, evenFloors: view.floors, values: readings.baseline.deviationA, from: view.range.startIndex, to: view.range.endIndex };
  return { ...view, course, steepness, even: windows, evenFloors: floorsOf(windows.total), values: even, from: 0, to: even.length };
}
