import { NORMAL_95 } from '../../src/core/analysis/uncertainty/normal-95.ts';
import { decimal } from '../../src/core/present/language.ts';
import { withMinus } from '../../src/core/present/numbers.ts';

const MOST_DECIMALS = 7;

/** A value with the half-width of its 95 % bounds: `4.853 ± 0.012 A`, as many decimals as two figures of the half-width need. */
export function withBounds(value: number, uncertainty: number, unit: string): string {
  const half = NORMAL_95 * uncertainty;
  const decimals = half > 0 ? Math.min(MOST_DECIMALS, Math.max(0, 1 - Math.floor(Math.log10(half)))) : 4;
  return `${withMinus(decimal(value, decimals))} ± ${decimal(half, decimals)} ${unit}`;
}
