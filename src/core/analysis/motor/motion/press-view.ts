import type { Baseline } from '../sensor/baseline.ts';
import { findPlateaus, type Plateaus } from './plateaus.ts';
import type { Press } from '../presses/presses.ts';
import type { Sampling } from '../sensor/sampling.ts';
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

export function cellAt(envelope: Envelope, index: number): number {
  return Math.floor((index - envelope.startIndex) / envelope.step);
}

/** Cells over which the smoothing spreads a break of the current. */
export function smearCells(envelope: Envelope): number {
  return Math.ceil(MAINS_PERIOD_S / 2 / envelope.stepS);
}
