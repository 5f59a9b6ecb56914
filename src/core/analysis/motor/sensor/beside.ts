import { median } from '../../../stats.ts';
import type { Baseline } from './baseline.ts';
import type { Sampling } from './sampling.ts';
import { CAME_UP, CLEAR_PART, FEWEST } from '../signal/decision-levels.ts';
import { EDGE, meanOf, topOf } from '../signal/levels.ts';
import { INRUSH, PRESS, STEP } from '../settings.ts';
import { MAINS_PERIOD_S, SWITCH_ON_S } from '../time-scales.ts';

/** Blocks of one mains period: their means and the scatter of their readings, A and A². */
interface Blocks {
  readonly deviationA: Float32Array;
  /** samples */
  readonly length: number;
  readonly meanA: Float64Array;
  readonly varianceA2: Float64Array;
  /** scatter up to which a block is no livelier than the idle clamp */
  readonly quietA2: number;
  /** A; what lies nearer to zero is the idle wire */
  readonly leastA: number;
}

/** A level without any life in it, with which the recording begins or ends. */
interface Rest {
  readonly levelA: number;
  readonly bandA: number;
  /** blocks `[from, to)` */
  readonly from: number;
  readonly to: number;
}

/** A level to take off the readings `[startIndex, endIndex)`. */
interface Shift {
  readonly levelA: number;
  readonly startIndex: number;
  readonly endIndex: number;
}

/** Blocks that a level is read over. */
function sideBlocks(): number {
  return Math.round(STEP.sideS / MAINS_PERIOD_S);
}

/** Blocks after which a switch-on is over. */
function startBlocks(): number {
  return Math.ceil(SWITCH_ON_S / MAINS_PERIOD_S);
}

/**
 * Takes off the deviation what is there beside the motor at one end of the recording only: a load that was on before the first press and went later, one that
 * joined in and stayed, what an open-loop clamp keeps of its peak, a clamp that was nudged. All of them are as quiet as the idle clamp, and a commutator begins or
 * ends with them: the motor's own press is where that is. O(n).
 */
export function withoutBeside(baseline: Baseline, sampling: Sampling): Baseline {
  const blocks = baseline.found && baseline.backgroundA === 0 ? blocksOf(baseline, sampling) : null;
  if (blocks === null) return baseline;
  const [first, last] = [restAtStart(blocks), restAtEnd(blocks)];
  const before = first === null ? null : beforeStart(first, blocks);
  const after = last === null ? null : (afterEnd(last, blocks) ?? afterJump(last, blocks));
  const shifts = [before, after].filter((shift) => shift !== null);
  if (shifts.length === 0) return baseline;
  const deviationA = baseline.deviationA.slice();
  for (const { levelA, startIndex, endIndex } of shifts) for (let i = startIndex; i < endIndex; i++) deviationA[i] -= levelA;
  return { ...baseline, deviationA };
}

function blocksOf({ deviationA, noiseA, reachA, stepA }: Baseline, { rateHz }: Sampling): Blocks | null {
  const length = Math.round(MAINS_PERIOD_S * rateHz);
  const count = Math.floor(deviationA.length / length);
  // two readings show no scatter, four do
  if (length < FEWEST || count < 2 * (sideBlocks() + startBlocks())) return null;
  const meanA = new Float64Array(count);
  const varianceA2 = new Float64Array(count);
  for (let b = 0; b < count; b++) {
    let sum = 0;
    let squares = 0;
    for (let i = b * length; i < (b + 1) * length; i++) {
      sum += deviationA[i];
      squares += deviationA[i] * deviationA[i];
    }
    meanA[b] = sum / length;
    varianceA2[b] = Math.max(0, squares / length - meanA[b] ** 2);
  }
  return { deviationA, length, meanA, varianceA2, quietA2: (1 + CLEAR_PART) ** 2 * (noiseA ** 2 + stepA ** 2), leastA: Math.max(PRESS.floorA, 2 * reachA) };
}

const isQuiet = ({ varianceA2, quietA2 }: Blocks, from: number, to: number): boolean => to > from && median(varianceA2.subarray(from, to)) <= quietA2;
/** The scatter of a median of ten blocks is known to a fifth: twice that of the rest is a commutator's. */
const isLively = ({ varianceA2 }: Blocks, rest: Rest, from: number, to: number): boolean => to > from && median(varianceA2.subarray(from, to)) > 2 * median(varianceA2.subarray(rest.from, rest.to));

function restOver(blocks: Blocks, from: number, to: number): { levelA: number; bandA: number } | null {
  const levelA = median(blocks.meanA.subarray(from, to));
  return Math.abs(levelA) > blocks.leastA && isQuiet(blocks, from, to) ? { levelA, bandA: Math.max((1 - CAME_UP) * Math.abs(levelA), blocks.leastA / 2) } : null;
}

function restAtStart(blocks: Blocks): Rest | null {
  const rest = restOver(blocks, 0, sideBlocks());
  if (rest === null) return null;
  let to = 0;
  while (to < blocks.meanA.length && isAt(rest, blocks, to)) to++;
  return to >= sideBlocks() && to < blocks.meanA.length ? { ...rest, from: 0, to } : null;
}

function restAtEnd(blocks: Blocks): Rest | null {
  const count = blocks.meanA.length;
  const rest = restOver(blocks, count - sideBlocks(), count);
  if (rest === null) return null;
  let from = count;
  while (from > 0 && isAt(rest, blocks, from - 1)) from--;
  return count - from >= sideBlocks() && from > sideBlocks() + startBlocks() ? { ...rest, from, to: count } : null;
}

const isAt = ({ levelA, bandA }: { levelA: number; bandA: number }, { meanA }: Blocks, b: number): boolean => Math.abs(meanA[b] - levelA) <= bandA;

/** A motor starts on top of a level that was there before: the level belongs to it neither before its start nor, where it is there again at its end, until it goes. */
function beforeStart(rest: Rest, blocks: Blocks): Shift | null {
  const { deviationA, length, meanA, leastA } = blocks;
  const sign = Math.sign(rest.levelA);
  const sizeA = Math.abs(rest.levelA);
  const settledFrom = rest.to + startBlocks();
  const runA = median(meanA.subarray(settledFrom, settledFrom + sideBlocks())) * sign - sizeA;
  const startIndex = rest.to * length - length;
  const peakA = topOf(deviationA, startIndex, settledFrom * length, sign) - sizeA;
  if (!(runA > leastA) || peakA < INRUSH.overRun * runA) return null;
  let idle = settledFrom;
  while (idle < meanA.length && Math.abs(meanA[idle]) > leastA) idle++;
  // the last stretch at the level before the wire is idle
  let back = idle;
  while (back > settledFrom && !isAt(rest, blocks, back - 1)) back--;
  let from = back;
  while (from > settledFrom && isAt(rest, blocks, from - 1)) from--;
  const isBack = back - from >= sideBlocks() / 2 && isQuiet(blocks, from, back);
  // what slows down draws less at first than the level it slows down to, for as long as it drives itself on
  const atOnce = isBack && meanA[from - 1] * sign > sizeA - rest.bandA && meanA[from - 2] * sign > sizeA + EDGE.from * runA;
  if (!atOnce && !isLively(blocks, rest, settledFrom, settledFrom + sideBlocks())) return null;
  if (isBack) return { levelA: rest.levelA, startIndex: 0, endIndex: leaves(deviationA, (back - 1) * length, sign, sizeA / 2) };
  return { levelA: rest.levelA, startIndex: 0, endIndex: leaves(deviationA, startIndex, -sign, -(sizeA + runA / 2)) };
}

/** The first reading from `from` on that is no longer past the level, seen in the direction of `sign`. */
function leaves(deviationA: Float32Array, from: number, sign: number, levelA: number): number {
  let i = from;
  while (i < deviationA.length && deviationA[i] * sign > levelA) i++;
  return i;
}

/** A motor's current goes at once and something quiet is left: the motor was let go, and another load flows on, or the clamp keeps some of its peak. Only the commutator, or the moment at which the load joined in, tells it from a motor that runs on. */
function afterEnd(rest: Rest, blocks: Blocks): Shift | null {
  const { levelA, from } = rest;
  const { deviationA, length, meanA, leastA } = blocks;
  const sign = Math.sign(levelA);
  const edge = from - 1;
  const ranA = median(meanA.subarray(edge - sideBlocks(), edge)) * sign;
  // a level that sinks slowly into that of the end has not dropped there
  const leftA = median(meanA.subarray(from + 1, from + 1 + (sideBlocks() >> 1))) * sign;
  const dropA = ranA - leftA;
  const atOnce = meanA[edge - 1] * sign - leftA > EDGE.from * dropA;
  if (!(dropA > leastA) || !atOnce || !(isLively(blocks, rest, edge - sideBlocks(), edge) || hasJoined(rest, blocks))) return null;
  return { levelA, startIndex: leaves(deviationA, (edge - 1) * length, sign, leftA + dropA / 2), endIndex: deviationA.length };
}

/** Whether the current of a run stepped up for good by as much as is left after it: what is left joined in there, and its own switch-on was over soon. */
function hasJoined({ levelA, from }: Rest, { meanA, leastA }: Blocks): boolean {
  const sign = Math.sign(levelA);
  const half = sideBlocks() >> 1;
  let start = from - 1;
  while (start > 0 && meanA[start - 1] * sign > leastA) start--;
  for (let b = start + startBlocks() + half; b + startBlocks() + half < from; b++) {
    const stepA = median(meanA.subarray(b + startBlocks(), b + startBlocks() + half)) - median(meanA.subarray(b - half, b));
    if (Math.abs(stepA / levelA - 1) < 1 - EDGE.from) return true;
  }
  return false;
}

/** The wire rests past zero for good, as far as the current of the press before had stepped down: the zero has moved, for no load can end that was not there before. */
function afterJump(rest: Rest, blocks: Blocks): Shift | null {
  const { levelA, from } = rest;
  const { deviationA, length, meanA } = blocks;
  const half = sideBlocks() >> 1;
  const edge = from - 1;
  if (median(meanA.subarray(edge - sideBlocks(), edge)) * levelA > 0 || !isLively(blocks, rest, edge - sideBlocks(), edge)) return null;
  let start = edge;
  while (start > 0 && meanA[start - 1] * levelA < 0 && Math.abs(meanA[start - 1]) > blocks.leastA) start--;
  const changeAt = (i: number, width: number): number => meanOf(deviationA, i, i + width) - meanOf(deviationA, i - width, i);
  let best = -1;
  for (let b = start + startBlocks() + half; b <= edge - half; b++) {
    const offA = Math.abs(changeAt(b * length, half * length) - levelA);
    if (best < 0 || offA < Math.abs(changeAt(best * length, half * length) - levelA)) best = b;
  }
  if (best < 0 || Math.abs(changeAt(best * length, half * length) / levelA - 1) > 1 - EDGE.from) return null;
  let index = best * length;
  for (let i = index - length; i <= index + length; i++) if (changeAt(i, length) / levelA > changeAt(index, length) / levelA) index = i;
  return { levelA, startIndex: index, endIndex: deviationA.length };
}
