import { NORMAL_95 } from '../../uncertainty/normal-95.ts';
import type { Mark } from '../../../trace.ts';
import { timeOutFor } from '../../../reference/time-outs.ts';
import type { Pull } from '../../results.ts';
import { ofLimits } from '../../uncertainty/budget.ts';
import { partsOf } from '../../uncertainty/parts.ts';
import { fuseDips } from '../levels/dips.ts';
import { agreed, changeAt, type Change, type Course } from './fuse-change.ts';
import { placeEvent } from './place-event.ts';
import { unmarkedRefits } from './put-back.ts';
import { CLEAR_SIGMAS, HAND_BLIP_S, MARK_SLACK_S, NEAR_S, NEGLIGIBLE_A, NOTABLE_A, SAME_SHARE, SHORTEST_WAKE_S, SURE_REST_S, TRIFLE_A } from '../settings.ts';
import { driftBefore, levelBefore, restBetween, restLevel } from './stretches.ts';
import type { FuseEvent, FuseTest, Readings, Rest, Segment, Stretch } from '../types.ts';

/** What decides whether a pull was made at rest, and what the sensor adds. */
interface PullPolicy {
  readonly limitA: number;
  /** the wait that the maker of this vehicle gives, s; null: the published time-outs */
  readonly settlingS: number | null;
  readonly gainUncertaintyPercent: number;
  readonly zeroDriftAPerHour: number;
}

/** Measures every pull: robust rest levels on both sides, the change placed where the readings put it, refits used as a second witness. */
export function measurePulls(readings: Readings, marks: readonly Mark[], rest: Rest | null, policy: PullPolicy): FuseTest {
  const events: FuseEvent[] = [];
  for (const mark of marks) {
    if (mark.kind !== 'pull' && mark.kind !== 'refit') continue;
    // pressed twice for one pull
    const again = events.some((event) => event.kind === mark.kind && event.label === mark.label && Math.abs(event.markS - mark.timeS) < MARK_SLACK_S);
    if (!again) events.push({ kind: mark.kind, label: mark.label, markS: mark.timeS, atS: mark.timeS });
  }
  events.sort((a, b) => a.markS - b.markS);
  if (events.length === 0) return { events, stretches: [], pulls: [] };
  events.push(...unmarkedRefits(readings, events));
  events.sort((a, b) => a.markS - b.markS);
  for (const [k, event] of events.entries()) if (event.kind === 'pull' && isOut(events, k)) event.kind = 'refit';
  const restStartS = rest?.atS ?? readings.firstS;
  let stretches = restBetween(readings, events, restStartS, MARK_SLACK_S, SAME_SHARE);
  for (let k = 0; k < events.length; k++) placeEvent(readings, events, stretches, k);
  stretches = restBetween(readings, events, restStartS, HAND_BLIP_S, SAME_SHARE);
  return { events, stretches, pulls: pullFigures(readings, events, stretches, rest, policy) };
}

/** True when the fuse of event `k` is out already: what is marked as its pull can only be where it went back. */
function isOut(events: readonly FuseEvent[], k: number): boolean {
  return events.slice(0, k).findLast((event) => event.label === events[k].label)?.kind === 'pull';
}

/** Every pull with its change, largest first. */
function pullFigures(readings: Readings, events: readonly FuseEvent[], stretches: readonly Stretch[], rest: Rest | null, policy: PullPolicy): Pull[] {
  const course: Course = { restS: rest?.atS ?? -Infinity, blockS: readings.blocks.widthS, driftAPerS: rest === null || events[0].atS < rest.atS ? 0 : driftBefore(readings, rest.atS, events[0].atS - MARK_SLACK_S) };
  const heldUntilS = rest !== null && isHeld(readings, events, stretches) ? readings.lastS : -Infinity;
  const figures = (placed: boolean): Pull[] => {
    const pulls: Pull[] = [];
    for (let k = 0; k < events.length; k++) {
      const event = events[k];
      if (event.kind !== 'pull') continue;
      const own = changeAt(events, stretches, k, course);
      const refit = events.findIndex((other, j) => j > k && other.label === event.label);
      const back = refit > 0 && events[refit].kind === 'refit' ? changeAt(events, stretches, refit, course) : null;
      const change = agreed(own, back);
      const beforeA = levelBefore(events, stretches, k)?.levelA ?? Infinity;
      const early = !isEarned(event.atS - readings.firstS, beforeA, policy);
      const atRest = change.clear && rest !== null && event.atS >= rest.atS - 1 && (!early || isEarned(heldUntilS - readings.firstS, beforeA, policy));
      const measured = placed && atRest && !wokeWhileOut(readings, events, stretches, k) && !(isNothing(change) && isStray(readings, events, event));
      // put back nobody knows when, a small load may have flowed again for most of what was read; pulled early, as much may have timed out since
      const unseenA = early || (back === null && isNothing(change)) ? ofLimits(TRIFLE_A) : 0;
      pulls.push(pullFigure(event, { ...change, modelA: unseenA }, measured, lastRestA(stretches, k) ?? 0, policy));
    }
    return pulls.sort((a, b) => a.change_a - b.change_a);
  };
  const pulls = figures(true);
  return pulls.every(({ carries }) => carries !== true) && somePullElsewhere(readings, events) ? figures(false) : pulls;
}

/** True when the current fell and came back where no mark is: with no change at any mark, they may all be at the wrong time. */
function somePullElsewhere(readings: Readings, events: readonly FuseEvent[]): boolean {
  return fuseDips(readings).some(({ first }) => {
    const { startS } = readings.segments[first];
    return !events.some(({ atS, markS }) => Math.min(Math.abs(startS - atS), Math.abs(startS - markS)) < SURE_REST_S);
  });
}

/** True when the current first fell lower than where it then stayed while the fuse was out: something woke, and is in the change. */
function wokeWhileOut({ segments }: Readings, events: readonly FuseEvent[], stretches: readonly Stretch[], k: number): boolean {
  const { levelA, errorA, usable } = stretches[k + 1];
  const lowerA = levelA - Math.max(NOTABLE_A, CLEAR_SIGMAS * errorA);
  const isFirst = (segment: Segment): boolean => Math.abs(segment.startS - events[k].atS) < SHORTEST_WAKE_S;
  return usable && segments.some((segment) => isFirst(segment) && segment.meanA < lowerA && segment.endS - segment.startS >= SHORTEST_WAKE_S);
}

/** True when the level is the same at the end of the recording as before the first pull: what the pulls were made at, no time-out has ended since. */
function isHeld(readings: Readings, events: readonly FuseEvent[], [before]: readonly Stretch[]): boolean {
  const lastS = events[events.length - 1].atS;
  const after = restLevel(readings, Math.max(lastS + HAND_BLIP_S, readings.lastS - NEAR_S), readings.lastS);
  return before.usable && after.usable && Math.abs(after.levelA - before.levelA) <= Math.max(TRIFLE_A, CLEAR_SIGMAS * Math.hypot(before.errorA, after.errorA));
}

/** True when no time-out can still end the level before the pull. */
function isEarned(elapsedS: number, beforeA: number, { limitA, settlingS }: PullPolicy): boolean {
  return beforeA <= limitA || elapsedS >= (settlingS ?? timeOutFor(beforeA).lengthS);
}

function pullFigure(event: FuseEvent, change: Change & { readonly modelA: number }, measured: boolean, restA: number, policy: PullPolicy): Pull {
  // a pull adds nothing: what came on top beside an unmeasured one is not the fuse's
  const changeA = measured ? change.changeA : Math.min(0, change.changeA);
  const scaleA = (policy.gainUncertaintyPercent / 100) * Math.abs(changeA);
  // a pull adds nothing: what came on top, beyond the noise, is something else, and as much of it may hide in the change
  const modelA = Math.max(change.modelA, changeA - NORMAL_95 * change.errorA);
  // rounding on either side is a limit, not a spread (JCGM 100:2008, 4.3.7)
  const steppedA = ofLimits(change.roundingA);
  const halfWidthA = NORMAL_95 * Math.hypot(change.errorA, scaleA, modelA, steppedA);
  const shows = -changeA > CLEAR_SIGMAS * change.errorA + change.roundingA;
  const excludes = halfWidthA < NEGLIGIBLE_A || -(changeA - halfWidthA) < NEGLIGIBLE_A;
  return {
    label: event.label,
    at_s: event.atS,
    change_a: changeA,
    // not measured: it may carry nothing, or all of the rest before it
    low_a: measured ? changeA - halfWidthA : Math.min(changeA, 0, -restA) - halfWidthA,
    high_a: measured ? changeA + halfWidthA : Math.max(changeA, 0) + halfWidthA,
    uncertainty: measured ? partsOf({ noise: change.errorA, gain: scaleA, model: modelA, resolution: steppedA }) : [],
    carries: !measured ? null : shows && -changeA >= NEGLIGIBLE_A / 2 ? true : excludes && -changeA < NEGLIGIBLE_A ? false : null,
  };
}

function lastRestA(stretches: readonly Stretch[], k: number): number | null {
  for (let i = k; i >= 0; i--) if (stretches[i].usable) return stretches[i].levelA;
  return null;
}

function isNothing(change: Change): boolean {
  return -change.changeA < NEGLIGIBLE_A;
}

/** True when the current fell and came back within minutes of a pull that changed nothing, and no mark is near that fall: it may have been this pull, marked late or early. */
function isStray(readings: Readings, events: readonly FuseEvent[], event: FuseEvent): boolean {
  return fuseDips(readings).some((dip) => {
    const { startS } = readings.segments[dip.first];
    return Math.abs(startS - event.markS) < SURE_REST_S && !events.some((other) => Math.abs(startS - other.atS) < MARK_SLACK_S);
  });
}
