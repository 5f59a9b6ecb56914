import { CLEAR_SIGMAS, LEAST_A, NEGLIGIBLE_A, NOTABLE_A, REST_S, SAME_SHARE, TRIFLE_SHARE } from '../settings.ts';
import { levelBefore } from './stretches.ts';
import type { FuseEvent, Stretch } from '../types.ts';

/** How the level runs beside the fuses: since when it rests, and how it drifts. */
export interface Course {
  readonly restS: number;
  /** time of one block, s */
  readonly blockS: number;
  readonly driftAPerS: number;
}

export interface Change {
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

/** `clear` is false when the stretch on one side has nothing at rest, so that the change spans more than this one event. */
export function changeAt(events: readonly FuseEvent[], stretches: readonly Stretch[], k: number, course: Course): Change {
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

/** What pull and refit say together: their weighted mean where both were at rest, and nothing where they contradict each other. */
export function agreed(own: Change, back: Change | null): Change {
  if (back === null || !back.clear) return own;
  if (!own.clear) return { ...back, changeA: -back.changeA };
  const apartA = Math.abs(own.changeA + back.changeA);
  if (apartA > Math.max(CLEAR_SIGMAS * Math.hypot(own.errorA, back.errorA) + own.roundingA + back.roundingA, TRIFLE_SHARE * Math.abs(own.changeA), NEGLIGIBLE_A / 2)) return { ...own, clear: false };
  // the level with the fuse out is often the same for both: what it is off by does not average out
  const sharedA = own.outS === back.outS ? own.outErrorA : 0;
  const [ownA, backA] = (sharedA > 0 ? [own.inErrorA, back.inErrorA] : [own.errorA, back.errorA]).map((errorA) => Math.max(LEAST_A, errorA));
  const weight = backA ** 2 / (ownA ** 2 + backA ** 2);
  return { ...own, changeA: own.changeA * weight - back.changeA * (1 - weight), errorA: Math.hypot(sharedA, 1 / Math.sqrt(1 / ownA ** 2 + 1 / backA ** 2)) };
}
