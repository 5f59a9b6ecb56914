import type { Placement } from '../core/analysis/compare/known-good.ts';
import { describeMetric } from '../core/analysis/compare/describe.ts';
import { significant } from '../core/units.ts';
import { textTable } from './table.ts';

/** Where each figure lies against known-good limits, those outside first. */
export function presentPlacements(places: readonly Placement[]): string {
  if (places.length === 0) return '\nNone of the known-good limits has a figure in this trace.\n';
  return `\nagainst known-good:\n${textTable(
    ['figure', 'way', 'here', 'low', 'high', 'place'],
    places.map((place) => {
      const { words, unit } = describeMetric(place.metric);
      return [`${words}, ${unit}`, place.direction, significant(place.value, 3), significant(place.low, 3), significant(place.high, 3), place.place];
    }),
  )}`;
}
