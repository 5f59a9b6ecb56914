import { describeMetric } from '../analysis/compare/describe.ts';
import type { CompareResult } from '../analysis/compare/results.ts';
import { en } from '../present/en/index.ts';
import { changeWords, verdictWords } from '../present/compare-words.ts';
import { findingWords } from '../present/finding-words.ts';
import { movedTable, nightsPicture, onePair } from './compared.ts';
import type { ReportInput, ReportTrace } from './input.ts';
import { html, type Markup } from '../markup.ts';
import { figureTable, findingBox, moment, pictureOf } from './parts.ts';
import { manyBox, manyPictures } from './side-by-side.ts';

/** For the person who pays: what was wrong, what it is now, one picture, and the figures that moved. */
export function customerBody(input: ReportInput): Markup {
  return html`${repairLines(input)}${findings(input)}`;
}

/** What was wrong, what was done, what shows it: three lines, where the job notes a repair. */
function repairLines({ job, proof }: ReportInput): Markup | null {
  if (job === null || job.repair === null) return null;
  const { cause, part, work, at } = job.repair;
  const { customer, causes } = en.reason;
  const done = [work, part].filter((text) => text !== '').join('; ');
  return html`<ul class="repair"><li><b>${customer.wrong}</b> ${cause === null ? customer.unnamed : causes[cause]}</li>
    <li><b>${customer.done}</b> ${done === '' ? customer.unnamed : done}, ${moment(at)}</li>
    <li><b>${customer.shown}</b> ${proof == null ? customer.untested : customer.proof[proof.state]}</li></ul>`;
}

function findings(input: ReportInput): Markup {
  const { comparison, traces, many } = input;
  if (comparison !== null) return repair(input, comparison);
  if (many != null) return html`${manyBox(many, false)}${manyPictures(many, true)}<p>${traces.map(captionOf).join('; ')}.</p>${uncertainty()}`;
  return html`${traces.map((trace) => html`<section class="trace">${trace.result === null ? null : findingBox(trace.result, false)}${pictureOf(currentAlone(trace), captionOf(trace))}${trace.result === null ? null : figureTable(trace.result)}</section>`)}${uncertainty()}`;
}

function repair(input: ReportInput, comparison: CompareResult): Markup {
  const { traces } = input;
  const words = verdictWords(comparison.verdict);
  const before = findingWords(comparison.before_finding);
  const after = findingWords(comparison.after_finding);
  const picture = onePair(input) ?? nightsPicture(traces, 720, 230);
  return html`<div class="finding"><strong>${words.title}</strong><p>${words.sentence}</p>
      <ul>${comparison.before_finding === comparison.after_finding
        ? html`<li>Each recording by itself: ${before.title.toLowerCase()}. ${before.sentence}</li>`
        : html`<li><b>Before: ${before.title.toLowerCase()}.</b> ${before.sentence}</li><li><b>After: ${after.title.toLowerCase()}.</b> ${after.sentence}</li>`}${plainFigures(comparison).map((line) => html`<li>${line}</li>`)}</ul></div>
    ${picture ?? traces.map((trace, i) => pictureOf(currentAlone(trace), i === 0 ? 'Before' : 'After'))}
    ${movedTable(comparison)}
    <p>${traces.map((trace, i) => `${i === 0 ? 'Before' : 'After'}: ${captionOf(trace)}`).join('. ')}.</p>
    ${uncertainty()}`;
}

/** At most two sentences with the figures that decide. */
function plainFigures({ pairs }: CompareResult): string[] {
  return pairs
    .filter(({ metric, judgement, direction }) => (judgement === 'higher' || judgement === 'lower') && describeMetric(metric).decides && direction !== 'reverse')
    .slice(0, 2)
    .map((pair) => {
      const { words, before, after } = changeWords(pair);
      return `${words.charAt(0).toUpperCase()}${words.slice(1)}: ${before} before, ${after} after.`;
    });
}

/** A customer asks what the circuit drew; the voltage beside it only covers that. */
function currentAlone(trace: ReportTrace): ReportTrace {
  return { ...trace, samples: { ...trace.samples, voltageV: null } };
}

function captionOf({ record }: ReportTrace): string {
  return `${record.title === '' ? 'trace' : record.title}, recorded ${moment(record.start)}`;
}

function uncertainty(): Markup {
  return html`<p class="small">Figures in brackets are the range in which the true value lies with 95 % confidence. A finding is a reading of the recording, not a promise.</p>`;
}
