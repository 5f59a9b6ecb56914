import { median } from '../../../stats.ts';
import type { Baseline } from '../sensor/baseline.ts';
import { findPlateaus, type Plateaus } from './plateaus.ts';
import type { Press } from '../presses/presses.ts';
import type { Sampling } from '../sensor/sampling.ts';
import { INRUSH, STALL } from '../settings.ts';
import { settle } from './settling.ts';
import { envelopeBetween, type Envelope } from '../signal/envelope.ts';
import { LEVEL_S, MAINS_PERIOD_S, SWITCH_ON_S } from '../time-scales.ts';
import { findPeak, type Peak } from './peak.ts';

/** One press, looked at by itself. */
export interface PressView {
  readonly press: Press;
  readonly envelope: Envelope;
  readonly peak: Peak;
  /** cell in which the current had come down to the running level, at the earliest */
  readonly settled: number;
  /** cells in which the switch-on peak fell to the half: how slowly this motor gains speed */
  readonly halfCells: number;
  /** standard deviation of one reading of the idle clamp, A */
  readonly noiseA: number;
  /** uncertainty of one cell's level by the clamp's noise, A */
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
  /** the level at which the motor stalls, by presses that show it running as well */
  readonly standsA: number | null;
  /** ripple variance (signal/envelope.ts) of the idle clamp, A²: what its noise makes of it */
  readonly idleRippleVarianceA2: number;
}

export function viewPress(press: Press, baseline: Baseline, sampling: Sampling): PressView {
  const envelope = envelopeBetween(press.startIndex, press.endIndex, press.sign, baseline.deviationA, sampling);
  const peak = findPeak(press, baseline, sampling);
  const noiseA2 = baseline.noiseA * baseline.noiseA;
  const skip = disturbedCells(press, envelope);
  const cellNoiseA = baseline.noiseA / Math.sqrt(Math.max(1, MAINS_PERIOD_S * sampling.rateHz));
  const firstLoss = press.dropouts.length > 0 ? cellAt(envelope, press.dropouts[0].startIndex) - smearCells(envelope) : envelope.cells;
  const { cell: settled, halfCells } = press.startsMidway ? { cell: 0, halfCells: 0 } : settle(envelope, 0, Math.min(envelope.cells - 1, cellAt(envelope, peak.index) + 1), firstLoss, cellNoiseA);
  const plateaus = findPlateaus(envelope, settled, noiseA2, skip);
  const enough = plateaus.restCells * envelope.stepS >= LEVEL_S;
  return { press, envelope, peak, settled, halfCells, noiseA: baseline.noiseA, cellNoiseA, plateaus, runA: enough ? (plateaus.restFlatA ?? plateaus.restA) : null };
}

/** Cells in which a lost contact, or the rush of current after it, hides the level: a motor that had lost its feed is switched on again. */
function disturbedCells(press: Press, envelope: Envelope): Uint8Array {
  const skip = new Uint8Array(envelope.cells);
  for (const range of press.dropouts) {
    const from = Math.floor((range.startIndex - envelope.startIndex) / envelope.step) - 2;
    const to = Math.ceil((range.endIndex - envelope.startIndex) / envelope.step + SWITCH_ON_S / envelope.stepS);
    skip.fill(1, Math.max(0, from), Math.min(envelope.cells, to));
  }
  return skip;
}

/** Levels that the presses of a trace have in common: a press that shows too little is judged by its neighbours. */
export function commonLevels(views: readonly PressView[], idleRippleVarianceA2: number): TraceLevels {
  const runs: number[] = [];
  const peaks: number[] = [];
  const stands: number[] = [];
  for (const view of views) {
    const top = view.plateaus.top[0];
    const peaked = !view.press.startsMidway && view.press.fromRest && top !== undefined && view.peak.peakA > INRUSH.overRun * lowestOf(view);
    if (peaked) peaks.push(view.peak.peakA);
    if (top !== undefined && view.runA !== null && top.levelA > STALL.overRun * view.runA) stands.push(top.levelA);
    if (top !== undefined && (peaked || view.runA !== null)) runs.push(lowestOf(view));
  }
  return { runA: runs.length > 0 ? median(runs) : null, lowestRunA: runs.length > 0 ? Math.min(...runs) : null, peakA: peaks.length > 0 ? median(peaks) : null, standsA: stands.length > 0 ? median(stands) : null, idleRippleVarianceA2 };
}

function lowestOf(view: PressView): number {
  const topA = view.plateaus.top[0]?.levelA ?? Infinity;
  return view.runA === null ? topA : Math.min(topA, view.runA);
}

export function cellAt(envelope: Envelope, index: number): number {
  return Math.floor((index - envelope.startIndex) / envelope.step);
}

/** Cells over which the smoothing spreads a break of the current. */
export function smearCells(envelope: Envelope): number {
  return Math.ceil(MAINS_PERIOD_S / 2 / envelope.stepS);
}
