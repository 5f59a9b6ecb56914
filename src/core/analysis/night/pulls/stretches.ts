import { lowerBound } from '../../../trace.ts';
import { stepDoubt } from '../rest/level-estimate.ts';
import { recurringExtra } from '../rest/steady.ts';
import type { Readings, BlockRange, FuseEvent, Stretch } from '../types.ts';

/** Rest further away than this from a fuse event does not count for it: the zero of a clamp wanders. */
const NEAR_S = 600;
const SHORTEST_REST_S = 4;
/** Guards to try, s, when the usual one leaves nothing but a wake-up: a refit may wake a module for all but the last seconds before the next pull. */
const TIGHTER_GUARDS_S = [4, 1.5];
/** A stretch is no rest when it lies this far above what its fuses can draw, beside four standard errors, A. */
const ABOVE_REST_A = 0.003;

/** Rest levels between the events, `guardS` (at most `share` of the stretch) away from each; what lies above the rest it can have is not usable. */
export function restBetween(readings: Readings, events: readonly FuseEvent[], restStartS: number, guardS: number, share: number): Stretch[] {
  const stretches: Stretch[] = [];
  for (let k = 0; k <= events.length; k++) {
    const fromS = k === 0 ? Math.max(readings.firstS, Math.min(restStartS, events[0].atS - 60), events[0].atS - NEAR_S) : events[k - 1].atS;
    const toS = k === events.length ? Math.min(readings.lastS, events[k - 1].atS + NEAR_S) : events[k].atS;
    const guarded = (widthS: number): Stretch => {
      const guard = Math.min(widthS, share * Math.max(0, toS - fromS));
      return restLevel(readings, k === 0 ? fromS : fromS + guard, k === events.length ? toS : toS - guard);
    };
    let stretch = guarded(guardS);
    if (k > 0) {
      for (const tighterS of TIGHTER_GUARDS_S) {
        if (!isAboveRest(events, stretches, k, stretch)) break;
        if (tighterS < guardS) stretch = guarded(tighterS);
      }
      if (isAboveRest(events, stretches, k, stretch)) stretch.usable = false;
    }
    stretches.push(stretch);
  }
  return stretches;
}

/** A pulled fuse adds nothing, and one put back adds no more than its pull took: above that, the stretch holds a wake-up and no rest. */
function isAboveRest(events: readonly FuseEvent[], stretches: readonly Stretch[], k: number, stretch: Stretch): boolean {
  const event = events[k - 1];
  const from = event.kind === 'pull' ? k - 1 : pullOf(events, k - 1);
  const before = from < 0 ? null : levelBefore(events, stretches, from);
  if (before === null || !before.sameFuses || !stretch.usable) return false;
  return stretch.levelA > before.levelA + 4 * Math.hypot(before.errorA, stretch.errorA) + ABOVE_REST_A;
}

/** Index of the pull that the refit `k` undoes when nothing else was touched in between; -1 otherwise. */
function pullOf(events: readonly FuseEvent[], k: number): number {
  return k > 0 && events[k].kind === 'refit' && events[k - 1].kind === 'pull' && events[k - 1].label === events[k].label ? k - 1 : -1;
}

/**
 * The rest level right before event `k`. A stretch without rest that follows a refit has the level from before its pull, when that was
 * at rest: the same fuses are in. Otherwise the last rest there is, `sameFuses` false.
 */
export function levelBefore(events: readonly FuseEvent[], stretches: readonly Stretch[], k: number): (Stretch & { sameFuses: boolean }) | null {
  for (let i = k; i >= 0; ) {
    if (stretches[i].usable) return { ...stretches[i], sameFuses: true };
    const pull = i === 0 ? -1 : pullOf(events, i - 1);
    if (pull < 0) break;
    i = pull;
  }
  const last = lastUsable(stretches, k);
  return last === null ? null : { ...last, sameFuses: false };
}

function lastUsable(stretches: readonly Stretch[], from: number): Stretch | null {
  for (let k = from; k >= 0; k--) if (stretches[k].usable) return stretches[k];
  return null;
}

/** Level at rest in `[startS, endS)`: the lowest segments that last, the longest of them, and everything in the stretch that equals it within the doubt. */
export function restLevel(readings: Readings, startS: number, endS: number): Stretch {
  const { blocks, segments } = readings;
  const startBlock = lowerBound(blocks.startS, startS, 0, blocks.length);
  const endBlock = lowerBound(blocks.startS, endS - blocks.widthS * 0.999, startBlock, blocks.length);
  const none: Stretch = { startS, endS, levelA: 0, errorA: Infinity, roundingA: 0, usable: false };
  if (endBlock <= startBlock) return none;
  const parts: { startBlock: number; endBlock: number; count: number; sumA: number; varianceA2: number }[] = [];
  let segment = 0;
  while (segment < segments.length && segments[segment].endBlock <= startBlock) segment++;
  for (let i = startBlock; i < endBlock; segment++) {
    const stop = Math.min(endBlock, segments[segment].endBlock);
    // the block in which a level begins or ends holds some of its neighbour
    const edge = stop - i > 4 ? 1 : 0;
    let sumA = 0;
    for (let j = i + edge; j < stop - edge; j++) sumA += blocks.meanA[j];
    parts.push({ startBlock: i + edge, endBlock: stop - edge, count: stop - i - 2 * edge, sumA, varianceA2: segments[segment].varianceA2 });
    i = stop;
  }
  const total = parts.reduce((sum, part) => sum + part.count, 0);
  const needed = Math.min(total, Math.max(SHORTEST_REST_S / blocks.widthS, 0.1 * (endBlock - startBlock)));
  let lowest: (typeof parts)[number] | null = null;
  let lasted = 0;
  for (const part of parts.filter((one) => one.count > 0).sort((a, b) => a.sumA / a.count - b.sumA / b.count)) {
    lasted += part.count;
    if (lowest === null || part.count > lowest.count) lowest = part;
    if (lasted >= needed) break;
  }
  if (lowest === null) return none;
  const levelA = lowest.sumA / lowest.count;
  let count = 0;
  let sumA = 0;
  const equal: BlockRange[] = [];
  for (const part of parts) {
    const nearA = Math.max(0.001, 3 * Math.sqrt(part.varianceA2 / part.count + lowest.varianceA2 / lowest.count));
    if (Math.abs(part.sumA / part.count - levelA) > nearA) continue;
    count += part.count;
    sumA += part.sumA;
    equal.push(part);
  }
  const extra = recurringExtra(readings, equal);
  return { startS, endS, levelA: sumA / count + extra.extraA, errorA: Math.hypot(Math.sqrt(lowest.varianceA2 / count), extra.errorA), roundingA: stepDoubt(readings, [{ startS, endS }]), usable: true };
}
