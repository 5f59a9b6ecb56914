import { describeMetric } from '../../analysis/compare/describe.ts';
import type { ComparedMetric } from '../../analysis/compare/metrics/compared-metric.ts';

/** Currents below 1 A on both sides read better in mA: the factor and the unit to show a pair's figures in. */
export function shownIn({ metric, before, after }: ComparedMetric): { readonly factor: number; readonly unit: string } {
  const { unit } = describeMetric(metric);
  const small = unit === 'A' && Math.max(Math.abs(before ?? 0), Math.abs(after ?? 0)) < 1;
  return small ? { factor: 1000, unit: 'mA' } : { factor: 1, unit };
}

/** "−3.41 to −3.07", or one of them where a reading at the end of the sensor's range leaves the other side open; empty without any. */
export function boundsWords({ low, high }: ComparedMetric, number: (value: number) => string, { range, atLeast, atMost }: BoundsTexts): string {
  if (low !== null && high !== null) return range(number(low), number(high));
  if (low !== null) return atLeast(number(low));
  return high === null ? '' : atMost(number(high));
}

/** How a language says where a figure lies. */
interface BoundsTexts {
  readonly range: (low: string, high: string) => string;
  readonly atLeast: (figure: string) => string;
  readonly atMost: (figure: string) => string;
}

/** The unit's sign behind a figure, with the space before it. */
export function metricUnit(unit: string): string {
  return unit === '' ? '' : ` ${unit === 'ohm' ? '\u03a9' : unit}`;
}
