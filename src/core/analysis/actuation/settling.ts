import { median } from '../../stats.ts';
import type { Shape } from './shape.ts';
import { INRUSH } from './settings.ts';

/** cells; a level is read over at least this many (40 ms) */
const FEWEST_CELLS = 8;
/** of the top; the rounded top itself, which a slow clamp draws out, is no settled level */
const FALLEN_TO = 0.92;

/**
 * Cell before `to` from which a rush of current that began at cell `from` and was highest at cell `top` is over; `to` when it never is.
 *
 * The excess of a motor that speeds up dies away as exp(-t/tau) with a tau that is not known beforehand. So each moment is compared with
 * the median of the stretch as long again that follows it: what is left to fall there must be a small share of the whole fall. Nothing
 * later counts, so waves of the load, a heavy stretch or a stall further on do not move the answer.
 *
 * @param noiseA doubt of one cell's level, A
 */
export function settledCell(shape: Shape, from: number, top: number, to: number, noiseA: number): number {
  const { levelA } = shape;
  const last = Math.min(to, shape.cells);
  let summit = top;
  while (summit + 2 < last && Math.max(levelA[summit + 1], levelA[summit + 2]) > levelA[summit]) summit++;
  const topA = levelA[summit];
  let fallen = summit;
  while (fallen < last && levelA[fallen] > FALLEN_TO * topA) fallen++;
  for (let k = fallen < last ? fallen : summit; k < last; k = nextCell(k, from)) {
    const end = Math.min(last, k + Math.max(FEWEST_CELLS, k - from));
    const aheadA = median(levelA.subarray(k, end));
    const bandA = Math.max(INRUSH.settledShare * (topA - aheadA), 0.005 * aheadA, 2 * noiseA);
    if (levelA[k] - aheadA <= bandA) return k;
  }
  return last;
}

/** Every cell at first, later every twentieth of the time passed: the answer need not be finer, and the work stays linear. */
function nextCell(k: number, from: number): number {
  return k + Math.max(1, Math.floor((k - from) / 20));
}
