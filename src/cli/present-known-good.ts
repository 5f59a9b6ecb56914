import type { Placement } from '../core/analysis/compare/known-good/known-good.ts';
import { metricWords } from '../core/present/wording/compare-words.ts';
import { placeWords } from '../core/present/wording/place-words.ts';
import { textTable } from './table.ts';
import { language } from '../core/present/language.ts';

const words = language.cli.results.presentKnownGood;

/** Where each figure lies against known-good limits, those outside first. */
export function presentPlacements(places: readonly Placement[]): string {
  if (places.length === 0) return words.noneOfTheKnown;
  const { title, sentence, rows } = placeWords(places);
  return words.againstKnownGood(title.toLowerCase(), sentence, textTable(
    ['figure', 'way', words.here95, 'limits', 'place'],
    places.map((place, i) => {
      const { here, limits, where } = rows[i] ?? { here: '', limits: '', where: '' };
      return [metricWords(place.metric), place.direction, here, limits, where];
    }),
  ));
}
