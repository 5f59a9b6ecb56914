import { describeMetric } from '../analysis/compare/describe.ts';
import type { KnownGoodLimit, Placement } from '../analysis/compare/known-good.ts';
import { significant } from '../units.ts';
import type { FindingWords } from './finding-words.ts';

/** How limits were learnt, in the words that page, report and command line share. */
export const PLACE_METHOD_WORDS: Readonly<Record<KnownGoodLimit['method'], string>> = {
  normal: 'Limits that hold 95 % of good ones with 95 % confidence, taking the figures as normally distributed',
  range: 'Limits are the range of the good ones, which holds 95 % of such with 95 % confidence, whatever the distribution',
  single: 'Limits are the values of a single trace with 20 % to either side: not what good vehicles differ by',
};

export interface PlaceRow {
  readonly here: string;
  readonly limits: string;
  /** "inside", "4 % above", "3 % above, within its doubt" */
  readonly where: string;
}

export interface PlaceWords extends FindingWords {
  readonly rows: readonly PlaceRow[];
}

/** Where a trace lies against known-good limits, in words. */
export function placeWords(placements: readonly Placement[]): PlaceWords {
  const rows = placements.map(rowOf);
  if (placements.length === 0) return { title: 'Nothing to place', sentence: 'The trace has none of the figures the limits are of.', tone: 'open', rows };
  const outside = placements.filter(({ place }) => place !== 'inside');
  const certain = outside.filter((one) => one.certain);
  const worst = (certain[0] ?? outside[0]) as Placement | undefined;
  if (worst === undefined) return { title: 'Inside', sentence: 'Every figure lies inside the limits of the known-good traces.', tone: 'good', rows };
  const words = `${describeMetric(worst.metric).words} ${worst.direction} ${rowOf(worst).where}`;
  if (certain.length === 0) return { title: 'On the edge', sentence: `Outside by less than its doubt: ${words}. Record more presses.`, tone: 'open', rows };
  return { title: 'Outside', sentence: `${outside.length === 1 ? 'One figure lies' : `${outside.length} figures lie`} outside the limits, furthest ${words}.`, tone: 'fault', rows };
}

function rowOf(place: Placement): PlaceRow {
  const { unit } = describeMetric(place.metric);
  const figure = (value: number): string => significant(value, 3).replace('-', '\u2212');
  const doubt = place.low_value === null || place.high_value === null ? '' : ` (${figure(place.low_value)} to ${figure(place.high_value)})`;
  const unitWord = unit === 'ohm' ? '\u03a9' : unit;
  const by = place.beyond_share === 0 ? '' : `${(place.beyond_share * 100).toFixed(place.beyond_share < 0.1 ? 1 : 0)} % (${figure(place.beyond)} ${unitWord}) `;
  const where = place.place === 'inside' ? (place.certain ? 'inside' : 'inside, its doubt reaches out') : `${by}${place.place}${place.certain ? '' : ', within its doubt'}`;
  return { here: `${figure(place.value)} ${unitWord}${doubt}`, limits: `${figure(place.low)} to ${figure(place.high)} ${unitWord}`, where };
}
