import type { Mark } from '../../../trace.ts';
import { robustSigma } from '../../../stats.ts';
import type { WakeUp } from '../../results.ts';
import { blocksTouched, findFlashes, isFlashing, isOneOfMany } from './flashes.ts';
import { isSameRest } from '../rest/rest.ts';
import { showsNothing } from '../key-off/end.ts';
import { fuseDips } from '../levels/dips.ts';
import { meanErrorA } from '../levels/segments.ts';
import { isPulses, isSwing } from './no-wake-up.ts';
import { findPulses } from './pulses.ts';
import { isUnseenStep } from './unseen-step.ts';
import { swayA } from './sways.ts';
import { withVisits } from './visits.ts';
import { isOnBeat, wakePeriod } from './wake-period.ts';
import { CLEAR_SIGMAS, FEWEST_WAKE_UPS, HAND_BLIP_S, MANY_BLOCKS, MARK_SLACK_S, NEGLIGIBLE_A, NOTABLE_A, REST_S, SHORTEST_WAKE_S, SURE_REST_S, TRIFLE_SHARE } from '../settings.ts';
import type { Bins, Segment, Readings, Excursion, RestStretch, SleepTimeline, FuseTest, Rest } from '../types.ts';

/** Highest stretches are looked at over this long, so that a single noisy sample is no peak. */
const PEAK_S = 0.05;

/**
 * From the moment of rest on, tells rest from wake-ups: everything clearly above the local rest level is a wake-up, whose start and end
 * are the refined edges of its levels. The rest level follows a wandering zero, and starts anew after every fuse pulled or put back.
 * Short excursions beside such a mark are the hand at the fuse and count as neither.
 */
export function readTimeline(readings: Readings, rest: Rest, fuses: FuseTest, marks: readonly Mark[]): SleepTimeline {
  const restStartS = rest.atS;
  const runs: Excursion[] = [];
  const rests: RestStretch[] = [];
  const { events, stretches } = fuses;
  let levelA = readings.segments[rest.segment].meanA;
  const swaysA = swayA(readings, restStartS, events);
  // what falls for so short a time is no level
  const dipS = swaysA === null ? HAND_BLIP_S : REST_S;
  for (let k = 0; k <= events.length; k++) {
    const startS = k === 0 ? restStartS : Math.max(restStartS, events[k - 1].atS);
    const endS = k === events.length ? readings.lastS : events[k].atS;
    if (endS <= startS) continue;
    const stretch = stretches[k];
    if (k > 0 && stretch !== undefined && stretch.usable) levelA = stretch.levelA;
    levelA = walk(readings, { startS, endS, dipS }, levelA, runs, rests);
  }
  const wakeUps: WakeUp[] = [];
  const wakeMarks = marks.filter((mark) => mark.kind === 'wake').map((mark) => mark.timeS);
  const pulses = findPulses(readings.bins, restStartS, readings.lastS);
  const flashes = findFlashes(runs, restStartS, readings.lastS, (run) => peakAndCharge(readings.bins, run.startS, run.endS).peakA);
  for (const run of joined(runs)) {
    const { peakA, chargeC } = peakAndCharge(readings.bins, run.startS, run.endS);
    if (isOneOfMany(flashes, run) || isFlashing(flashes, peakA) || isSwing(readings, run) || isPulses(readings, run, pulses)) {
      rests.push({ startS: run.startS, endS: run.endS, ...blocksTouched(readings, run), levelA: run.restA });
      continue;
    }
    if (run.endS - run.startS < SHORTEST_WAKE_S) continue;
    if (swaysA !== null && run.endS - run.startS < REST_S && peakA - run.restA < swaysA) continue;
    const nearFuse = events.some((event) => Math.min(Math.abs(run.startS - event.atS), Math.abs(run.startS - event.markS)) < MARK_SLACK_S);
    if (nearFuse && run.endS - run.startS < HAND_BLIP_S) continue;
    const byPerson = wakeMarks.some((atS) => atS > run.startS - MARK_SLACK_S && atS < run.endS + MARK_SLACK_S);
    const byFuse = events.some((event) => Math.abs(run.startS - event.atS) < MARK_SLACK_S / 2 || Math.abs(run.startS - event.markS) < MARK_SLACK_S);
    wakeUps.push({ start_s: run.startS, end_s: run.endS, peak_a: peakA, charge_c: chargeC, cause: byPerson ? 'person' : byFuse ? 'fuse' : null });
  }
  rests.sort((a, b) => a.startS - b.startS);
  return { wakeUps: withVisits(readings, rest.atS, withFuseWork(wakeUps, events, readings.spacingS), readings.segments[rest.segment].meanA), rests };
}

/** A wake-up on the beat of those at other times is none of a fuse, also beside a mark. While a person works at the fuses, one off the beat is theirs: a fuse put back without a mark. */
function withFuseWork(wakeUps: readonly WakeUp[], events: FuseTest['events'], spacingS: number): WakeUp[] {
  if (events.length === 0) return [...wakeUps];
  const fromS = events[0].markS - MARK_SLACK_S;
  const toS = events[events.length - 1].markS + SURE_REST_S;
  const during = (wake: WakeUp): boolean => wake.start_s >= fromS && wake.start_s < toS;
  const own = wakeUps.filter((wake) => wake.cause === null);
  const before = own.filter((wake) => !during(wake));
  const alone = before.length >= FEWEST_WAKE_UPS ? wakePeriod(before, spacingS) : wakePeriod(own, spacingS);
  const beat = alone !== null && alone.regular && before.length > 1 ? alone.period_s : null;
  const last = before[before.length - 1];
  const isOurs = (wake: WakeUp): boolean => beat !== null && isOnBeat(wake.start_s, last.start_s, beat);
  return wakeUps.map((wake) => {
    if (wake.cause === 'person' || (wake.cause === null && !during(wake))) return wake;
    return { ...wake, cause: isOurs(wake) ? null : 'fuse' };
  });
}

/** Walks the segments in `[startS, endS)`; returns the rest level at its end. */
function walk(readings: Readings, { startS, endS, dipS }: { readonly startS: number; readonly endS: number; readonly dipS: number }, restA: number, runs: Excursion[], rests: RestStretch[]): number {
  const { segments, blocks } = readings;
  let levelA = restA;
  let run: Excursion | null = null;
  let lastRest: Segment | null = null;
  let scatterA = Infinity;
  const out = new Set(fuseDips(readings).flatMap((dip) => Array.from({ length: dip.last - dip.first + 1 }, (_, i) => dip.first + i)));
  let k = 0;
  while (k < segments.length && segments[k].endS <= startS) k++;
  for (; k < segments.length && segments[k].startS < endS; k++) {
    const segment = segments[k];
    const fromS = Math.max(startS, segment.startS);
    const toS = Math.min(endS, segment.endS);
    if (toS <= fromS || showsNothing(readings, segment) || out.has(k)) continue;
    const meanA = clippedMean(readings, segment, fromS, toS);
    // a mean is never worse than one of its values: the long-run error overstates stretches shorter than the noise hangs together
    const errorA = Math.min(scatterA, meanErrorA(segment, (toS - fromS) / blocks.widthS));
    const hopA = toS - fromS < HAND_BLIP_S ? 2 * readings.stepA : 0;
    const riseA = Math.max(NEGLIGIBLE_A, TRIFLE_SHARE * Math.abs(levelA), CLEAR_SIGMAS * errorA, hopA);
    const drifts = lastRest !== null && meanA > levelA && meanA < levelA + riseA + NOTABLE_A && isSameRest(readings, segment, lastRest, levelA);
    const unseen = run === null && meanA > levelA + riseA && !drifts && isUnseenStep(readings, k, levelA, riseA);
    if (unseen) levelA = meanA;
    if (meanA > levelA + riseA && !drifts) {
      if (run === null) run = { startS: fromS, endS: toS, restA: levelA };
      else run.endS = toS;
      continue;
    }
    if (run !== null) runs.push(run);
    run = null;
    const isDip = meanA < levelA - riseA && toS - fromS < dipS;
    if (isDip) continue;
    lastRest = segment;
    if (segment.endBlock - segment.startBlock >= MANY_BLOCKS) scatterA = robustSigma(blocks.meanA.subarray(segment.startBlock, segment.endBlock));
    // a level has the blocks of its own edges whole: what a pulse of a module that polls draws lies in them
    const startBlock = fromS > segment.startS ? Math.ceil((fromS - blocks.startS[segment.startBlock]) / blocks.widthS) + segment.startBlock : segment.startBlock;
    rests.push({ startS: fromS, endS: toS, startBlock: Math.min(startBlock, segment.endBlock), endBlock: toS < segment.endS ? blockBefore(readings, segment, toS) : segment.endBlock, levelA: meanA });
    if (toS - fromS > REST_S || meanA < levelA - riseA) levelA = meanA;
  }
  if (run !== null) runs.push(run);
  return levelA;
}

function clippedMean(readings: Readings, segment: Segment, fromS: number, toS: number): number {
  const { blocks } = readings;
  let sumA = 0;
  let count = 0;
  for (let i = segment.startBlock; i < segment.endBlock; i++) {
    if (blocks.startS[i] < fromS || blocks.startS[i] + blocks.widthS > toS) continue;
    sumA += blocks.meanA[i];
    count++;
  }
  return count === 0 ? segment.meanA : sumA / count;
}

function blockBefore(readings: Readings, segment: Segment, toS: number): number {
  let endBlock = segment.endBlock;
  while (endBlock > segment.startBlock && readings.blocks.startS[endBlock - 1] + readings.blocks.widthS > toS) endBlock--;
  return endBlock;
}

function joined(runs: readonly Excursion[]): Excursion[] {
  const out: Excursion[] = [];
  for (const run of runs) {
    const last = out[out.length - 1];
    if (last !== undefined && run.startS - last.endS < SHORTEST_WAKE_S) last.endS = run.endS;
    else out.push({ ...run });
  }
  return out;
}

function peakAndCharge(bins: Bins, startS: number, endS: number): { peakA: number; chargeC: number } {
  let peakA = -Infinity;
  let sumA = 0;
  let count = 0;
  let heldA = 0;
  let held = 0;
  let heldFromS = -Infinity;
  const startKey = Math.floor(startS / bins.widthS);
  let low = 0;
  let high = bins.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (bins.key[middle] < startKey) low = middle + 1;
    else high = middle;
  }
  let meanSum = 0;
  let binsInside = 0;
  for (let i = low; i < bins.length; i++) {
    const atS = bins.key[i] * bins.widthS;
    if (atS >= endS) break;
    sumA += bins.sumA[i];
    count += bins.count[i];
    meanSum += bins.sumA[i] / bins.count[i];
    binsInside++;
    if (held > 0 && atS - heldFromS >= PEAK_S) {
      peakA = Math.max(peakA, heldA / held);
      held = 0;
      heldA = 0;
    }
    if (held === 0) heldFromS = atS;
    heldA += bins.sumA[i];
    held += bins.count[i];
  }
  if (held > 0) peakA = Math.max(peakA, heldA / held);
  const meanA = count === 0 ? 0 : (sumA / count + meanSum / binsInside) / 2;
  return { peakA: peakA === -Infinity ? 0 : peakA, chargeC: meanA * (endS - startS) };
}
