import { median } from '../../../stats.ts';
import { cellAt, smearCells, type PressView } from './press-view.ts';
import { settle } from './settling.ts';
import { SUSPECT } from '../settings.ts';
import { SWITCH_ON_S } from '../time-scales.ts';
import type { IndexRange, StallRange } from '../types.ts';

/** What is left of the press between settled switch-on, stalls and lost contacts, each with the rush of current after it taken off. */
export function runningRanges(view: PressView, settled: number, stalls: readonly StallRange[]): IndexRange[] {
  const { press, envelope } = view;
  const blocked = [...stalls.map((stall) => ({ ...stall, startIndex: stall.approachIndex })), ...press.dropouts].sort((a, b) => a.startIndex - b.startIndex);
  const ranges: IndexRange[] = [];
  const shortest = Math.max(2, envelope.step * 4);
  let from = envelope.startIndex + settled * envelope.step;
  let ranA: number | null = null;
  for (const [b, block] of [...blocked, { startIndex: press.endIndex, endIndex: press.endIndex }].entries()) {
    if (block.startIndex - from >= shortest) {
      const levelA = median(envelope.levelA.subarray(cellAt(envelope, from), Math.max(cellAt(envelope, from) + 1, cellAt(envelope, block.startIndex))));
      // no motor runs at more of its stall current: levels further apart are not both runs (a cut-out that opened lets less through after a stall)
      if (b === 0 || ranA === null || !('at' in blocked[b - 1]) || levelA > SUSPECT.hardShare * ranA) ranges.push({ startIndex: from, endIndex: block.startIndex });
      ranA ??= levelA;
    }
    from = Math.max(from, settledAfter(view, block, blocked[b + 1]?.startIndex ?? press.endIndex));
  }
  return ranges;
}

/** Sample from which the rush after a stall or a lost contact is over. */
function settledAfter(view: PressView, block: IndexRange, endIndex: number): number {
  const { envelope } = view;
  const to = endIndex < view.press.endIndex ? cellAt(envelope, endIndex) - smearCells(envelope) : envelope.cells;
  const from = Math.min(envelope.cells - 1, cellAt(envelope, block.endIndex));
  let top = from;
  const soon = Math.min(to, from + Math.ceil(SWITCH_ON_S / envelope.stepS));
  for (let k = from; k < soon; k++) if (envelope.levelA[k] > envelope.levelA[top]) top = k;
  const settled = settle(envelope, from, top, to, view.cellNoiseA);
  const ahead = Math.min(settled.cell, envelope.cells - 1);
  const aheadA = median(envelope.levelA.subarray(ahead, Math.max(ahead + 1, to)));
  // the top of a short rush after a lost contact is flat; the motor needs as many of its half-times as the excess takes to fall to a fiftieth of the level
  const halvings = Math.log2(Math.max(1, (envelope.levelA[top] / aheadA - 1) / 0.02));
  const cell = 'at' in block ? settled.cell : Math.max(settled.cell, top + Math.ceil(halvings * view.halfCells));
  return Math.max(block.endIndex, cell < to ? envelope.startIndex + cell * envelope.step : endIndex);
}
