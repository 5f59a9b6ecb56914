import { describeMetric } from '../analysis/compare/describe.ts';
import type { ManyResult } from '../analysis/compare/many/result.ts';
import { metricWords } from '../present/wording/compare-words.ts';
import { judgedTitle, likeWords, manyWords } from '../present/wording/many-words.ts';
import type { ReportMany } from './input.ts';
import { linePicture } from './line-picture.ts';
import { html, type Markup } from '../markup.ts';
import { decimal, language, significant } from '../present/language.ts';

const texts = language.report.sideBySide;

/** Drawn for the file; the customer sees the few that stand out most. */
const MOST_PICTURES = 12;
const CUSTOMER_PICTURES = 3;

/** Several traces, the one that stands out first: what was found, in a box. */
export function manyBox({ result }: ReportMany, withNext: boolean): Markup {
  const words = manyWords(result.verdict.finding);
  return html`<div class="finding"><strong>${words.title}</strong><p>${words.sentence}</p><ul>${result.verdict.because.map((line) => html`<li>${line}</li>`)}</ul>
    ${withNext ? html`<p><b>${texts.checkNext}</b></p><ul>${result.verdict.next.map((line) => html`<li>${line}</li>`)}</ul>` : null}</div>`;
}

/** Small multiples of the actuations on the same axes, the most usual one of the direction dashed behind each. */
export function manyPictures({ result, lines }: ReportMany, forCustomer: boolean): Markup | null {
  if (lines.length === 0) return null;
  const drawn = lines.slice(0, forCustomer ? CUSTOMER_PICTURES : MOST_PICTURES);
  const endS = Math.max(...drawn.map(({ timeS }) => timeS[timeS.length - 1] ?? 0));
  const highA = Math.max(...drawn.map(({ currentA }) => currentA.reduce((high, value) => Math.max(high, value), 0)));
  const usualFirst = [...lines].reverse();
  return html`<div class="grid-3">${drawn.map((line) => {
    const one = result.actuations.find(({ trace, direction, number }) => trace === line.trace && direction === line.direction && number === line.number);
    const name = nameOf(result, line.trace);
    const usual = usualFirst.find(({ direction }) => direction === line.direction) ?? line;
    return html`<figure>${linePicture({
      width: 240, height: 120, endS, highA,
      lines: usual === line ? [{ kind: 'after', ...line }] : [{ kind: 'usual', ...usual }, { kind: 'after', ...line }],
      title: texts.currentOverTime(name, line.direction, line.number),
      words: `${language.names.ways[line.direction]} ${line.number}`,
    })}<figcaption><b>${name}</b>${one === undefined ? '' : `, ${whyOf(one, result)}`}</figcaption></figure>`;
  })}</div>
  <p class="small">${texts.dashed} ${drawn.length < lines.length ? texts.moreThatStandOut(lines.length - drawn.length) : ''}</p>`;
}

export function manyTable({ result }: ReportMany): Markup {
  const metrics = [...new Set(result.traces.flatMap(({ figures }) => figures.map(({ metric }) => metric)))].filter((metric) => metric !== 'duration_s');
  const ways = [...new Set(result.traces.flatMap(({ figures }) => figures.map(({ direction }) => direction)))];
  const value = (trace: ManyResult['traces'][number], metric: string, way: string | null): string => {
    const found = trace.figures.find((figure) => figure.metric === metric && figure.direction === way);
    return found === undefined ? '' : significant(found.value, 3);
  };
  return html`<table class="dense"><thead><tr><th>${texts.trace}</th><th>${texts.finding}</th><th>${texts.direction}</th>${metrics.map((metric) => html`<th class="number">${metricWords(metric)}${describeMetric(metric).unit === '' ? '' : `, ${describeMetric(metric).unit}`}</th>`)}<th class="number">${texts.distance}</th></tr></thead><tbody>
    ${result.traces.flatMap((trace) =>
      ways.map((way, row) => html`<tr><td>${row === 0 ? trace.name : ''}</td><td>${row === 0 ? judgedTitle(trace) : ''}</td><td>${way ?? ''}</td>${metrics.map((metric) => html`<td class="number">${value(trace, metric, way)}</td>`)}<td class="number">${row === 0 ? decimal(trace.distance, 1) : ''}</td></tr>`),
    )}</tbody></table><p class="small">${texts.howFar}</p>`;
}

/** "stalled, most others normal", "normal: running current 31 % above the others" */
function whyOf(own: ManyResult['actuations'][number], { actuations }: ManyResult): string {
  const { because } = own;
  const word = judgedTitle(own).toLowerCase();
  if (because === '') return `${word}: ${likeWords(own, actuations.filter(({ direction }) => direction === own.direction))}`;
  return because.startsWith(word) ? because : `${word}: ${because}`;
}

function nameOf(result: ManyResult, trace: number): string {
  return result.traces.find((one) => one.trace === trace)?.name ?? '';
}
