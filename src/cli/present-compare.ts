import { metricWords } from '../core/present/wording/compare-words.ts';
import { describeMetric } from '../core/analysis/compare/describe.ts';
import type { Direction } from '../core/analysis/results.ts';
import type { ManyResult } from '../core/analysis/compare/many/result.ts';
import type { CompareResult } from '../core/analysis/compare/results.ts';
import { findingName } from '../core/present/wording/finding-words.ts';
import { bullet, textTable } from './table.ts';
import { decimal, language, significant } from '../core/present/language.ts';

const texts = language.cli.results.presentCompare;

/** Before and after, for people. */
export function presentCompare(result: CompareResult): string {
  let text = verdictText(result.verdict);
  if (result.pairs.length > 0) {
    text += `\n${textTable(
      [texts.figure, texts.way, texts.before, texts.after, texts.change, texts.low, texts.high, texts.judgement],
      result.pairs.map((pair) => {
        const { unit } = describeMetric(pair.metric);
        const words = metricWords(pair.metric);
        const figure = (value: number | null): string => (value === null ? '-' : significant(value, 3));
        return [unit === '' ? words : `${words}, ${unit}`, wayOf(pair.direction), figure(pair.before), figure(pair.after), figure(pair.change), figure(pair.low), figure(pair.high), language.compare.judgements[pair.judgement]];
      }),
    )}`;
  }
  return text + notes(result.problems);
}

/** Several traces side by side, outlier first, for people. */
export function presentMany(result: ManyResult): string {
  let text = verdictText(result.verdict);
  const shown = [...new Set(result.traces.flatMap(({ figures }) => figures.map(({ metric }) => metric)))].filter((metric) => SHOWN.has(metric));
  const ways = [...new Set(result.traces.flatMap(({ figures }) => figures.map(({ direction }) => direction)))];
  text += texts.tracesTheOneThat;
  text += textTable(
    [texts.trace, texts.way, texts.finding, ...shown.map((metric) => headOf(metric)), texts.distance, texts.standsOut],
    result.traces.flatMap((trace) =>
      ways.map((way, row) => [
        row === 0 ? trace.name : '', wayOf(way), row === 0 ? findingName(trace.finding) : '',
        ...shown.map((metric) => {
          const found = trace.figures.find((figure) => figure.metric === metric && figure.direction === way);
          return found === undefined ? '-' : significant(found.value, 3);
        }),
        row === 0 ? decimal(trace.distance, 1) : '', row === 0 && trace.outlier ? trace.because : '',
      ]),
    ),
  );
  if (result.actuations.length > 0) {
    text += texts.actuationsTheOneThat;
    text += textTable(
      [texts.trace, texts.way, texts.number, texts.startS, texts.finding, texts.distance, texts.standsOut],
      result.actuations.map((one) => [
        result.traces.find(({ trace }) => trace === one.trace)?.name ?? '', wayOf(one.direction), String(one.number), decimal(one.start_s, 2), findingName(one.finding), decimal(one.distance, 1), one.because,
      ]),
    );
  }
  return text + notes(result.problems);
}

/** Figures of the table; the JSON has all. */
const SHOWN = new Set(['run_a', 'inrush_peak_a', 'moving_s', 'asleep_a', 'last_level_a', 'average_a']);

function wayOf(direction: Direction | null): string {
  return direction === null ? '' : language.names.ways[direction];
}

function headOf(metric: string): string {
  const { unit } = describeMetric(metric);
  const words = metricWords(metric);
  return `${words}, ${unit}`;
}

function verdictText({ finding, claims, because, next }: { finding: string; claims?: false; because: readonly string[]; next: readonly string[] }): string {
  return texts.findingCheckNext(findingName(finding), claims === false ? texts.nothingCanBeClaimed : '', because.map((sentence) => bullet(sentence)).join(''), next.map((sentence) => bullet(sentence)).join(''));
}

function notes(problems: readonly { readonly text: string }[]): string {
  return problems.map(({ text }) => language.cli.results.presentVerdict.note(text)).join('');
}
