import { NORMAL_95 } from '../../uncertainty/normal-95.ts';
import type { Mark } from '../../../trace.ts';
import { lowerBound } from '../../../trace.ts';
import { robustSigma } from '../../../stats.ts';
import { timeOutFor } from '../../../reference/time-outs.ts';
import type { Pull } from '../../results.ts';
import { ofLimits } from '../../uncertainty/budget.ts';
import { partsOf } from '../../uncertainty/parts.ts';
import { fuseDips } from '../levels/dips.ts';
import { changeInsideBinS, meanErrorA } from '../levels/segments.ts';
import { CLEAR_SIGMAS, HAND_BLIP_S, HELD_SIGMAS, MARK_SLACK_S, NEGLIGIBLE_A, NOTABLE_A, REST_S, SAME_SHARE, SHORTEST_WAKE_S, SURE_REST_S, TRIFLE_A, TRIFLE_SHARE } from '../settings.ts';
import { unmarkedRefits } from './put-back.ts';
import { driftBefore, levelBefore, restBetween } from './stretches.ts';
import type { Bins, FuseEvent, FuseTest, Readings, Rest, Segment, Stretch } from '../types.ts';

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

function placeEvent(readings: Readings, events: FuseEvent[], stretches: readonly Stretch[], k: number): void {
  const event = events[k];
  const before = stretches[k];
  const after = stretches[k + 1];
  if (!before.usable || !after.usable) return;
  const changeA = Math.abs(after.levelA - before.levelA);
  if (changeA < Math.max(NEGLIGIBLE_A, CLEAR_SIGMAS * Math.hypot(before.errorA, after.errorA))) return;
  const { bins } = readings;
  const fromS = Math.max(event.markS - MARK_SLACK_S, k === 0 ? readings.firstS : (events[k - 1].markS + event.markS) / 2);
  const toS = Math.min(event.markS + MARK_SLACK_S, k + 1 === events.length ? readings.lastS : (event.markS + events[k + 1].markS) / 2);
  const startBin = lowerBound(bins.key, Math.floor(fromS / bins.widthS), 0, bins.length);
  const endBin = lowerBound(bins.key, Math.ceil(toS / bins.widthS), startBin, bins.length);
  if (endBin <= startBin) return;
  const split = likeliestSplit(readings, event, before.levelA, after.levelA, startBin, endBin);
  // no reading says anything of the change, or all say that it was before or comes after
  event.misplaced = split === null || split <= startBin || split >= endBin;
  if (split === null) return;
  event.atS = Math.min(toS, Math.max(fromS, changeInsideBinS(bins, split, before.levelA, after.levelA)));
}

/** The bin from which the later level holds: least squares in units of the noise, readings past a level held to it, plus the mark's own word; null when no reading says anything. */
function likeliestSplit(readings: Readings, event: FuseEvent, beforeA: number, afterA: number, startBin: number, endBin: number): number | null {
  const { bins, blocks } = readings;
  const atBlock = Math.min(blocks.length - 1, lowerBound(blocks.startS, event.markS, 0, blocks.length));
  const samplesPerBlock = Math.max(1, blocks.count[atBlock]);
  // the slack is as far as a mark ever is from the pull: so many standard deviations of how far it usually is
  const sigmaS = MARK_SLACK_S / CLEAR_SIGMAS;
  const unit = 2 * readings.varianceA2[atBlock] * samplesPerBlock;
  const lowA = Math.min(beforeA, afterA);
  const highA = Math.max(beforeA, afterA);
  const scatterA = Math.max(readings.stepA / 2, binScatterA(bins, startBin, endBin));
  const clear = highA - lowA > CLEAR_SIGMAS * scatterA;
  const reachA = HELD_SIGMAS * scatterA;
  let best = startBin;
  let lowest = Infinity;
  let cost = 0;
  let spoken = false;
  const { segments } = readings;
  let segment = 0;
  for (let i = startBin; i <= endBin; i++) {
    const offS = (i < bins.length ? bins.key[i] * bins.widthS : readings.lastS) - event.markS;
    const total = cost + (offS * offS) / (2 * sigmaS * sigmaS);
    if (total < lowest) {
      lowest = total;
      best = i;
    }
    if (i === endBin) break;
    const value = Math.min(highA + reachA, Math.max(lowA - reachA, bins.sumA[i] / bins.count[i]));
    let says = (bins.count[i] * ((value - beforeA) ** 2 - (value - afterA) ** 2)) / unit;
    while (segment + 1 < segments.length && segments[segment].endS <= bins.key[i] * bins.widthS) segment++;
    if (isAbove(segments[segment], highA)) says = 0;
    else if (clear && bins.sumA[i] / bins.count[i] > highA + 2 * reachA) says = 0;
    else if (clear && value > (lowA + highA) / 2) says *= TRIFLE_SHARE;
    cost += says;
    spoken ||= says !== 0;
  }
  return spoken ? best : null;
}

/** A level clearly above both sides of a change is a wake-up or the hand's blip: it says nothing of the fuse. */
function isAbove(segment: Segment, highA: number): boolean {
  return segment.meanA > highA + Math.max(NEGLIGIBLE_A, CLEAR_SIGMAS * meanErrorA(segment));
}

/**
 * Scatter of single bins, A: from one to the next, where steps and blips are too rare to show, and about the middle of the quieter end
 * of the stretch, where hum and noise that hangs together do show.
 */
function binScatterA(bins: Bins, startBin: number, endBin: number): number {
  const count = Math.max(0, endBin - startBin);
  const values = new Float64Array(count);
  for (let i = 0; i < count; i++) values[i] = bins.sumA[startBin + i] / bins.count[startBin + i];
  const differences = new Float64Array(Math.max(0, count - 1));
  for (let i = 0; i < differences.length; i++) differences[i] = values[i + 1] - values[i];
  const half = Math.floor(count / 2);
  return Math.max(robustSigma(differences) / Math.SQRT2, Math.min(robustSigma(values.subarray(0, half)), robustSigma(values.subarray(count - half))));
}

/** How the level runs beside the fuses: since when it rests, and how it drifts. */
interface Course {
  readonly restS: number;
  /** time of one block, s */
  readonly blockS: number;
  readonly driftAPerS: number;
}

interface Change {
  readonly changeA: number;
  /** standard error of the change, A: that of the level with the fuse out, and of all else */
  readonly errorA: number;
  readonly outErrorA: number;
  readonly inErrorA: number;
  /** when the level with the fuse out was read, s: pull and refit may share it */
  readonly outS: number;
  readonly roundingA: number;
  /** both sides were at rest */
  readonly clear: boolean;
}

/** Every pull with its change, largest first. */
function pullFigures(readings: Readings, events: readonly FuseEvent[], stretches: readonly Stretch[], rest: Rest | null, policy: PullPolicy): Pull[] {
  const course: Course = { restS: rest?.atS ?? -Infinity, blockS: readings.blocks.widthS, driftAPerS: rest === null || events[0].atS < rest.atS ? 0 : driftBefore(readings, rest.atS, events[0].atS - MARK_SLACK_S) };
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
      const atRest = change.clear && rest !== null && event.atS >= rest.atS - 1 && isEarned(event.atS - readings.firstS, beforeA, policy);
      const measured = placed && atRest && !wokeWhileOut(readings, events, stretches, k) && !(isNothing(change) && isStray(readings, events, event));
      // put back nobody knows when: a small load may have flowed again for most of what was read
      const unseenA = back === null && isNothing(change) ? ofLimits(TRIFLE_A) : 0;
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

/** True when no time-out can still end the level that stood before the pull. */
function isEarned(elapsedS: number, beforeA: number, { limitA, settlingS }: PullPolicy): boolean {
  return beforeA <= limitA || elapsedS >= (settlingS ?? timeOutFor(beforeA).lengthS);
}

/** What pull and refit say together: their weighted mean where both were at rest, and nothing where they contradict each other. */
function agreed(own: Change, back: Change | null): Change {
  if (back === null || (!back.clear && !own.clear)) return own;
  if (!back.clear) return own;
  if (!own.clear) return { ...back, changeA: -back.changeA };
  const apartA = Math.abs(own.changeA + back.changeA);
  if (apartA > Math.max(CLEAR_SIGMAS * Math.hypot(own.errorA, back.errorA) + own.roundingA + back.roundingA, TRIFLE_SHARE * Math.abs(own.changeA), NEGLIGIBLE_A / 2)) return { ...own, clear: false };
  // the level with the fuse out is often the same for both: what it is off by does not average out
  const sharedA = own.outS === back.outS ? own.outErrorA : 0;
  const [ownA, backA] = sharedA > 0 ? [own.inErrorA, back.inErrorA] : [own.errorA, back.errorA];
  const weight = backA ** 2 / (ownA ** 2 + backA ** 2);
  return { ...own, changeA: own.changeA * weight - back.changeA * (1 - weight), errorA: Math.hypot(sharedA, 1 / Math.sqrt(1 / ownA ** 2 + 1 / backA ** 2)) };
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

/** `clear` is false when the stretch on one side has nothing at rest, so that the change spans more than this one event. */
function changeAt(events: readonly FuseEvent[], stretches: readonly Stretch[], k: number, course: Course): Change {
  const before = levelBefore(events, stretches, k);
  let next = k + 1;
  while (next < stretches.length && !stretches[next].usable) next++;
  const after = next < stretches.length ? stretches[next] : null;
  if (before === null || after === null) {
    const errorA = Math.max(before?.levelA ?? 0, after?.levelA ?? 0, NOTABLE_A) / 2;
    return { changeA: 0, errorA, outErrorA: errorA, inErrorA: errorA, outS: NaN, roundingA: 0, clear: false };
  }
  const leftA = Math.hypot(leftRunningA(events, stretches, k), leftRunningA(events, stretches, next));
  const drifted = course.driftAPerS * (after.centreS - before.centreS);
  const [out, ins] = events[k].kind === 'pull' ? [after, before] : [before, after];
  const inErrorA = Math.hypot(ins.errorA, SAME_SHARE * drifted, leftA);
  return { changeA: after.levelA - before.levelA - drifted, errorA: Math.hypot(inErrorA, out.errorA), outErrorA: out.errorA, inErrorA, outS: out.centreS, roundingA: Math.hypot(before.roundingA, after.roundingA), clear: before.sameFuses && next === k + 1 && leftA < Infinity && isRestAgain(before, course) && isRestAgain(after, course) && events[k].misplaced !== true && !isMisplaced(events, stretches, k, course) };
}

/** False for a level that a stir only just left: a pull can wake the vehicle, and a module of it may still run when less than a rest has been seen. */
function isRestAgain(stretch: Stretch, { blockS }: Course): boolean {
  return stretch.highestA - stretch.levelA < NOTABLE_A || stretch.blockCount * blockS >= REST_S;
}

/**
 * What may still run in stretch `i` of what a refit started in the one before, A: it must be seen to end. 0 after a rest, infinite when
 * it was not seen.
 */
function leftRunningA(events: readonly FuseEvent[], stretches: readonly Stretch[], i: number): number {
  if (i === 0 || stretches[i - 1].usable || !stretches[i].usable) return 0;
  const restA = levelBefore(events, stretches, i - 1)?.levelA ?? 0;
  const extraA = stretches[i - 1].levelA - restA;
  const endedA = stretches[i].highestA - stretches[i].levelA;
  if (extraA <= 0) return 0;
  return endedA > (1 - SAME_SHARE) * extraA ? Math.max(0, extraA - endedA) : Infinity;
}

/** True when the level before an event is clearly below what it was with the same fuses in: another fuse was out by then, and its mark came late or never. */
function isMisplaced(events: readonly FuseEvent[], stretches: readonly Stretch[], k: number, { restS, driftAPerS }: Course): boolean {
  const now = stretches[k];
  if (!now.usable) return false;
  const fuses = fusesOut(events, k);
  for (let i = k - 1; i >= 0; i--) {
    const before = stretches[i];
    if (!before.usable || before.endS <= restS || fusesOut(events, i) !== fuses) continue;
    const drifted = driftAPerS * (now.centreS - before.centreS);
    const sameA = Math.max(NEGLIGIBLE_A, CLEAR_SIGMAS * Math.hypot(before.errorA, now.errorA), Math.abs(drifted)) + before.roundingA + now.roundingA;
    return now.levelA + drifted < before.levelA - sameA;
  }
  return false;
}

/** The fuses that are out in stretch `k`, as one word. */
function fusesOut(events: readonly FuseEvent[], k: number): string {
  const out = new Set<string>();
  for (const event of events.slice(0, k)) {
    if (event.kind === 'pull') out.add(event.label);
    else out.delete(event.label);
  }
  return JSON.stringify([...out].sort());
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
