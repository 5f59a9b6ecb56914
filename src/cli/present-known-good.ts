import type { Placement } from '../core/analysis/compare/known-good/known-good.ts';
import { metricWords } from '../core/present/compare-words.ts';
import { placeWords } from '../core/present/place-words.ts';
import { textTable } from './table.ts';

/** Where each figure lies against known-good limits, those outside first. */
export function presentPlacements(places: readonly Placement[]): string {
  if (places.length === 0) return '\nNone of the known-good limits has a figure in this trace.\n';
  const { title, sentence, rows } = placeWords(places);
  return `\nagainst known-good: ${title.toLowerCase()}. ${sentence}\n${textTable(
    ['figure', 'way', 'here, 95 %', 'limits', 'place'],
    places.map((place, i) => {
      const { here, limits, where } = rows[i] ?? { here: '', limits: '', where: '' };
      return [metricWords(place.metric), place.direction, here, limits, where];
    }),
  )}`;
}
