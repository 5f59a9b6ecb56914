import { mean, median } from '../../../stats.ts';
import type { Ripple } from '../../results.ts';
import type { Baseline } from '../sensor/baseline.ts';
import type { EvenView } from './angle-resampling.ts';
import type { FollowedLine } from './alias-test.ts';
import { isInIdle, isMains, type IdleSpectra } from '../sensor/idle-lines.ts';
import { isLostInComb } from './comb.ts';
import { boundOf, follow, isThroughout, withoutStrays } from './line-track.ts';
import { chooseRipple, clearFactor, findLines, firstOf, lineAt, type Line } from './ripple-line.ts';
import { byOrder, isAliasByOrder, isRotors } from './ripple-order.ts';
import { HIGHEST_SHARE } from './ripple-windows.ts';
import { couldBeRotation } from './rotation-line.ts';
import type { Sampling } from '../sensor/sampling.ts';
import { meanShare } from './speed-course.ts';
import { isSuppliesOwn } from './supply-ripple.ts';
import { meanSpeedOver } from './speed-over-run.ts';
import { LAW_UNCERTAINTY } from './steepness.ts';
import { findRotationRate, type RotationRate } from './rotation-rate.ts';
import { FEWEST_PERIODS } from '../motor-model.ts';

/** A followed line of one press, before it is decided whether it is reported. */
export interface Candidate extends FollowedLine {
  readonly ripple: Ripple;
  /** it may be the rotation, with its ripple out of sight */
  readonly mayBeRotation: boolean;
}

/** What the presses of a trace have in common. */
export interface RippleContext {
  readonly baseline: Baseline;
  readonly sampling: Sampling;
  readonly perRevolution: number | undefined;
  readonly cornerHz: number;
  /** highest current of the trace at switch-on or standing, A */
  readonly highestA: number;
  readonly idleOf: IdleSpectra;
}

/** The lines of one press, before one of them is chosen. */
export interface Survey {
  readonly view: EvenView;
  readonly floors: Float64Array;
  /** all that stand clear, and those that are the motor's through most of the run */
  readonly found: readonly Line[];
  readonly lines: readonly Line[];
  readonly turn: RotationRate | null;
}

export function surveyLines(view: EvenView, { baseline, sampling, highestA, idleOf }: RippleContext): Survey {
  const { length, spectra, total, binHz, lowestBin } = view.even;
  const count = spectra.length;
  const idle = idleOf(length);
  const floors = view.evenFloors;
  const found = findLines(total, floors, count, lowestBin);
  const lines = found.filter((line) => {
    const amplitudeA = (4 / length) * Math.sqrt(line.power / count);
    return isThroughout(line, spectra) && !isMains(line.at * binHz, binHz, amplitudeA, baseline) && !isInIdle(idle, line.bin, line.power / count) && !isSuppliesOwn(line.bin, length, amplitudeA, { baseline, idleOf, highestA });
  });
  return { view, floors, found, lines, turn: findRotationRate(view.values, view.from, view.to, sampling.rateHz) };
}

/** The ripple of one press by its own spectrum; null when no line is clear, 'alias' when the clear one is a faster line. */
export function findCandidate(survey: Survey, context: RippleContext): Candidate | 'alias' | null {
  const { view, found, lines, turn } = survey;
  const chosen = chooseRipple(lines, context.perRevolution, view.even.binHz);
  if (chosen === null || (context.perRevolution === undefined && isLostInComb(chosen, lines, view.even.binHz))) return null;
  const first = firstOf(found, chosen);
  if (turn === null) return candidateAt(survey, first, context);
  return context.perRevolution === undefined && isRotors(first.at * view.even.binHz, turn) ? null : candidateAt(survey, byOrder(first, lines, turn, view.even.binHz, context.perRevolution), context);
}

/** The same where the other presses of the trace have it: there a fainter line is enough, and any other line is none. */
export function findExpected(survey: Survey, expectedHz: number, context: RippleContext): Candidate | 'alias' | null {
  const { total, spectra, binHz } = survey.view.even;
  const line = lineAt(total, survey.floors, spectra.length, expectedHz / binHz);
  return line === null ? null : candidateAt(survey, line, context);
}

function candidateAt({ view, floors, turn }: Survey, picked: Line, { baseline, sampling, perRevolution, cornerHz, highestA }: RippleContext): Candidate | 'alias' | null {
  const { range, running, course, steepness } = view;
  const { spectra, binHz } = view.even;
  const count = spectra.length;
  const track = withoutStrays(follow(spectra, picked.bin, binHz));
  const usualHz = median(track);
  if (usualHz > HIGHEST_SHARE * sampling.rateHz || (turn !== null && isAliasByOrder(usualHz, turn, sampling.rateHz))) return 'alias';
  const line = { hz: usualHz, power: picked.power / count, floorAt: (hz: number) => (clearFactor(floors.length, count) * floors[Math.min(floors.length - 1, Math.round(hz / binHz))]) / count };
  const mayBeRotation = couldBeRotation(line, perRevolution, cornerHz, HIGHEST_SHARE * sampling.rateHz);
  let runS = 0;
  for (const part of running) runS += (part.endIndex - part.startIndex) * sampling.periodS;
  const meanHz = mean(track) * (course === null ? 1 : meanShare(course, steepness, 0, range.endIndex - range.startIndex));
  if (meanHz * runS < FEWEST_PERIODS) return null;
  const errorHz = Math.hypot(boundOf(track, binHz), usualHz * LAW_UNCERTAINTY);
  const speed = meanSpeedOver({ startIndex: running[0].startIndex, endIndex: running[running.length - 1].endIndex }, view.press, view.usualA, highestA, { baseline, sampling });
  return {
    ripple: {
      frequency_hz: usualHz,
      low_hz: usualHz * Math.min(1, speed.low) - errorHz,
      high_hz: usualHz * Math.max(1, speed.high) + errorHz,
      revolutions_per_s: perRevolution === undefined || !(perRevolution > 0) ? null : usualHz / perRevolution,
      count: Math.round(meanHz * runS),
    },
    mayBeRotation,
    press: view.press,
    usualA: view.usualA,
    usualHz,
  };
}
