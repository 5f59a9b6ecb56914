import type { BoundsMethod, ComparedMetric, CompareFinding, CompareResult, Judgement } from '../analysis/compare/results.ts';
import { boundsWords, describeMetric, shownIn } from '../analysis/compare/describe.ts';
import { FAULTY_SHARE } from '../analysis/compare/metrics.ts';
import type { FindingWords } from './finding-words.ts';

const COMPARE_WORDS: Readonly<Record<CompareFinding, FindingWords>> = {
  repaired: { title: 'Repaired', sentence: 'The fault that the first recording shows is not in the second one.', tone: 'good' },
  better: { title: 'Better', sentence: 'The second recording is better than the first; something may be left.', tone: 'open' },
  unchanged: { title: 'No change', sentence: 'The two recordings show no change larger than the doubt of the measurement.', tone: 'open' },
  worse: { title: 'Worse', sentence: 'The second recording is worse than the first.', tone: 'fault' },
};

/** The words for a verdict; of one that claims nothing, that it cannot tell. */
export function verdictWords({ finding, claims }: CompareResult['verdict']): FindingWords {
  if (claims === false) return { title: 'Cannot tell', sentence: 'The two recordings do not carry a comparison.', tone: 'open' };
  return COMPARE_WORDS[finding];
}

export const JUDGEMENT_WORDS: Readonly<Record<Judgement, string>> = { higher: 'higher', lower: 'lower', same: 'same', unsure: 'cannot tell' };

export const METHOD_WORDS: Readonly<Record<BoundsMethod, string>> = {
  bootstrap: 'by resampling over the actuations',
  welch: 'by Welch\'s t over few actuations',
  pooled: 'by Student\'s t, with the scatter of the side that has several',
  within: 'from the doubt within single readings',
  newcombe: 'of a share by Newcombe\'s method',
  none: 'no basis for bounds',
};

export interface ChangeWords {
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
  const { words } = describeMetric(pair.metric);
  if (pair.metric === FAULTY_SHARE.name) return shareWords(pair, words);
  const { factor, unit } = shownIn(pair);
  const size = factor * Math.max(Math.abs(pair.before ?? 0), Math.abs(pair.after ?? 0));
  const decimals = size === 0 || Number.isInteger(size) ? 0 : Math.min(6, Math.max(0, 2 - Math.floor(Math.log10(size))));
  const number = (value: number): string => (value * factor).toFixed(decimals).replace(/^-(?=0(\.0*)?$)/, '').replace('-', '\u2212');
  const withUnit = (text: string): string => (unit === '' ? text : `${text} ${unit === 'ohm' ? '\u03a9' : unit}`);
  const figure = (value: number | null): string => (value === null ? 'none' : withUnit(number(value)));
  const sign = (value: number): string => (Number((value * factor).toFixed(decimals)) > 0 ? '+' : '');
  return {
    words: pair.direction === null ? words : `${words}, ${pair.direction}`,
    before: figure(pair.before),
    after: figure(pair.after),
    change: pair.change === null ? '' : `${sign(pair.change)}${figure(pair.change)}`,
    bounds: boundsWords(pair, number),
  };
}

/** A share is told by what was counted. */
function shareWords({ before, after, before_count: beforeCount, after_count: afterCount, change, low, high }: ComparedMetric, words: string): ChangeWords {
  const counted = (share: number | null, of: number): string => (share === null ? 'none' : `${Math.round(share * of)} of ${of}`);
  const percent = (value: number): string => `${(value * 100).toFixed(0)} %`.replace(/^-0 /, '0 ').replace('-', '\u2212');
  return {
    words,
    before: counted(before, beforeCount),
    after: counted(after, afterCount),
    change: change === null ? '' : `${change > 0 ? '+' : ''}${percent(change)}`,
    bounds: low === null || high === null ? '' : `${percent(low)} to ${percent(high)}`,
  };
}
