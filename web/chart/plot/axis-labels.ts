import { atMost, decimal } from '../../../src/core/present/language.ts';
import { withMinus } from '../../../src/core/present/numbers.ts';

/** Axis numbers with just the decimals their step needs, so that none is rounded to another's place; currents all below 1 A in milliamps. */
export function axisLabels(splits: readonly number[], unit: string): string[] {
  const milli = unit === 'A' && splits.every((value) => Math.abs(value) < 1);
  const factor = milli ? 1000 : 1;
  const step = splits.length > 1 ? Math.abs(splits[1]! - splits[0]!) * factor : 1;
  const decimals = decimalsOf(step);
  return splits.map((value) => `${withMinus(decimal(value * factor, decimals))} ${milli ? 'mA' : unit}`);
}

/** Moments on an axis whose zero is at `originS`: the round ones of its own count, s. */
export function roundMoments(lowS: number, highS: number, stepS: number, originS: number): number[] {
  const moments: number[] = [];
  for (let count = Math.ceil((lowS - originS) / stepS - 1e-9); originS + count * stepS <= highS + 1e-9 * stepS; count++) moments.push(originS + count * stepS);
  return moments;
}

/** A number of an axis by powers of ten: each in its own unit. */
export function powerLabel(valueA: number): string {
  if (valueA === 0) return '0 A';
  const milli = Math.abs(valueA) < 0.9995;
  return `${withMinus(atMost(valueA * (milli ? 1000 : 1), 2))} ${milli ? 'mA' : 'A'}`;
}

/** Decades an axis by powers of ten shows on either side of zero: from the readings' height down to its noise. */
const DECADES = 3;

/** Where an axis by powers of ten turns even: so many decades below the height it has to show, A. */
export function evenBelowA([low, high]: readonly [number, number]): number {
  return 10 ** (Math.floor(Math.log10(Math.max(-low, high, 1e-3))) - DECADES + 1) / 10;
}

/** Zero and every power of ten above the even part, on both sides. */
export function powerSplits(evenA: number, low: number, high: number): number[] {
  const splits = low <= 0 && high >= 0 ? [0] : [];
  for (let size = evenA * 10; size <= Math.max(-low, high); size *= 10) {
    if (size <= high && size >= low) splits.push(size);
    if (-size >= low && -size <= high) splits.unshift(-size);
  }
  return splits;
}

const MOST_DECIMALS = 6;

/** Fewest decimals that write a step exactly: steps go by 1, 2, 2.5 and 5. */
function decimalsOf(step: number): number {
  let decimals = 0;
  while (decimals < MOST_DECIMALS && Math.abs(step * 10 ** decimals - Math.round(step * 10 ** decimals)) > 1e-6 * step * 10 ** decimals) decimals++;
  return decimals;
}
