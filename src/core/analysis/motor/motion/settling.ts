import { median } from '../../../stats.ts';
import { CELL_S, type Envelope } from '../signal/envelope.ts';
import { FALLS_TO } from './plateaus.ts';
import { CLAMP_FOLLOWS_S, LEVEL_S } from '../time-scales.ts';
import { TRIFLE } from '../signal/decision-levels.ts';

export interface Settled {
  /** where the rush is over; the end of what was looked at when it never is */
  readonly cell: number;
  /** cells in which it fell to the half; 0 when it is not known */
  readonly halfCells: number;
}

/**
 * Cell before `to` from which a rush of current that began at cell `from` and was highest at cell `top` is over.
 *
 * The excess of a motor that speeds up dies away as exp(-t/tau) with a tau that is not known beforehand. So each moment is compared with
 * the median of the stretch as long again that follows it: what is left to fall there must be a small share of the whole fall, or as many
 * half-times of the fall must have passed as that share takes. Nothing later counts, so waves of the load, a heavy stretch or a stall
 * further on do not move the answer.
 *
 * @param to cell up to which the current may be looked at: the next lost contact, or the end
 * @param noiseA uncertainty of one cell's level, A
 */
export function settle(envelope: Envelope, from: number, top: number, to: number, noiseA: number): Settled {
  const { levelA } = envelope;
  const last = Math.min(Math.max(to, top), envelope.cells);
  let summit = top;
  const highest = Math.min(last - 2, top + Math.round(CLAMP_FOLLOWS_S / envelope.stepS));
  while (summit < highest && Math.max(levelA[summit + 1], levelA[summit + 2]) > levelA[summit]) summit++;
  const topA = levelA[summit];
  let fallen = summit;
  while (fallen < last && levelA[fallen] > FALLS_TO * topA) fallen++;
  // an exponential is down to the settled share after this many of its half-times
  const halfTimes = -Math.log2(TRIFLE);
  for (let k = fallen < last ? fallen : summit; k < last; k = nextCell(k, from)) {
    const asLongAgain = k + Math.max(Math.round(LEVEL_S / CELL_S), k - from);
    const end = Math.min(last, asLongAgain);
    const aheadA = median(levelA.subarray(k, end));
    const bandA = Math.max(TRIFLE * (topA - aheadA), 0.005 * aheadA, 2 * noiseA);
    const halfCells = halfTime(levelA, summit, k, (topA + aheadA) / 2);
    if ((asLongAgain <= last && levelA[k] - aheadA <= bandA) || k - summit >= halfTimes * halfCells) return { cell: k, halfCells };
  }
  return { cell: last, halfCells: 0 };
}

/** Cells from the summit until the level is below `halfA`. */
function halfTime(levelA: Float64Array, summit: number, before: number, halfA: number): number {
  let k = summit;
  while (k < before && levelA[k] > halfA) k++;
  return k - summit;
}

/** Every cell at first, later every twentieth of the time passed: the answer need not be finer, and the work stays linear. */
function nextCell(k: number, from: number): number {
  return k + Math.max(1, Math.floor((k - from) / 20));
}
