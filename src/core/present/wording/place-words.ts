import { describeMetric } from '../../analysis/compare/describe.ts';
import type { KnownGoodLimit, Placement } from '../../analysis/compare/known-good/known-good.ts';
import { metricWords } from './compare-words.ts';
import { decimal, language, significant } from '../language.ts';
import type { FindingWords } from './finding-words.ts';
import { withMinus } from '../numbers.ts';

const texts = language.figures.placeWords;

/** How limits were learnt. */
export function placeMethodWords(method: KnownGoodLimit['method']): string {
  return language.compare.placeMethods[method];
}

interface PlaceRow {
  readonly here: string;
  readonly limits: string;
  /** "inside", "4 % above", "3 % above, within its uncertainty" */
  readonly where: string;
}

interface PlaceWords extends FindingWords {
  readonly rows: readonly PlaceRow[];
}

/** Where a trace lies against known-good limits, in words. */
export function placeWords(placements: readonly Placement[]): PlaceWords {
  const rows = placements.map(rowOf);
  if (placements.length === 0) return { title: texts.nothingToPlace, sentence: texts.theTraceHasNone, tone: 'open', rows };
  const outside = placements.filter(({ place }) => place !== 'inside');
  const certain = outside.filter((one) => one.certain);
  const worst = (certain[0] ?? outside[0]) as Placement | undefined;
  if (worst === undefined) return { title: texts.inside, sentence: texts.everyFigureLiesInside, tone: 'good', rows };
  const words = `${metricWords(worst.metric)} ${language.names.ways[worst.direction]} ${rowOf(worst).where}`;
  if (certain.length === 0) return { title: texts.onTheEdge, sentence: texts.outsideByLessThan(words), tone: 'open', rows };
  return { title: texts.outside, sentence: texts.outsideTheLimitsFurthest(outside.length === 1 ? texts.oneFigureLies : texts.figuresLie(outside.length), words), tone: 'fault', rows };
}

function rowOf(place: Placement): PlaceRow {
  const { unit } = describeMetric(place.metric);
  const figure = (value: number): string => withMinus(significant(value, 3));
  const bounds = place.low_value === null || place.high_value === null ? '' : texts.to(figure(place.low_value), figure(place.high_value));
  const unitWord = unit === 'ohm' ? '\u03a9' : unit;
  const by = place.beyond_share === 0 ? '' : `${decimal(place.beyond_share * 100, place.beyond_share < 0.1 ? 1 : 0)} % (${figure(place.beyond)} ${unitWord}) `;
  const where = place.place === 'inside' ? (place.certain ? 'inside' : texts.insideItsUncertaintyReachesOut) : `${by}${place.place}${place.certain ? '' : texts.withinItsUncertainty}`;
  return { here: `${figure(place.value)} ${unitWord}${bounds}`, limits: texts.range(figure(place.low), figure(place.high), unitWord), where };
}
