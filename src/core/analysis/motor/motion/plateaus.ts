import { median, quantile, sampleDeviation, slopeOf } from '../../../stats.ts';
import type { Envelope } from '../signal/envelope.ts';
import { CAME_UP, LITTLE, NEARLY_ALL } from '../signal/decision-levels.ts';
import { LEVEL_S, MAINS_PERIOD_S, SWITCH_ON_S } from '../time-scales.ts';

/** A high, flat stretch of one press in cells of its envelope, `[from, to)`. */
export interface Plateau {
  readonly from: number;
  /** cell in which the current began to climb to it: from here to `from` the motor was slowed down, but turned */
  readonly approach: number;
  readonly to: number;
  readonly levelA: number;
  /** mean square of what is averaged away, A²: of its later half, since a motor pressed into a soft stop turns its last bars slowly */
  readonly rippleVarianceA2: number;
  /** standard deviation of the smoothed level in its middle about a straight line, over the level */
  readonly wander: number;
}

export interface Plateaus {
  /** all plateaus near the highest flat level of the press */
  readonly top: Plateau[];
  /** median of the smoothed level outside them and after `settledCell`, A; null when nothing is left */
  readonly restA: number | null;
  /** the same over the cells that are flat; null when there are fewer than four */
  readonly restFlatA: number | null;
  readonly runRippleVarianceA2: number | null;
  /** share of the cells in question that lie outside the plateaus */
  readonly restCells: number;
}

/** a plateau near the top one belongs to it down to this share of its level: windings warm up, supplies sag */
export const NEAR_TOP = 0.85;
/** a plateau ends where the level falls below this share of what it just was */
export const FALLS_TO = 0.92;

/** s; shorter plateaus cannot be distinguished from a load peak: a level, and the mains period that the envelope is smoothed over */
const shortestS = LEVEL_S + MAINS_PERIOD_S;

/** Finds where the current of a press is highest and flat. `noiseA2` is the idle clamp's variance, cells
 * marked in `skip` (lost contacts and what follows them) count for nothing. O(cells). */
export function findPlateaus(envelope: Envelope, settledCell: number, noiseA2: number, skip: Uint8Array): Plateaus {
  const flat = flatCells(envelope, noiseA2);
  let topA = 0;
  for (let k = 0; k < envelope.cells; k++) if (flat[k] === 1 && envelope.levelA[k] > topA) topA = envelope.levelA[k];
  const top: Plateau[] = [];
  const inside = new Uint8Array(envelope.cells);
  if (topA > 0) {
    let past = 0;
    for (let k = 0; k < envelope.cells; k++) {
      if (k < past || flat[k] === 0 || envelope.levelA[k] < NEAR_TOP * topA) continue;
      const plateau = growPlateau(envelope, k, past);
      inside.fill(1, plateau.approach, plateau.to);
      past = plateau.to;
      if ((plateau.to - plateau.from) * envelope.stepS < shortestS) continue;
      const step = top.at(-1);
      if (step !== undefined && isStepUp(step, plateau)) top[top.length - 1] = { ...plateau, approach: step.approach };
      else top.push(plateau);
    }
  }
  const rest: number[] = [];
  const variancesA2: number[] = [];
  const restFlat: number[] = [];
  for (let k = settledCell; k < envelope.cells; k++) {
    if (inside[k] === 1 || skip[k] === 1) continue;
    rest.push(envelope.levelA[k]);
    if (flat[k] === 1) restFlat.push(envelope.levelA[k]);
    variancesA2.push(envelope.rippleVarianceA2[k]);
  }
  return { top, restA: rest.length > 0 ? median(rest) : null, restFlatA: restFlat.length >= 4 ? median(restFlat) : null, runRippleVarianceA2: variancesA2.length > 0 ? median(variancesA2) : null, restCells: rest.length };
}

function flatCells(envelope: Envelope, noiseA2: number): Uint8Array {
  const { cells, levelA } = envelope;
  const half = Math.max(1, Math.round(shortestS / 2 / envelope.stepS));
  const flat = new Uint8Array(cells);
  // the smoothed level carries the noise of 20 ms of samples; a range over a dozen of them spans some 3.3 deviations
  const noiseA = 4 * Math.sqrt((noiseA2 * envelope.stepS) / (envelope.step * MAINS_PERIOD_S));
  for (let k = half; k < cells - half; k++) {
    let low = Infinity;
    let high = -Infinity;
    for (let j = k - half; j <= k + half; j++) {
      if (levelA[j] < low) low = levelA[j];
      if (levelA[j] > high) high = levelA[j];
    }
    if (high - low <= LITTLE * levelA[k] + noiseA) flat[k] = 1;
  }
  return flat;
}

/** A level that goes up to the next one with no break between was no standstill: the current had still some way to climb as the speed fell. */
function isStepUp(before: Plateau, after: Plateau): boolean {
  return after.from - before.to <= 1 && before.levelA < FALLS_TO * after.levelA;
}

function growPlateau(envelope: Envelope, seed: number, past: number): Plateau {
  const { levelA, cells } = envelope;
  const walk = (direction: 1 | -1): number => {
    let level = levelA[seed];
    let k = seed;
    while (k + direction >= past && k + direction < cells) {
      const next = levelA[k + direction];
      if (next < FALLS_TO * level || next > level / NEARLY_ALL) break;
      level += 0.1 * (next - level);
      k += direction;
    }
    return k;
  };
  const first = walk(-1);
  const to = walk(1) + 1;
  const from = arrival(levelA, first, to);
  const quarter = (to - from) >> 2;
  const core = levelA.subarray(from + quarter, Math.max(from + quarter + 1, to - quarter));
  const middleA = median(core);
  const late = Math.min(to - 1, from + 2 * quarter);
  return {
    from,
    approach: climbStart(envelope, first, from),
    to,
    levelA: middleA,
    rippleVarianceA2: median(envelope.rippleVarianceA2.subarray(late, Math.max(late + 1, to - (quarter >> 1)))),
    wander: wanderOf(core) / middleA,
  };
}

/** Deviation about a straight line: a standing winding warms and a soft stop gives way, which is no wandering. */
function wanderOf(levelA: Float64Array): number {
  const cells = levelA.map((_value, k) => k - (levelA.length - 1) / 2);
  const slope = slopeOf(cells, levelA);
  return sampleDeviation(levelA.map((value, k) => value - slope * cells[k]));
}

/**
 * Cell in which the current has come up to its level. A soft stop takes the speed away little by little, and the current climbs as the
 * speed falls (i = (V - k w)/R): what lies more than `FALLS_TO` below the level it ends on is a motor that still turns.
 */
function arrival(levelA: Float64Array, first: number, to: number): number {
  const reachedA = FALLS_TO * quantile(levelA.subarray(first, to), 0.75);
  let from = first;
  while (from < to - 1 && levelA[from] < reachedA) from++;
  return from;
}

/** Cell, not before `first`, in which the climb that ends at `from` began: it is looked for over some turns of a rotor about to stand, whose last bars make the current wave, as over a switch-on. */
function climbStart({ levelA, stepS }: Envelope, first: number, from: number): number {
  const lag = Math.max(1, Math.round(SWITCH_ON_S / stepS));
  let k = from;
  while (k > first && levelA[Math.max(0, k - lag)] < CAME_UP * levelA[k]) k--;
  return k;
}
