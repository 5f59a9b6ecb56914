import type { AnalysisResult, TestKind } from '../analysis/results.ts';
import { verdictWords } from '../present/wording/compare-words.ts';
import { manyWords } from '../present/wording/many-words.ts';
import { cautionsFor } from '../reference/cautions.ts';
import type { TraceRecord } from '../tracefile/record.ts';
import { allPairs, comparisonTable, nightsPicture } from './compared.ts';
import type { ReportInput, ReportTrace } from './input.ts';
import { html, type Markup } from '../markup.ts';
import { stretchTable } from './stretches.ts';
import { actuationTable, drainTables, facts, findingBox, moment, pictureOf } from './parts.ts';
import { manyBox, manyPictures, manyTable } from './side-by-side.ts';
import { notTested } from './untested.ts';
import { formatCurrent, formatDuration, language, significant } from '../present/language.ts';

const words = language.report.file;

/** Rows of the table of a trace that shares its two pages with another, and of one alone. */
const ROWS_OF_TWO = 8;
const ROWS_OF_ONE = 24;

/** For the record: every figure with its uncertainty, sensor, hashes, cautions, and what was not tested. */
export function fileBody(input: ReportInput): Markup {
  const { comparison, many, traces, job } = input;
  const tests = [...new Set(traces.flatMap(({ result }) => (result === null ? [] : [result.test])))];
  const roles = traces.map((_, i) => (comparison === null ? '' : i === 0 ? words.beforeHead : words.afterHead));
  return html`${comparison === null ? null : changes(input)}
    ${many == null ? null : html`<section><h2>${words.sideBySide(manyWords(many.result.verdict.finding).title)}</h2>${manyBox(many, true)}${manyPictures(many, false)}${manyTable(many)}${remarks(many.result.problems)}</section>`}
    ${many == null ? traces.map((trace, i) => traceSection(trace, roles[i], traces.length > 1 ? ROWS_OF_TWO : ROWS_OF_ONE)) : traces.map(shortSection)}
    <div class="ends"><section><h2>${words.notTested}</h2><ul class="small">${notTested(traces).map((sentence) => html`<li>${sentence}</li>`)}</ul>
    ${job === null || job.note === '' ? null : html`<h2>${words.note}</h2><p>${job.note}</p>`}</section>
    <section><h2>${words.cautions}</h2><ul class="small">${cautionTexts(tests).map((text) => html`<li>${text}</li>`)}</ul></section></div>`;
}

function changes(input: ReportInput): Markup | null {
  const { comparison, traces } = input;
  if (comparison === null) return null;
  const { because, next } = comparison.verdict;
  return html`<section><h2>${words.beforeAndAfter(verdictWords(comparison.verdict).title)}</h2>
    <div class="halves"><ul>${because.map((sentence) => html`<li>${sentence}</li>`)}</ul><div><b>${words.checkNext}</b><ul>${next.map((sentence) => html`<li>${sentence}</li>`)}</ul></div></div>
    ${allPairs(input) ?? nightsPicture(traces, 720, 170)}${comparisonTable(comparison)}${remarks(comparison.problems)}</section>`;
}

function traceSection(trace: ReportTrace, role: string, rows: number): Markup {
  const { record, result, problems } = trace;
  return html`<section class="trace"><h2>${nameWithRole(record, role)}</h2>
    ${result === null ? html`<p>${words.notAnalysed}</p>` : findingBox(result, true)}
    ${pictureOf(trace, '', { low: role !== '' })}
    ${result === null ? null : figures(result, rows)}
    ${stretchTable(trace)}
    ${remarks(problems)}
    ${facts(sensorFacts(record))}
    ${hash(record)}</section>`;
}

/** A title such as "before the repair" needs no second word for it. */
function nameWithRole({ title, id }: TraceRecord, role: string): string {
  const said = title.toLowerCase().startsWith(role.slice(0, -2).toLowerCase());
  return `${said ? '' : role}${title === '' ? id : title}`;
}

/** Of many traces only what no table holds: where each came from. */
function shortSection({ record, problems }: ReportTrace): Markup {
  return html`<section class="trace"><h3>${record.title === '' ? record.id : record.title}</h3>${facts(sensorFacts(record))}${remarks(problems)}${hash(record)}</section>`;
}

function figures(result: AnalysisResult, rows: number): Markup | null {
  return result.test === 'actuation' ? actuationTable(result, rows) : drainTables(result, rows);
}

function remarks(problems: readonly { readonly text: string }[]): Markup | null {
  return problems.length === 0 ? null : html`<ul class="small">${problems.map(({ text }) => html`<li>${text}</li>`)}</ul>`;
}

function hash({ sha256 }: TraceRecord): Markup {
  return html`<p class="hash">${words.sha256(sha256 ?? words.notClosedYet)}</p>`;
}

function sensorFacts(record: TraceRecord): [string, string | null][] {
  const { calibration, logger, channels } = record;
  const current = channels.find(({ name }) => name === 'current');
  return [
    [words.recorded, words.samples(moment(record.start), formatDuration(record.duration_s), record.samples)],
    [words.logger, [logger.name, logger.serial === null ? '' : words.serial(logger.serial), logger.firmware === null ? '' : words.firmware(logger.firmware)].filter((part) => part !== '').join(', ')],
    [words.rate, record.rate_hz === null ? null : words.samplesASecond(significant(record.rate_hz, 4))],
    [words.range, current?.range == null ? null : words.toA(significant(current.range[0], 3), significant(current.range[1], 3))],
    [words.zero, calibration.zero_a === null ? words.notTaken : `${formatCurrent(calibration.zero_a)}${calibration.zeroed_at === null ? '' : words.taken(moment(calibration.zeroed_at))}`],
    [words.uncertaintyOfTheSensor, sensorUncertaintyText(record)],
    [words.gaps, record.gap_count === 0 ? words.none : words.inAll(record.gap_count, formatDuration(record.gap_s))],
    [words.recordedBy, record.software === '' ? null : `amptrail ${record.software}`],
    [words.ended, record.end === 'ended' ? null : record.end === 'cut' ? words.cutShortWholeUp : words.stillRunning],
  ];
}

function sensorUncertaintyText({ calibration }: TraceRecord): string {
  const parts: string[] = [];
  if (calibration.offset_doubt_a !== null) parts.push(`± ${formatCurrent(calibration.offset_doubt_a)}`);
  if (calibration.gain_doubt_percent !== null) parts.push(words.ofTheReading(significant(calibration.gain_doubt_percent, 2)));
  return parts.length === 0 ? words.notStated : language.listAnd(parts);
}

function cautionTexts(tests: readonly TestKind[]): string[] {
  return [...new Set((tests.length === 0 ? (['actuation'] as const) : tests).flatMap((test) => cautionsFor(test).map((caution) => language.cautions.each[caution])))];
}
