import { median } from '../../../stats.ts';
import type { Ripple } from '../../results.ts';
import { evenedViews, viewRipple, type EvenView } from './angle-resampling.ts';
import { genuineShare } from './alias-odds.ts';
import { aliasVerdict } from './alias-test.ts';
import { idleSpectra } from '../sensor/idle-lines.ts';
import type { Press } from '../presses/presses.ts';
import { findCandidate, findExpected, surveyLines, type Candidate, type RippleContext, type Survey } from './ripple-candidate.ts';
import { HIGHEST_SHARE } from './ripple-windows.ts';
import type { IndexRange } from '../types.ts';
import { USUAL_RIPPLE_HZ } from '../motor-model.ts';
import { LITTLE, MOST_OF, NEARLY_ALL } from '../signal/decision-levels.ts';

export interface RippleReading {
  readonly ripple: Ripple | null;
  /** refused: a line was seen that is, or may be, a faster one folded down; open: reported, but that could not be ruled out */
  readonly aliasing: 'none' | 'open' | 'refused';
}

/**
 * Frequency of the commutator's ripple in every press, at the usual speed of its run. The run is read again at even speed, as the current tells it
 * (angle-resampling.ts), spectra of short windows are averaged to find the line, and the line is followed from window to window. The bounds are 95 % by the
 * scatter of the windows, joined with what the motor's law and the ends of the run leave open.
 *
 * Null when no line is clear of the noise, when the idle clamp shows it too, when it may as well be the rotation with its ripple out of
 * sight (rotation-line.ts), or when it is, or with a slow logger may be, a faster one folded down by sampling (alias-test.ts, alias-odds.ts, ripple-order.ts).
 *
 * @param known `cornerHz` is the low-pass corner of the clamp, Infinity where it is not slow
 */
export function readRipples(presses: readonly Press[], running: readonly (readonly IndexRange[])[], known: Omit<RippleContext, 'idleOf'>): RippleReading[] {
  const { baseline, sampling, highestA } = known;
  const idleOf = idleSpectra(baseline);
  const views = presses.map((press, p) => viewRipple(press, running[p], known, idleOf)).filter((view) => view !== null);
  const evened = evenedViews(views, highestA, known);
  const context = { ...known, idleOf };
  const surveys = evened.map((view) => surveyLines(view, context));
  const first = surveys.map((survey) => findCandidate(survey, context));
  const found = new Map(surveys.map((survey, s) => [survey.view.press, lookAgain(s, surveys, first, context)]));
  const candidates = presses.map((press) => found.get(press) ?? null);
  const followed = candidates.filter((candidate) => candidate !== null && candidate !== 'alias');
  const verdict = aliasVerdict(followed, highestA, known);
  const mostAreAliases = candidates.filter((candidate) => candidate === 'alias').length > followed.length;
  // where the trace leaves it open, how usual a ripple is there and where it would be folded from decides
  const isGenuine = ({ usualHz }: Candidate): boolean => verdict === 'genuine' || (verdict === 'open' && genuineShare(usualHz, sampling.rateHz) > NEARLY_ALL);
  const aliasing = verdict === 'open' && HIGHEST_SHARE * sampling.rateHz < USUAL_RIPPLE_HZ ? 'open' : 'none';
  return candidates.map((candidate) => {
    if (candidate === null || (candidate !== 'alias' && candidate.mayBeRotation)) return { ripple: null, aliasing: 'none' };
    return candidate !== 'alias' && !mostAreAliases && isGenuine(candidate) ? { ripple: candidate.ripple, aliasing } : { ripple: null, aliasing: 'refused' };
  });
}

/**
 * One motor made all presses: where two others or more agree and this one has no line or another, the line is looked for where their
 * motor would have it at this press's current (v = R i + k w).
 */
function lookAgain(own: number, surveys: readonly Survey[], first: readonly (Candidate | 'alias' | null)[], context: RippleContext): Candidate | 'alias' | null {
  const { highestA } = context;
  const seen = first[own];
  const places: number[] = [];
  for (const [v, candidate] of first.entries()) {
    if (v === own || candidate === null || candidate === 'alias' || candidate.mayBeRotation) continue;
    places.push((candidate.usualHz * speedReserve(surveys[own].view, highestA)) / speedReserve(surveys[v].view, highestA));
  }
  if (places.length < 2) return seen;
  const expectedHz = median(places);
  const agreesWith = (hz: number): boolean => Math.abs(hz / expectedHz - 1) < LITTLE;
  const agreeing = places.filter(agreesWith).length;
  if (agreeing < Math.max(2, MOST_OF * places.length) || (seen !== null && seen !== 'alias' && agreesWith(seen.usualHz))) return seen;
  return findExpected(surveys[own], expectedHz, context) ?? seen;
}

/** From the usual current to a little over the highest, A: speed goes as this. */
function speedReserve(view: EvenView, highestA: number): number {
  return Math.max(LITTLE * highestA, highestA - view.usualA);
}
