import { SECONDS_PER_HOUR } from '../units.ts';
import { plain, decimal } from '../present/language.ts';

/** Steps that read well on a time axis: seconds by 1-2-5, then the divisions of minutes, hours and days. */
const TIME_STEPS_S = [
  1e-4, 2e-4, 5e-4, 1e-3, 2e-3, 5e-3, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200,
  10_800, 21_600, 43_200, 86_400, 172_800,
];

interface Ticks {
  readonly values: readonly number[];
  readonly step: number;
}

/** Round values in [low, high], about `wanted` of them. */
export function valueTicks(low: number, high: number, wanted: number): Ticks {
  const rough = (high - low) / Math.max(wanted, 1);
  if (!(rough > 0)) return { values: [low], step: 1 };
  const step = roundStep(rough);
  return { values: multiples(low, high, step), step };
}

/** 1, 2 or 5 times a power of ten, at least `rough`. */
export function roundStep(rough: number): number {
  const power = 10 ** Math.floor(Math.log10(rough));
  const share = rough / power;
  return power * (share > 5 ? 10 : share > 2 ? 5 : share > 1 ? 2 : 1);
}

export function timeTicks(startS: number, endS: number, wanted: number): Ticks {
  const rough = (endS - startS) / Math.max(wanted, 1);
  const step = TIME_STEPS_S.find((candidate) => candidate >= rough) ?? Math.ceil(rough / 86_400) * 86_400;
  return { values: multiples(startS, endS, step), step };
}

/** Label of a time tick, with just the figures that the step needs. */
export function timeLabel(atS: number, stepS: number): string {
  if (stepS >= 60 && Math.abs(atS) < 1e-9) return '0';
  if (stepS >= SECONDS_PER_HOUR) return `${hundredths(atS / SECONDS_PER_HOUR)} h`;
  if (stepS >= 60) return `${hundredths(atS / 60)} min`;
  return `${decimal(atS, decimalsOf(stepS))} s`;
}

function hundredths(value: number): string {
  return plain(Math.round(value * 100) / 100);
}

export function valueLabel(value: number, step: number): string {
  return decimal(value, decimalsOf(step));
}

/**
 * The span a value axis should show: the data with a little air, zero included when it is near (a current axis without its zero misleads).
 */
export function axisSpan(low: number, high: number): { low: number; high: number } {
  if (!(high > low)) return { low: low - 1, high: high + 1 };
  const withZeroLow = low > 0 && low < 0.5 * high ? 0 : low;
  const withZeroHigh = high < 0 && high > 0.5 * low ? 0 : high;
  const air = 0.06 * (withZeroHigh - withZeroLow);
  return { low: withZeroLow === 0 ? 0 : withZeroLow - air, high: withZeroHigh === 0 ? 0 : withZeroHigh + air };
}

function multiples(low: number, high: number, step: number): number[] {
  const values: number[] = [];
  const first = Math.ceil(low / step - 1e-9);
  for (let i = first; i * step <= high + step * 1e-9 && values.length < 50; i++) values.push(i * step + 0); // + 0: no minus zero on an axis
  return values;
}

function decimalsOf(step: number): number {
  return Math.min(6, Math.max(0, -Math.floor(Math.log10(step) + 1e-9)));
}
