import { lowerBound } from '../../../trace.ts';
import { UPPER_95, normalQuantile, tQuantile } from '../../uncertainty/distributions.ts';
import { stepUncertainty } from '../rest/level-estimate.ts';
import { edgeBlocks } from '../levels/segments.ts';
import { fuseDips } from '../levels/dips.ts';
import { recurringExtra } from '../rest/steady.ts';
import type { Pulses } from '../../results.ts';
import { ofLimits } from '../../uncertainty/budget.ts';
import { findPulses } from '../wake-ups/pulses.ts';
import { CLEAR_SIGMAS, FEW, HAND_BLIP_S, HELD_SIGMAS, MARK_SLACK_S, NEAR_S, NEGLIGIBLE_A, SHORTEST_WAKE_S, TRIFLE_A, TRIFLE_SHARE } from '../settings.ts';
import { ownChangeA } from './own-change.ts';
import type { Readings, BlockRange, FuseEvent, Stretch } from '../types.ts';

/** Rest levels between the events, `guardS` (at most `share` of the stretch) away from each; what lies above the rest it can have is not usable. */
export function restBetween(readings: Readings, events: readonly FuseEvent[], restStartS: number, guardS: number, share: number): Stretch[] {
  const pulses = findPulses(readings.bins, restStartS, readings.lastS);
  const stretches: Stretch[] = [];
  const untouchedS = events[0].atS - MARK_SLACK_S;
  for (let k = 0; k <= events.length; k++) {
    const fromS = k === 0 ? Math.max(readings.firstS, Math.min(restStartS, events[0].atS - 60), events[0].atS - NEAR_S) : events[k - 1].atS;
    const toS = k === events.length ? Math.min(readings.lastS, events[k - 1].atS + NEAR_S) : events[k].atS;
    const guarded = (widthS: number): Stretch => {
      const guard = Math.min(widthS, share * Math.max(0, toS - fromS));
      const level = restLevel(readings, k === 0 ? fromS : fromS + guard, k === events.length ? toS : toS - guard, pulses);
      const ownA = level.usable ? ownChangeA(readings, restStartS, untouchedS, level.blockCount) : null;
      return ownA === null ? level : { ...level, errorA: Math.hypot(ownA, level.pulsesErrorA) };
    };
    let stretch = guarded(guardS);
    if (k > 0) {
      for (const tighterS of [HAND_BLIP_S, SHORTEST_WAKE_S]) {
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
  return stretch.levelA > before.levelA + CLEAR_SIGMAS * Math.hypot(before.errorA, stretch.errorA) + NEGLIGIBLE_A;
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

/** Level at rest in `[startS, endS)`: the lowest segments that last, the longest of them, and everything in the stretch that equals it within the uncertainty. */
export function restLevel(readings: Readings, startS: number, endS: number, pulses: Pulses | null = null): Stretch {
  const { blocks, segments } = readings;
  const startBlock = lowerBound(blocks.startS, startS, 0, blocks.length);
  const endBlock = lowerBound(blocks.startS, endS - blocks.widthS, startBlock, blocks.length);
  const none: Stretch = { startS, endS, levelA: 0, errorA: Infinity, pulsesErrorA: 0, centreS: (startS + endS) / 2, roundingA: 0, highestA: 0, blockCount: 0, usable: false };
  if (endBlock <= startBlock) return none;
  const parts: { startBlock: number; endBlock: number; count: number; sumA: number; varianceA2: number }[] = [];
  const dips = fuseDips(readings).filter((dip) => segments[dip.first].startS > startS && segments[dip.last].endS < endS);
  let segment = 0;
  while (segment < segments.length && segments[segment].endBlock <= startBlock) segment++;
  for (let i = startBlock; i < endBlock && segment < segments.length; segment++) {
    const stop = Math.min(endBlock, segments[segment].endBlock);
    // another fuse was out for a while in between
    if (dips.some((dip) => segment >= dip.first && segment <= dip.last)) {
      i = stop;
      continue;
    }
    const edge = edgeBlocks(stop - i);
    let sumA = 0;
    for (let j = i + edge; j < stop - edge; j++) sumA += blocks.meanA[j];
    parts.push({ startBlock: i + edge, endBlock: stop - edge, count: stop - i - 2 * edge, sumA, varianceA2: segments[segment].varianceA2 });
    i = stop;
  }
  const needed = Math.max(HAND_BLIP_S / blocks.widthS, TRIFLE_SHARE * (endBlock - startBlock));
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
    // parts of one level lie within a milliampere, half a trifle, or within their noise
    const nearA = Math.max(TRIFLE_A / 2, HELD_SIGMAS * Math.sqrt(part.varianceA2 / part.count + lowest.varianceA2 / lowest.count));
    if (Math.abs(part.sumA / part.count - levelA) > nearA) continue;
    count += part.count;
    sumA += part.sumA;
    equal.push(part);
  }
  const polled = polledIn(parts.filter((part) => !equal.includes(part)), sumA / count, { pulses, widthS: blocks.widthS, count });
  const extra = recurringExtra(readings, equal);
  const pulsesErrorA = Math.hypot(polled.errorA, extra.errorA);
  return { startS, endS, levelA: sumA / count + polled.extraA + extra.extraA, errorA: Math.hypot(pulsesErrorA, Math.min(Math.sqrt(lowest.varianceA2 / count), batchErrorA(readings, equal))), pulsesErrorA, centreS: centreOf(readings, equal), roundingA: stepUncertainty(readings, [{ startS, endS }]), highestA: Math.max(...parts.filter((part) => part.count > 0).map((part) => part.sumA / part.count)), blockCount: count, usable: true };
}

/** What the pulses of a module that polls add to a stretch of `count` blocks where they are levels of their own, A: the same estimate on both sides of a pull. It is off by one pulse at least, by where in their beat the stretch begins. */
function polledIn(parts: readonly { count: number; sumA: number }[], floorA: number, stretch: { readonly pulses: Pulses | null; readonly widthS: number; readonly count: number }): { extraA: number; errorA: number } {
  const { pulses, widthS, count } = stretch;
  if (pulses === null) return { extraA: 0, errorA: 0 };
  const charges = parts.filter((part) => part.count * widthS < SHORTEST_WAKE_S + widthS).map((part) => part.sumA - floorA * part.count);
  const blocks = count + parts.reduce((sum, part) => sum + (part.count * widthS < SHORTEST_WAKE_S + widthS ? part.count : 0), 0);
  const onePulse = (pulses.pulse_a * pulses.duty * pulses.period_s) / widthS;
  return { extraA: charges.reduce((sum, charge) => sum + charge, 0) / blocks, errorA: Math.max(Math.hypot(...charges), ofLimits(onePulse)) / blocks };
}

/** Batches that tell the scatter of a mean by themselves. */
const BATCHES = 2 * FEW;

/** Standard error of the mean from the scatter of batches about a straight line, widened for their small number; infinite with too few blocks. */
function batchErrorA({ blocks }: Readings, ranges: readonly BlockRange[]): number {
  const values: number[] = [];
  for (const { startBlock, endBlock } of ranges) for (let i = startBlock; i < endBlock; i++) values.push(blocks.meanA[i]);
  const size = Math.floor(values.length / BATCHES);
  if (size < FEW) return Infinity;
  const means = Array.from({ length: BATCHES }, (_, k) => values.slice(k * size, (k + 1) * size).reduce((sum, value) => sum + value, 0) / size);
  const middle = (BATCHES - 1) / 2;
  const mean = means.reduce((sum, value) => sum + value, 0) / BATCHES;
  let xx = 0;
  let xy = 0;
  means.forEach((value, k) => {
    xx += (k - middle) ** 2;
    xy += (k - middle) * (value - mean);
  });
  const squares = means.reduce((sum, value, k) => sum + (value - mean - (xy / xx) * (k - middle)) ** 2, 0);
  const degrees = BATCHES - 2;
  // half-widths are made with the normal 1.96: Student's t for so few batches is put in here
  return (Math.sqrt(squares / degrees / BATCHES) * tQuantile(UPPER_95, degrees)) / normalQuantile(UPPER_95);
}

function centreOf({ blocks }: Readings, ranges: readonly BlockRange[]): number {
  let sumS = 0;
  let count = 0;
  for (const { startBlock, endBlock } of ranges) {
    for (let i = startBlock; i < endBlock; i++) {
      sumS += blocks.startS[i];
      count++;
    }
  }
  return sumS / Math.max(1, count) + blocks.widthS / 2;
}

/** Change of the level at rest a second before `atS`, A/s: the drift that goes on beside the pulls; 0 when none is clear of the noise. */
export function driftBefore(readings: Readings, fromS: number, atS: number): number {
  const startS = Math.max(fromS, atS - 2 * NEAR_S);
  const middleS = (startS + atS) / 2;
  const early = restLevel(readings, startS, middleS);
  const late = restLevel(readings, middleS, atS);
  if (!early.usable || !late.usable || late.centreS <= early.centreS) return 0;
  const changeA = late.levelA - early.levelA;
  return Math.abs(changeA) > CLEAR_SIGMAS * Math.hypot(early.errorA, late.errorA) ? changeA / (late.centreS - early.centreS) : 0;
}
