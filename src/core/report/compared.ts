import type { ComparedMetric, CompareResult } from '../analysis/compare/results.ts';
import type { DrainResult } from '../analysis/results.ts';
import { changeWords, judgementWords, methodWords, metricWords } from '../present/wording/compare-words.ts';
import type { ReportInput, ReportOverlay, ReportTrace } from './input.ts';
import { linePicture } from './line-picture.ts';
import { html, type Markup } from '../markup.ts';
import { language } from '../present/language.ts';

const texts = language.report.compared;

/** Pictures and tables of a before and an after. */

/** Pairs drawn for the file; more would cost a page and are in the traces themselves. */
const MOST_PICTURES = 6;

/** The first pair of the direction that shows the fault, for one large picture. */
export function onePair({ overlays, traces }: ReportInput, heading?: string): Markup | null {
  const before = traces[0]?.result;
  const telling = before?.test === 'actuation' ? before.actuations.find(({ finding }) => finding === before.verdict.finding)?.direction : undefined;
  const overlay = overlays.find(({ direction }) => direction === telling) ?? overlays[0];
  return overlay === undefined ? null : html`<figure>${pairPicture(overlay, 720, 200, {}, heading)}</figure>`;
}

/** Every pair, small, on the same axes. */
export function allPairs({ overlays }: ReportInput): Markup | null {
  if (overlays.length === 0) return null;
  const directions = [...new Set(overlays.map(({ direction }) => direction))];
  const each = Math.max(1, Math.floor(MOST_PICTURES / directions.length));
  const drawn = directions.flatMap((direction) => overlays.filter((overlay) => overlay.direction === direction).slice(0, each));
  const across = drawn.length <= 2 ? 2 : 3;
  const size = across === 2 ? [360, 150] : [240, 120];
  const axes = {
    endS: Math.max(...drawn.flatMap(({ before, after }) => [last(before.timeS), last(after.timeS)])),
    highA: Math.max(...drawn.flatMap(({ before, after }) => [highest(before.currentA), highest(after.currentA)])),
  };
  return html`<div class="grid-${across}">${drawn.map((overlay) => html`<figure>${pairPicture(overlay, size[0], size[1], axes)}</figure>`)}</div>
    ${drawn.length < overlays.length ? html`<p class="small">${texts.furtherPairs(overlays.length - drawn.length)}</p>` : null}`;
}

function pairPicture({ direction, number, before, after }: ReportOverlay, width: number, height: number, axes: { endS?: number; highA?: number } = {}, heading = `${language.names.ways[direction]} ${number}`): Markup {
  return linePicture({
    width, height, ...axes,
    lines: [{ kind: 'before', ...before }, { kind: 'after', ...after }],
    title: texts.beforeAndAfterCurrent(language.names.ways[direction], number),
    words: heading,
  });
}

/** Two nights in one picture, cut off above what matters: the level asleep and the limit. */
export function nightsPicture(traces: readonly ReportTrace[], width: number, height: number, caption = texts.dottedTheLimitReadings): Markup | null {
  const nights = traces.flatMap(({ result, samples }) => (result?.test === 'drain' ? [{ result, samples }] : []));
  if (nights.length !== 2) return null;
  const limitA = nights[1].result.limit_a;
  const cutA = nightCutA(nights.map(({ result }) => result));
  const lines = nights.map(({ samples }, i) => ({ kind: i === 0 ? ('before' as const) : ('after' as const), timeS: samples.timeS.map((atS) => atS - (samples.timeS[0] ?? 0)), currentA: samples.currentA }));
  return html`<figure>${linePicture({ width, height, lines, cutA, limitA, title: texts.beforeAndAfterCurrentOver, words: texts.fromTheStartOf })}
    ${caption === '' ? null : html`<figcaption>${caption}</figcaption>`}</figure>`;
}

/** Where a picture of nights is cut off, A: above what matters, the levels at rest and the limit. */
export function nightCutA(results: readonly DrainResult[]): number {
  return 1.6 * Math.max(...results.flatMap((result) => [result.limit_a, levelOf(result)]));
}

function levelOf({ asleep, levels }: DrainResult): number {
  return asleep?.level_a ?? levels[levels.length - 1]?.mean_a ?? 0;
}

/** All compared figures; two directions side by side, so that the table stays short. */
export function comparisonTable(comparison: CompareResult): Markup | null {
  const { pairs } = comparison;
  if (pairs.length === 0) return null;
  const methods = [...new Set(pairs.map(({ method }) => methodWords(method)))];
  const note = html`<p class="small">${texts.howJudged(methods.join('; '))}</p>`;
  const both = pairs.some(({ direction }) => direction === 'forward') && pairs.some(({ direction }) => direction === 'reverse');
  if (!both) return html`${table(pairs, true)}${note}`;
  const metrics = [...new Set(pairs.filter(({ direction }) => direction !== null).map(({ metric }) => metric))];
  const whole = pairs.filter(({ direction }) => direction === null);
  const cells = (metric: string, direction: 'forward' | 'reverse'): Markup => {
    const pair = pairs.find((one) => one.metric === metric && one.direction === direction);
    if (pair === undefined) return html`<td></td><td></td><td></td><td></td>`;
    const { before, after } = changeWords(pair);
    return html`<td class="number">${before}</td><td class="number">${after}</td><td class="number">${changeCell(pair)}</td><td>${judgementWords(pair.judgement)}</td>`;
  };
  const head = comparedHeads();
  return html`<table class="dense"><thead><tr><td></td><th colspan="4">${texts.forward}</th><th colspan="4">${texts.reverse}</th></tr><tr><th>${texts.figure}</th>${head}${head}</tr></thead><tbody>
    ${metrics.map((metric) => html`<tr><td>${metricWords(metric)}</td>${cells(metric, 'forward')}${cells(metric, 'reverse')}</tr>`)}
    ${whole.map((pair) => html`<tr><td>${changeWords(pair).words}</td><td class="number">${changeWords(pair).before}</td><td class="number">${changeWords(pair).after}</td><td class="number">${changeCell(pair)}</td><td>${judgementWords(pair.judgement)}</td><td colspan="4">${texts.bothDirections}</td></tr>`)}
    </tbody></table>${note}`;
}

function table(pairs: readonly ComparedMetric[], withWay: boolean): Markup {
  const name = (pair: ComparedMetric): string => (withWay ? changeWords(pair).words : metricWords(pair.metric));
  return html`<table><thead><tr><th>${texts.figure}</th>${comparedHeads()}</tr></thead><tbody>
    ${pairs.map((pair) => html`<tr><td>${name(pair)}</td><td class="number">${changeWords(pair).before}</td><td class="number">${changeWords(pair).after}</td><td class="number">${changeCell(pair)}</td><td>${judgementWords(pair.judgement)}</td></tr>`)}</tbody></table>`;
}

function comparedHeads(): Markup {
  return html`<th class="number">${texts.before}</th><th class="number">${texts.after}</th><th class="number">${texts.change}</th><th>${texts.judgement}</th>`;
}

function changeCell(pair: ComparedMetric): string {
  const { change, bounds } = changeWords(pair);
  return `${change}${bounds === '' ? '' : ` (${bounds})`}`;
}

function last(timeS: Float64Array): number {
  return timeS[timeS.length - 1] ?? 0;
}

function highest(values: ArrayLike<number>): number {
  let high = 0;
  for (let i = 0; i < values.length; i++) high = Math.max(high, values[i]);
  return high;
}
