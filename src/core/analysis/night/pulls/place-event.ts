import { robustSigma } from '../../../stats.ts';
import { lowerBound } from '../../../trace.ts';
import { changeInsideBinS, meanErrorA } from '../levels/segments.ts';
import { CLEAR_SIGMAS, HELD_SIGMAS, MARK_SLACK_S, NEGLIGIBLE_A, TRIFLE_SHARE } from '../settings.ts';
import type { Bins, FuseEvent, Readings, Segment, Stretch } from '../types.ts';

/** Puts event `k` where the readings show the change, not where the mark does. */
export function placeEvent(readings: Readings, events: FuseEvent[], stretches: readonly Stretch[], k: number): void {
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
  const samplesPerBlock = blocks.count[atBlock];
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
  const count = endBin - startBin;
  const values = new Float64Array(count);
  for (let i = 0; i < count; i++) values[i] = bins.sumA[startBin + i] / bins.count[startBin + i];
  const differences = new Float64Array(count - 1);
  for (let i = 0; i < differences.length; i++) differences[i] = values[i + 1] - values[i];
  const half = Math.floor(count / 2);
  return Math.max(robustSigma(differences) / Math.SQRT2, Math.min(robustSigma(values.subarray(0, half)), robustSigma(values.subarray(count - half))));
}
