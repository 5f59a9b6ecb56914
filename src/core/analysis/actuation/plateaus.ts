import { median } from '../../stats.ts';
import type { Shape } from './shape.ts';
import { STALL } from './settings.ts';

/** A high, flat stretch of one press in cells of its shape, `[from, to)`. */
export interface Plateau {
  readonly from: number;
  readonly to: number;
  readonly levelA: number;
  /** mean square of the restless part in its middle, A² */
  readonly restlessA2: number;
  /** standard deviation of the smoothed level in its middle, over the level */
  readonly wander: number;
}

export interface Plateaus {
  /** all plateaus near the highest flat level of the press */
  readonly top: Plateau[];
  /** median of the smoothed level outside them and after `settledCell`, A; null when nothing is left */
  readonly restA: number | null;
  /** the same over the cells that are flat; null when there are fewer than four */
  readonly restFlatA: number | null;
  readonly restRestlessA2: number | null;
  /** share of the cells in question that lie outside the plateaus */
  readonly restCells: number;
}

/** s; half of the stretch over which the level must stay within its tolerance to count as flat */
const HALF_S = 0.03;
/** a plateau near the top one belongs to it down to this share of its level: windings warm up, supplies sag */
const NEAR_TOP = 0.85;
/** a plateau ends where the level falls below this share of what it just was */
const FALLS_TO = 0.92;

/** Finds where the current of a press stands highest and flat. `noiseA2` is the idle clamp's variance, cells
 * marked in `skip` (lost contacts and what follows them) count for nothing. O(cells). */
export function findPlateaus(shape: Shape, settledCell: number, noiseA2: number, skip: Uint8Array): Plateaus {
  const flat = flatCells(shape, noiseA2);
  let topA = 0;
  for (let k = 0; k < shape.cells; k++) if (flat[k] === 1 && shape.levelA[k] > topA) topA = shape.levelA[k];
  const top: Plateau[] = [];
  const inside = new Uint8Array(shape.cells);
  if (topA > 0) {
    for (let k = 0; k < shape.cells; k++) {
      if (inside[k] === 1 || flat[k] === 0 || shape.levelA[k] < NEAR_TOP * topA) continue;
      const plateau = growPlateau(shape, k);
      inside.fill(1, plateau.from, plateau.to);
      if ((plateau.to - plateau.from) * shape.stepS >= STALL.shortestS) top.push(plateau);
    }
  }
  const rest: number[] = [];
  const restless: number[] = [];
  const restFlat: number[] = [];
  for (let k = settledCell; k < shape.cells; k++) {
    if (inside[k] === 1 || skip[k] === 1) continue;
    rest.push(shape.levelA[k]);
    if (flat[k] === 1) restFlat.push(shape.levelA[k]);
    restless.push(shape.restlessA2[k]);
  }
  return { top, restA: rest.length > 0 ? median(rest) : null, restFlatA: restFlat.length >= 4 ? median(restFlat) : null, restRestlessA2: restless.length > 0 ? median(restless) : null, restCells: rest.length };
}

function flatCells(shape: Shape, noiseA2: number): Uint8Array {
  const { cells, levelA } = shape;
  const half = Math.max(1, Math.round(HALF_S / shape.stepS));
  const flat = new Uint8Array(cells);
  // the smoothed level carries the noise of 20 ms of samples; a range over a dozen of them spans some 3.3 deviations
  const noiseA = 4 * Math.sqrt((noiseA2 * shape.stepS) / (shape.step * 0.02));
  for (let k = half; k < cells - half; k++) {
    let low = Infinity;
    let high = -Infinity;
    for (let j = k - half; j <= k + half; j++) {
      if (levelA[j] < low) low = levelA[j];
      if (levelA[j] > high) high = levelA[j];
    }
    if (high - low <= STALL.flatShare * levelA[k] + noiseA) flat[k] = 1;
  }
  return flat;
}

function growPlateau(shape: Shape, seed: number): Plateau {
  const { levelA, cells } = shape;
  const walk = (direction: 1 | -1): number => {
    let level = levelA[seed];
    let k = seed;
    while (k + direction >= 0 && k + direction < cells) {
      const next = levelA[k + direction];
      if (next < FALLS_TO * level || next > level / 0.9) break;
      level += 0.1 * (next - level);
      k += direction;
    }
    return k;
  };
  const from = walk(-1);
  const to = walk(1) + 1;
  const quarter = (to - from) >> 2;
  const core = levelA.subarray(from + quarter, Math.max(from + quarter + 1, to - quarter));
  const middleA = median(core);
  let squares = 0;
  for (const value of core) squares += (value - middleA) ** 2;
  return {
    from,
    to,
    levelA: middleA,
    restlessA2: median(shape.restlessA2.subarray(from + quarter, Math.max(from + quarter + 1, to - quarter))),
    wander: Math.sqrt(squares / core.length) / middleA,
  };
}
