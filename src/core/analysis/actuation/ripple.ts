import { median, robustSigma } from '../../stats.ts';
import type { Ripple } from '../results.ts';
import type { Baseline } from './baseline.ts';
import { evenedViews, lowestBinOf, viewRipple, type EvenView } from './even-speed.ts';
import { couldFold, foldVerdict, type FollowedLine } from './fold-test.ts';
import { idleSpectra, isInIdle, isMains, type IdleSpectra } from './idle-lines.ts';
import { average, boundOf, follow, withoutStrays } from './line-track.ts';
import type { IndexRange, Press } from './presses.ts';
import { chooseRipple, clearFactor, findLines, firstOf } from './ripple-line.ts';
import { byOrder, isFoldedByOrder } from './ripple-order.ts';
import { couldBeRotation } from './rotation-line.ts';
import type { Sampling } from './sampling.ts';
import { meanShare } from './speed-course.ts';
import { floorsOf } from './steepness.ts';
import { findTurn } from './turn.ts';

export interface RippleReading {
  readonly ripple: Ripple | null;
  /** refused: a line was seen that is, or may be, a faster one folded down; open: told, but that could not be ruled out */
  readonly folding: 'none' | 'open' | 'refused';
}

/** A followed line of one press, before it is decided whether it is told. */
interface Candidate extends FollowedLine {
  readonly ripple: Ripple;
  /** it may be the rotation, with its ripple out of sight */
  readonly lone: boolean;
}

/** a ripple must come this many times for a frequency to be told (TI DRV8215 datasheet: "consider at least 20 ripples") */
const FEWEST_RIPPLES = 20;
/** of the rate; a line nearer to half the rate may as well be a folded one. 2.5 samples a ripple (outside numbers 3.3) */
const HIGHEST_SHARE = 0.4;

/** samples per second from which on ripple of the usual 100 Hz to 1 kHz (outside numbers 3.3) is not folded: 2.5 a ripple */
export const SURE_LOGGER_HZ = 2500;
/** share of the frequency; what the motor's law leaves open (warming, brushes, a sagging feed). Scored */
const LAW_DOUBT = 0.0025;
/** of the scatter of the speed over the run: where in it the run is said to begin and end moves the usual speed by as much. Scored */
const EDGE_DOUBT = 0.3;
/** samples per second below which a line at 20 Hz to 0.4 of the rate is rather a folded one: ripple is usually at 100 Hz to 1 kHz (outside numbers 3.3) */
const SLOW_LOGGER_HZ = 900;

/**
 * Frequency of the commutator's ripple in every press, at the usual speed of its run. The run is read again at even speed, as the current tells it
 * (even-speed.ts), spectra of short windows are averaged to find the line, and the line is followed from window to window. The bounds are 95 % by the
 * scatter of the windows, joined with what the motor's law and the ends of the run leave open.
 *
 * Null when no line stands clear of the noise, when the idle clamp shows it too, when it may as well be the rotation with its ripple out of
 * sight (rotation-line.ts), or when it is, or with a slow logger may be, a faster one folded down by sampling (fold-test.ts, ripple-order.ts).
 *
 * @param highestA highest current of the trace at switch-on or standing, A
 * @param cornerHz low-pass corner of the clamp, Infinity where it is not slow
 */
export function readRipples(presses: readonly Press[], running: readonly (readonly IndexRange[])[], baseline: Baseline, sampling: Sampling, highestA: number, perRevolution: number | undefined, cornerHz: number): RippleReading[] {
  const idleOf = idleSpectra(baseline);
  const views = presses.map((press, p) => viewRipple(press, running[p], baseline, sampling, idleOf)).filter((view) => view !== null);
  const evened = evenedViews(views, highestA, baseline, sampling);
  const candidates = presses.map((press) => {
    const view = evened.find((each) => each.press === press);
    return view === undefined ? null : findCandidate(view, baseline, sampling, perRevolution, cornerHz, idleOf);
  });
  const followed = candidates.filter((candidate) => candidate !== null && candidate !== 'folded');
  const verdict = followed.some((line) => couldFold(sampling.rateHz, line.usualHz)) ? foldVerdict(followed, highestA, baseline, sampling) : 'genuine';
  const isTold = verdict === 'genuine' || (verdict === 'open' && sampling.rateHz >= SLOW_LOGGER_HZ);
  const folding = verdict === 'open' && sampling.rateHz < SURE_LOGGER_HZ ? 'open' : 'none';
  return candidates.map((candidate) => {
    if (candidate === null || (candidate !== 'folded' && candidate.lone)) return { ripple: null, folding: 'none' };
    return candidate !== 'folded' && isTold ? { ripple: candidate.ripple, folding } : { ripple: null, folding: 'refused' };
  });
}

function findCandidate(view: EvenView, baseline: Baseline, sampling: Sampling, perRevolution: number | undefined, cornerHz: number, idleOf: IdleSpectra): Candidate | 'folded' | null {
  const { range, running, course, steepness } = view;
  const { length, spectra, total, binHz } = view.even;
  const count = spectra.length;
  const idle = idleOf(length);
  const floors = floorsOf(total);
  const found = findLines(total, floors, count, lowestBinOf(view.even));
  const lines = found.filter((line) => !isMains(line.at * binHz, binHz, (4 / length) * Math.sqrt(line.power / count), baseline) && !isInIdle(idle, line.bin, line.power / count));
  const picked = chooseRipple(lines, perRevolution, binHz);
  const first = picked === null ? null : firstOf(found, picked);
  if (first === null) return null;
  const turn = findTurn(view.values, view.from, view.to, sampling.rateHz);
  const chosen = turn === null ? first : byOrder(first, lines, turn, binHz, perRevolution);
  const track = withoutStrays(follow(spectra, chosen.bin, binHz));
  const usualHz = median(track);
  if (usualHz > HIGHEST_SHARE * sampling.rateHz || (turn !== null && isFoldedByOrder(usualHz, turn, sampling.rateHz))) return 'folded';
  const line = { hz: usualHz, power: chosen.power / count, floorAt: (hz: number) => (clearFactor(count) * floors[Math.min(floors.length - 1, Math.round(hz / binHz))]) / count };
  const lone = perRevolution === undefined && couldBeRotation(line, cornerHz, HIGHEST_SHARE * sampling.rateHz);
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
    press: view.press,
    usualA: view.usualA,
    usualHz,
  };
}

