import type { BoundsMethod, ComparedMetric, CompareFinding, CompareResult, Judgement } from '../../analysis/compare/results.ts';
import type { MetricName } from '../../analysis/compare/metrics/metric-names.ts';
import { FAULTY_SHARE } from '../../analysis/compare/metrics/metrics.ts';
import { decimal, language } from '../language.ts';
import type { FindingWords } from './finding-words.ts';
import { boundsWords, metricUnit, shownIn } from './metric-words.ts';
import { withMinus } from '../numbers.ts';

const BOUNDS = { range: language.range, atLeast: language.press.atLeast, atMost: language.press.atMost };

const TONES: Readonly<Record<CompareFinding, FindingWords['tone']>> = { repaired: 'good', better: 'open', unchanged: 'open', worse: 'fault' };

/** The words for a verdict; of one that claims nothing, that it cannot tell. */
export function verdictWords({ finding, claims }: CompareResult['verdict']): FindingWords {
  if (claims === false) return { ...language.compare.noClaim, tone: 'open' };
  return { ...language.compare.verdicts[finding], tone: TONES[finding] };
}

/** The name of a compared figure; one that this version does not know is shown as it came. */
export function metricWords(metric: string): string {
  return Object.hasOwn(language.compare.metrics, metric) ? language.compare.metrics[metric as MetricName] : metric;
}

export function judgementWords(judgement: Judgement): string {
  return language.compare.judgements[judgement];
}

export function methodWords(method: BoundsMethod): string {
  return language.compare.methods[method];
}

interface ChangeWords {
  /** the figure's name with its direction */
  readonly words: string;
  readonly before: string;
  readonly after: string;
  /** with its sign; empty where there is none */
  readonly change: string;
  /** 95 %; empty where there is no basis for them */
  readonly bounds: string;
}

/** A compared figure in words. Change and bounds have the decimals that give the figure itself three digits: more would promise too much. */
export function changeWords(pair: ComparedMetric): ChangeWords {
  const words = metricWords(pair.metric);
  if (pair.metric === FAULTY_SHARE.name) return shareWords(pair, words);
  const { factor, unit } = shownIn(pair);
  const sizes = [pair.before, pair.after].map((value) => factor * Math.abs(value ?? 0));
  // counts have none; one reading that happens to be round does not make the other one whole
  const decimals = sizes.every(Number.isInteger) ? 0 : Math.min(6, Math.max(0, 2 - Math.floor(Math.log10(Math.max(...sizes)))));
  const number = (value: number): string => withMinus(decimal(value * factor, decimals));
  const withUnit = (text: string): string => `${text}${metricUnit(unit)}`;
  const figure = (value: number | null): string => (value === null ? language.compare.none : withUnit(number(value)));
  const sign = (value: number): string => (Number((value * factor).toFixed(decimals)) > 0 ? '+' : '');
  return {
    words: pair.direction === null ? words : `${words}, ${language.names.ways[pair.direction]}`,
    before: figure(pair.before),
    after: figure(pair.after),
    change: pair.change === null ? '' : `${sign(pair.change)}${figure(pair.change)}`,
    bounds: boundsWords(pair, number, BOUNDS),
  };
}

/** A share is given as what was counted. */
function shareWords({ before, after, before_count: beforeCount, after_count: afterCount, change, low, high }: ComparedMetric, words: string): ChangeWords {
  const counted = (share: number | null, of: number): string => (share === null ? language.compare.none : language.compare.counted(Math.round(share * of), of));
  const percent = (value: number): string => `${withMinus(decimal(value * 100, 0))} %`;
  return {
    words,
    before: counted(before, beforeCount),
    after: counted(after, afterCount),
    change: change === null ? '' : `${change > 0 ? '+' : ''}${percent(change)}`,
    bounds: low === null || high === null ? '' : language.range(percent(low), percent(high)),
  };
}
