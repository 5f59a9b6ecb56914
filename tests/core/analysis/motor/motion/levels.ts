import type { PressView } from '../../../../../src/core/analysis/motor/motion/press-view.ts';
import type { Plateau } from '../../../../../src/core/analysis/motor/motion/plateaus.ts';
import type { Press } from '../../../../../src/core/analysis/motor/presses/presses.ts';
import { pressOf } from '../ripple/columns.ts';

/** Readings in a cell of 5 ms, at 1000 a second. */
export const STEP = 5;
export const STEP_S = 0.005;

/** So many cells at each level. */
export const cells = (...parts: readonly (readonly [count: number, levelA: number])[]): number[] => parts.flatMap(([count, levelA]) => new Array<number>(count).fill(levelA));

/** A press by the levels of its cells. */
export function viewOf(levels: readonly number[], some: Partial<Omit<PressView, 'press' | 'plateaus'>> & { press?: Partial<Press>; top?: readonly Partial<Plateau>[]; rippleA2?: (cell: number) => number } = {}): PressView {
  const { press = {}, top = [], rippleA2 = () => 0, ...rest } = some;
  const envelope = { step: STEP, stepS: STEP_S, cells: levels.length, startIndex: 0, levelA: Float64Array.from(levels), rippleVarianceA2: Float64Array.from(levels, (_level, k) => rippleA2(k)) };
  const plateaus = { top: top.map((one) => ({ from: 0, approach: 0, to: levels.length, levelA: 0, rippleVarianceA2: 0, wander: 0, ...one })), restA: null, restFlatA: null, runRippleVarianceA2: null, restCells: 0 };
  return { press: { ...pressOf(0, levels.length * STEP), ...press }, envelope, peak: { index: 0, peakA: levels[0] ?? 0 }, settled: 0, halfCells: 0, noiseA: 0, cellNoiseA: 0, plateaus, runA: null, ...rest };
}
