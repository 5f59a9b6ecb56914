import { cautionsFor, COMES_FIRST } from '../reference/cautions.ts';
import { COMPARE_WORDS } from '../present/compare-words.ts';
import type { TestKind } from '../analysis/results.ts';
import type { TraceRecord } from '../tracefile/record.ts';
import { formatCurrent, formatDuration, significant } from '../units.ts';
import type { ReportInput, ReportTrace } from './input.ts';
import { html, type Markup } from './markup.ts';
import { overlayPicture } from './overlay.ts';
import { actuationTable, comparisonTable, drainTables, facts, figureTable, findingBox, jobFacts, pictureOf } from './parts.ts';
import { REPORT_STYLE } from './style.ts';
import { notTested } from './untested.ts';

/**
 * One self-contained HTML page: pictures are SVG in it, no script, no outside file, fit to print on A4 and Letter.
 * `customer`: plain words, one picture, before and after. `file`: everything that was measured, with doubts, sensor, hashes.
 */
export function renderReport(input: ReportInput): string {
  const title = input.job === null || input.job.vehicle === '' ? 'What the current shows' : `What the current shows: ${input.job.vehicle}`;
  const body = input.audience === 'customer' ? customerBody(input) : fileBody(input);
  const page = html`<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'"><title>${title}</title></head>
<body><header><h1>${title}</h1>${input.job === null || input.job.complaint === '' ? null : html`<p>Complaint: ${input.job.complaint}</p>`}${jobFacts(input.job)}</header>
<main>${body}</main>
<footer class="small"><p>Made ${day(input.madeAt)} with amptrail ${input.software}. ${COMES_FIRST}</p></footer></body></html>`;
  // the style is our own constant text: it is put in behind the escaping, once
  return `<!doctype html>\n${page.text.replace('</title>', () => `</title><style>${REPORT_STYLE}</style>`)}\n`;
}

function customerBody(input: ReportInput): Markup {
  const { comparison, traces } = input;
  const last = traces[traces.length - 1];
  if (comparison !== null) {
    const words = COMPARE_WORDS[comparison.verdict.finding];
    return html`<div class="finding"><strong>${words.title}</strong><p>${words.sentence}</p>
      <ul>${comparison.verdict.because.map((sentence) => html`<li>${sentence}</li>`)}</ul></div>
      ${overlays(input, 1)}
      ${input.overlays.length > 0 ? null : traces.map((trace, i) => pictureOf(currentAlone(trace), i === 0 ? 'Before' : 'After'))}
      ${comparisonTable(comparison, true)}
      ${last === undefined ? null : html`<p>${captionOf(traces[0])} and ${captionOf(last)}.</p>`}
      ${uncertainty()}`;
  }
  return html`${traces.map((trace) => html`<section class="trace">${trace.result === null ? null : findingBox(trace.result, false)}${pictureOf(currentAlone(trace), captionOf(trace))}${trace.result === null ? null : figureTable(trace.result)}</section>`)}${uncertainty()}`;
}

/** A customer asks what the circuit drew; the voltage beside it only covers that. */
function currentAlone(trace: ReportTrace): ReportTrace {
  return { ...trace, samples: { ...trace.samples, voltageV: null } };
}

function uncertainty(): Markup {
  return html`<p class="small">Figures in brackets are the range in which the true value lies with 95 % confidence. A finding is a reading of the recording, not a promise.</p>`;
}

function fileBody(input: ReportInput): Markup {
  const { comparison, traces } = input;
  const tests = [...new Set(traces.flatMap(({ result }) => (result === null ? [] : [result.test])))];
  return html`${comparison === null ? null : html`<section><h2>Before and after: ${COMPARE_WORDS[comparison.verdict.finding].title.toLowerCase()}</h2><ul>${comparison.verdict.because.map((sentence) => html`<li>${sentence}</li>`)}</ul>
    ${overlays(input, 2)}${comparisonTable(comparison, false)}
    ${comparison.problems.length === 0 ? null : html`<ul class="small">${comparison.problems.map(({ text }) => html`<li>${text}</li>`)}</ul>`}
    <p><b>Check next</b></p><ul>${comparison.verdict.next.map((sentence) => html`<li>${sentence}</li>`)}</ul></section>`}
    ${traces.map((trace, index) => traceSection(trace, comparison === null ? null : index === 0 ? 'before' : 'after'))}
    <section><h2>Not tested</h2><ul>${notTested(traces).map((sentence) => html`<li>${sentence}</li>`)}</ul></section>
    ${input.job === null || input.job.note === '' ? null : html`<section><h2>Note</h2><p>${input.job.note}</p></section>`}
    <section><h2>Cautions</h2><ul class="small">${cautionTexts(tests).map((text) => html`<li>${text}</li>`)}</ul></section>`;
}

function traceSection(trace: ReportTrace, role: 'before' | 'after' | null): Markup {
  const { record, result, problems } = trace;
  return html`<section class="trace"><h2>${role === null ? '' : `${role === 'before' ? 'Before' : 'After'}: `}${record.title === '' ? record.id : record.title}</h2>
    ${result === null ? html`<p>This trace was not analysed.</p>` : findingBox(result, true)}
    ${pictureOf(trace, captionOf(trace))}
    ${result === null ? null : result.test === 'actuation' ? actuationTable(result) : drainTables(result)}
    ${problems.length === 0 ? null : html`<ul class="small">${problems.map(({ text }) => html`<li>${text}</li>`)}</ul>`}
    ${facts(sensorFacts(record))}
    <p class="hash">SHA-256 of the samples: ${record.sha256 ?? 'not closed yet'}</p></section>`;
}

function sensorFacts(record: TraceRecord): [string, string | null][] {
  const { calibration, logger, channels } = record;
  const current = channels.find(({ name }) => name === 'current');
  return [
    ['Recorded', `${moment(record.start)}, ${formatDuration(record.duration_s)}, ${record.samples} samples`],
    ['Logger', [logger.name, logger.serial === null ? '' : `serial ${logger.serial}`, logger.firmware === null ? '' : `firmware ${logger.firmware}`].filter((part) => part !== '').join(', ')],
    ['Rate', record.rate_hz === null ? null : `${significant(record.rate_hz, 4)} samples a second`],
    ['Range', current?.range == null ? null : `${significant(current.range[0], 3)} to ${significant(current.range[1], 3)} A`],
    ['Zero', calibration.zero_a === null ? 'not taken' : `${formatCurrent(calibration.zero_a)}${calibration.zeroed_at === null ? '' : `, taken ${moment(calibration.zeroed_at)}`}`],
    ['Doubt of the sensor', sensorDoubt(record)],
    ['Gaps', record.gaps.length === 0 ? 'none' : `${record.gaps.length}, ${formatDuration(record.gaps.reduce((sum, gap) => sum + gap.end_s - gap.start_s, 0))} in all`],
    ['Ended', record.end === 'ended' ? null : record.end === 'cut' ? 'cut short; whole up to there' : 'still running'],
  ];
}

function sensorDoubt({ calibration }: TraceRecord): string {
  const parts: string[] = [];
  if (calibration.offset_doubt_a !== null) parts.push(`± ${formatCurrent(calibration.offset_doubt_a)}`);
  if (calibration.gain_doubt_percent !== null) parts.push(`± ${significant(calibration.gain_doubt_percent, 2)} % of the reading`);
  return parts.length === 0 ? 'not stated' : parts.join(' and ');
}

function overlays(input: ReportInput, most: number): Markup[] {
  return input.overlays
    .slice(0, most)
    .map((overlay) => html`<figure>${overlayPicture({ ...overlay, title: `Before and after, ${overlay.direction}: current over time from the switch edge` })}</figure>`);
}

function captionOf(trace: ReportTrace | undefined): string {
  if (trace === undefined) return '';
  const { record } = trace;
  return `${record.title === '' ? 'Trace' : record.title}, recorded ${moment(record.start)}`;
}

function cautionTexts(tests: readonly TestKind[]): string[] {
  return [...new Set((tests.length === 0 ? (['actuation'] as const) : tests).flatMap((test) => cautionsFor(test).map(({ text }) => text)))];
}

/** `2026-11-25 06:30 UTC` of an RFC 3339 time. */
function moment(time: string): string {
  return `${time.slice(0, 10)} ${time.slice(11, 16)} UTC`;
}

function day(time: string): string {
  return time.slice(0, 10);
}
