import { median } from '../../stats.ts';
import type { Baseline } from './baseline.ts';
import { standsAtEnd } from './full-scale.ts';
import { findPeak, type Peak } from './inrush.ts';
import { findPlateaus, NEAR_TOP, type Plateau, type Plateaus } from './plateaus.ts';
import type { IndexRange, Press } from './presses.ts';
import type { Sampling } from './sampling.ts';
import { settle } from './settling.ts';
import { shapeOf, SMOOTH_S, type Shape } from './shape.ts';
import { INRUSH, STALL } from './settings.ts';

/** One press, looked at by itself. */
export interface PressView {
  readonly press: Press;
  readonly shape: Shape;
  readonly peak: Peak;
  /** cell in which the current had come down to the running level, at the earliest */
  readonly settled: number;
  /** cells in which the switch-on peak fell to the half: how slowly this motor gains speed */
  readonly halfCells: number;
  /** doubt of one cell's level by the clamp's noise, A */
  readonly cellNoiseA: number;
  readonly plateaus: Plateaus;
  /** running level by the press alone: what is left outside the plateaus, A; null when nothing is */
  readonly runA: number | null;
}

/** What the presses of one trace say together; null where they do not tell. */
export interface TraceLevels {
  readonly runA: number | null;
  /** the lowest of them */
  readonly lowestRunA: number | null;
  readonly peakA: number | null;
  /** mean square of the restless part of the idle clamp, A² */
  readonly idleRestlessA2: number;
}

/** What the motor did during one press. */
export interface Motion {
  readonly stalls: readonly StallRange[];
  /** settled and turning */
  readonly running: readonly IndexRange[];
  /** samples up to which the switch-on reaches; null when there was none to see */
  readonly inrushEnd: number | null;
  readonly turned: boolean;
  /** false: the trace does not tell whether the motor turned */
  readonly certain: boolean;
}

export interface StallRange extends IndexRange {
  /** sample from which the current climbed to it: no longer running, not yet standing */
  readonly approachIndex: number;
  readonly levelA: number;
  readonly at: 'start' | 'travel';
}

export function viewPress(press: Press, baseline: Baseline, sampling: Sampling): PressView {
  const shape = shapeOf(press, baseline, sampling);
  const peak = findPeak(press, baseline, sampling);
  const noiseA2 = baseline.noiseA * baseline.noiseA;
  const skip = disturbedCells(press, shape);
  const cellNoiseA = baseline.noiseA / Math.sqrt(Math.max(1, SMOOTH_S * sampling.rateHz));
  const firstLoss = press.dropouts.length > 0 ? cellAt(shape, press.dropouts[0].startIndex) - smearCells(shape) : shape.cells;
  const { cell: settled, halfCells } = press.startsMidway ? { cell: 0, halfCells: 0 } : settle(shape, 0, Math.min(shape.cells - 1, cellAt(shape, peak.index) + 1), firstLoss, cellNoiseA);
  const plateaus = findPlateaus(shape, settled, noiseA2, skip);
  const enough = plateaus.restCells * shape.stepS >= 0.04;
  return { press, shape, peak, settled, halfCells, cellNoiseA, plateaus, runA: enough ? (plateaus.restFlatA ?? plateaus.restA) : null };
}

/** s; how long a motor that had lost its feed takes to be back at its level. Scored */
const RECOVER_S = 0.1;

/** Cells in which a lost contact, or the rush of current after it, hides the level. */
function disturbedCells(press: Press, shape: Shape): Uint8Array {
  const skip = new Uint8Array(shape.cells);
  for (const range of press.dropouts) {
    const from = Math.floor((range.startIndex - shape.startIndex) / shape.step) - 2;
    const to = Math.ceil((range.endIndex - shape.startIndex) / shape.step + RECOVER_S / shape.stepS);
    skip.fill(1, Math.max(0, from), Math.min(shape.cells, to));
  }
  return skip;
}

/** Levels that the presses of a trace have in common: a press that shows too little is judged by its neighbours. */
export function commonLevels(views: readonly PressView[], idleRestlessA2: number): TraceLevels {
  const runs: number[] = [];
  const peaks: number[] = [];
  for (const view of views) {
    const top = view.plateaus.top[0];
    const peaked = !view.press.startsMidway && view.press.fromRest && top !== undefined && view.peak.peakA > INRUSH.overRun * lowestOf(view);
    if (peaked) peaks.push(view.peak.peakA);
    if (top !== undefined && (peaked || view.runA !== null)) runs.push(lowestOf(view));
  }
  return { runA: runs.length > 0 ? median(runs) : null, lowestRunA: runs.length > 0 ? Math.min(...runs) : null, peakA: peaks.length > 0 ? median(peaks) : null, idleRestlessA2 };
}

function lowestOf(view: PressView): number {
  const topA = view.plateaus.top[0]?.levelA ?? Infinity;
  return view.runA === null ? topA : Math.min(topA, view.runA);
}

/** Decides which plateaus of a press are stalls, and what is left as running. */
export function judgeMotion(view: PressView, common: TraceLevels, runLimitsA: readonly [number, number] | undefined): Motion {
  const { press, shape, plateaus } = view;
  const single = plateaus.top.length === 0 || (view.runA === null ? !didTurn(view, plateaus.top) : !plateaus.top.some((plateau) => plateau.levelA >= overRun(plateau, view, common) * (view.runA ?? 0)));
  let standing: Plateau[] = [];
  let turned = true;
  let certain = true;
  if (single) {
    const judged = judgeSingleLevel(view, common, runLimitsA);
    turned = judged !== 'locked';
    certain = judged !== 'unclear';
    if (!turned) standing = [...plateaus.top];
  } else {
    standing = plateaus.top.filter((plateau) => isStall(plateau, view, common));
    turned = standing.length < plateaus.top.length || didTurn(view, standing);
  }
  const stalls = standing.map((plateau) => toStall(plateau, view));
  const inrushSeen = !press.startsMidway && turned && !stalls.some((stall) => stall.at === 'start');
  const settled = Math.min(view.settled, standing[0]?.approach ?? shape.cells);
  return {
    stalls,
    running: turned ? runningRanges(view, settled, stalls) : [],
    inrushEnd: inrushSeen ? Math.min(press.endIndex, Math.max(shape.startIndex + settled * shape.step, view.peak.index + 1)) : null,
    turned,
    certain,
  };
}

/** of the level; so much restlessness that the idle clamp does not show is a turning commutator, whatever the other presses say. Scored */
const ALIVE_SHARE = 0.015;

/** Only one level in the whole press: either it ran throughout or it never turned. */
function judgeSingleLevel(view: PressView, common: TraceLevels, runLimitsA: readonly [number, number] | undefined): 'ran' | 'locked' | 'unclear' {
  const top = view.plateaus.top[0];
  if (top === undefined) return 'ran';
  const levelA = view.runA === null ? top.levelA : Math.min(top.levelA, view.runA);
  const peaked = !view.press.startsMidway && view.peak.peakA > INRUSH.overRun * levelA;
  // a motor thrown back by its stop overshoots too, but stands far above the level at which it runs elsewhere
  const standsHigh = common.lowestRunA !== null && levelA > 2 * common.lowestRunA && common.peakA !== null && levelA > STALL.overPeak * common.peakA;
  if (peaked && !standsHigh) return 'ran';
  const rippleA2 = top.restlessA2 - common.idleRestlessA2;
  if (rippleA2 > Math.max(4 * common.idleRestlessA2, (ALIVE_SHARE * levelA) ** 2)) return 'ran';
  if (common.runA !== null && common.runA < levelA / STALL.overRun && (common.peakA === null || levelA > STALL.overPeak * common.peakA)) return 'locked';
  if (common.peakA !== null && levelA > STALL.overPeak * common.peakA) return 'locked';
  if (common.runA !== null) return 'ran';
  if (rippleA2 > Math.max(2 * common.idleRestlessA2, (0.01 * levelA) ** 2)) return 'ran';
  if (runLimitsA !== undefined) return levelA > 1.3 * runLimitsA[1] ? 'locked' : 'ran';
  return view.press.startsMidway ? 'unclear' : 'locked';
}

/** How far over the running level a plateau must stand to be a stall; one at the end of the sensor's range need only be told from the run. */
function overRun(plateau: Plateau, view: PressView, common: TraceLevels): number {
  const atEnd = plateau.from > view.settled && standsAtEnd(plateau, view.shape, view.peak.peakA, common.idleRestlessA2);
  return atEnd ? 1 / NEAR_TOP : STALL.overRun;
}

/**
 * Whether a high plateau is a standing motor. Every cue adds or takes weight; no single one decides, because each fails somewhere: a slow
 * clamp lowers the switch-on peak, a noisy one hides the ripple, a mechanism can be heavy and even.
 */
function isStall(plateau: Plateau, view: PressView, common: TraceLevels): boolean {
  const runA = view.runA ?? common.runA;
  if (runA !== null && plateau.levelA < overRun(plateau, view, common) * runA) return false;
  const peakA = view.press.fromRest && !view.press.startsMidway ? view.peak.peakA : common.peakA;
  if (peakA !== null && plateau.levelA < STALL.overPeak * peakA) return false;
  let weight = 0;
  if (peakA === null) weight += 0.5;
  else if (plateau.levelA > 0.97 * peakA) weight += 2;
  else if (plateau.levelA > 0.85 * peakA) weight += 1;
  if (runA !== null && plateau.levelA > 2 * runA) weight += 0.5;
  const ripple = rippleWeight(plateau, view, common.idleRestlessA2, runA ?? 0);
  // no turning motor draws more than at its switch-on from rest; what ripples there are the last bars of a rotor pressed into its stop
  weight += peakA !== null && plateau.levelA > peakA ? Math.max(ripple, -RIPPLE_HINT) : ripple;
  const noiseShare = Math.sqrt(common.idleRestlessA2 / 16) / plateau.levelA;
  if (plateau.wander < 0.01 + noiseShare) weight += 1;
  else if (plateau.wander > 0.025 + noiseShare) weight -= 1.5;
  return weight >= 1.5;
}

/** weight of a ripple that hardly stands out of the clamp's noise, or that a high current speaks against. Scored */
const RIPPLE_HINT = 0.75;

/** The ripple of a turning motor, gone or still there; says little when it hardly stands out of the clamp's noise. */
function rippleWeight(plateau: Plateau, view: PressView, idleA2: number, runA: number): number {
  const aliveA2 = (view.plateaus.restRestlessA2 ?? 0) - idleA2;
  if (aliveA2 < (0.003 * runA) ** 2 || aliveA2 < idleA2) return 0;
  const left = (plateau.restlessA2 - idleA2) / aliveA2;
  const strength = aliveA2 > 4 * idleA2 ? 2 : RIPPLE_HINT;
  if (left < STALL.rippleLeft ** 2) return strength;
  return left > 0.6 ? -strength : 0;
}

/** A press that begins on a plateau and stays there never turned; a dip before the first plateau is a motor that got going. */
function didTurn(view: PressView, standing: readonly Plateau[]): boolean {
  if (standing.length !== 1) return true;
  if (!stoodFromStart(standing[0], view)) return true;
  const lowA = 0.8 * standing[0].levelA;
  for (let k = standing[0].to; k < view.shape.cells - 4; k++) if (view.shape.levelA[k] < lowA) return true;
  return false;
}

/**
 * s at full speed; less travel before a stall is play taken up and a stop pressed in, one to three turns of a motor at 3000 to 6000 rpm.
 * Common practice, no published source
 */
const NO_TRAVEL_S = 0.03;

/**
 * Whether the motor has hardly moved before it stood. Its speed is as far from full as its current from the standing current
 * (e = V - R i), so the area between the two, over the standing current, is travel in seconds of full speed.
 */
function stoodFromStart(plateau: Plateau, view: PressView): boolean {
  const { shape, press, peak } = view;
  const from = press.startsMidway ? 0 : Math.min(plateau.from, cellAt(shape, peak.index));
  let travelS = 0;
  for (let k = from; k < plateau.from; k++) travelS += Math.max(0, 1 - shape.levelA[k] / plateau.levelA) * shape.stepS;
  return travelS < NO_TRAVEL_S;
}

function toStall(plateau: Plateau, view: PressView): StallRange {
  const { shape, press } = view;
  const atStart = !press.startsMidway && stoodFromStart(plateau, view);
  const startIndex = atStart ? press.startIndex : shape.startIndex + plateau.from * shape.step;
  const approachIndex = Math.min(startIndex, shape.startIndex + plateau.approach * shape.step);
  const endIndex = plateau.to >= shape.cells ? press.endIndex : shape.startIndex + plateau.to * shape.step;
  return { startIndex, approachIndex, endIndex, levelA: plateau.levelA, at: atStart ? 'start' : 'travel' };
}

/** of the level at which the motor ran before; after a stall less than this is what a tripped cut-out lets through */
const RUNS_AGAIN = 0.6;

/** What is left of the press between settled switch-on, stalls and lost contacts, each with the rush of current after it taken off. */
function runningRanges(view: PressView, settled: number, stalls: readonly StallRange[]): IndexRange[] {
  const { press, shape } = view;
  const blocked = [...stalls.map((stall) => ({ ...stall, startIndex: stall.approachIndex })), ...press.dropouts].sort((a, b) => a.startIndex - b.startIndex);
  const ranges: IndexRange[] = [];
  const shortest = Math.max(2, shape.step * 4);
  let from = shape.startIndex + settled * shape.step;
  let ranA: number | null = null;
  for (const [b, block] of [...blocked, { startIndex: press.endIndex, endIndex: press.endIndex }].entries()) {
    if (block.startIndex - from >= shortest) {
      const levelA = median(shape.levelA.subarray(cellAt(shape, from), Math.max(cellAt(shape, from) + 1, cellAt(shape, block.startIndex))));
      if (b === 0 || ranA === null || !('at' in blocked[b - 1]) || levelA > RUNS_AGAIN * ranA) ranges.push({ startIndex: from, endIndex: block.startIndex });
      ranA ??= levelA;
    }
    from = Math.max(from, settledAfter(view, block, blocked[b + 1]?.startIndex ?? press.endIndex));
  }
  return ranges;
}

/** Sample from which the rush after a stall or a lost contact is over. */
function settledAfter(view: PressView, block: IndexRange, endIndex: number): number {
  const { shape } = view;
  const to = endIndex < view.press.endIndex ? cellAt(shape, endIndex) - smearCells(shape) : shape.cells;
  const from = Math.min(shape.cells - 1, cellAt(shape, block.endIndex));
  let top = from;
  const soon = Math.min(to, from + Math.ceil(RECOVER_S / shape.stepS));
  for (let k = from; k < soon; k++) if (shape.levelA[k] > shape.levelA[top]) top = k;
  const settled = settle(shape, from, top, to, view.cellNoiseA);
  const ahead = Math.min(settled.cell, shape.cells - 1);
  const aheadA = median(shape.levelA.subarray(ahead, Math.max(ahead + 1, to)));
  // the top of a short rush after a lost contact is flat; the motor needs as many of its half-times as the excess takes to fall to a fiftieth of the level
  const halvings = Math.log2(Math.max(1, (shape.levelA[top] / aheadA - 1) / 0.02));
  const cell = 'at' in block ? settled.cell : Math.max(settled.cell, top + Math.ceil(halvings * view.halfCells));
  return Math.max(block.endIndex, cell < to ? shape.startIndex + cell * shape.step : endIndex);
}

function cellAt(shape: Shape, index: number): number {
  return Math.floor((index - shape.startIndex) / shape.step);
}

/** Cells over which the smoothing spreads a break of the current. */
function smearCells(shape: Shape): number {
  return Math.ceil(SMOOTH_S / 2 / shape.stepS);
}
