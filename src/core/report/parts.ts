import type { ActuationResult, AnalysisResult, DrainResult } from '../analysis/results.ts';
import { peakWords, runWords, stallWords } from '../present/wording/actuation-words.ts';
import { ribbonSegments } from '../present/wording/ribbon.ts';
import { stretchKey, withFigures } from '../present/wording/stretch-words.ts';
import { resultWords } from '../present/wording/finding-words.ts';
import type { JobRecord } from '../tracefile/record.ts';
import { pullChange } from '../present/wording/pull-words.ts';
import type { ReportTrace } from './input.ts';
import { html, type Markup } from '../markup.ts';
import { tracePicture } from './picture.ts';
import { decimal, formatCurrent, formatCurrentBounds, formatDuration, language, significant } from '../present/language.ts';

const texts = language.report.parts;
const { names } = language;

/** Heights of a trace's plot, in units of its drawing, 720 wide. */
const PLOT = 130;
const LOW_PLOT = 92;

/** The parts both kinds of report are put together from. */

export function facts(rows: readonly (readonly [string, string | null])[]): Markup {
  return html`<dl class="facts">${rows.flatMap(([name, value]) => (value === null || value === '' ? [] : [html`<div><dt>${name}</dt><dd>${value}</dd></div>`]))}</dl>`;
}

export function jobFacts(job: JobRecord | null): Markup | null {
  if (job === null) return null;
  return facts([
    [texts.vehicle, job.vehicle],
    [texts.depot, job.depot],
    [texts.circuit, job.circuit],
    [texts.fuse, job.fuse_rating_a === null ? null : `${job.fuse_rating_a} A`],
    [texts.technician, job.technician],
  ]);
}

/** Finding in one word and one sentence, the figures that prove it, and for the file what to check next. */
export function findingBox(result: AnalysisResult, withNext: boolean): Markup {
  const words = resultWords(result);
  return html`<div class="finding"><strong>${words.title}</strong><p>${words.sentence}</p>
    ${withNext && result.verdict.next.length > 0
      ? html`<div class="halves">${list(result.verdict.because)}<div><b>${texts.checkNext}</b>${list(result.verdict.next)}</div></div>`
      : list(result.verdict.because.slice(0, 2))}
  </div>`;
}

function list(sentences: readonly string[]): Markup {
  return html`<ul>${sentences.map((sentence) => html`<li>${sentence}</li>`)}</ul>`;
}

/** `low`: of a trace that shares its two pages with another; `plain`: without the names of its stretches. */
export function pictureOf(trace: ReportTrace, caption: string, { low = false, plain = false }: { readonly low?: boolean; readonly plain?: boolean } = {}): Markup {
  const { samples, result } = trace;
  const startS = samples.timeS[0] ?? 0;
  const endS = samples.timeS[samples.timeS.length - 1] ?? startS + 1;
  const limitsA = result === null ? [] : result.test === 'drain' ? [result.limit_a] : [...new Set(result.flags.map(({ limit_a: limitA }) => limitA))];
  const picture = tracePicture({
    samples, gaps: trace.gaps, startS, endS, limitsA, plotHeight: low ? LOW_PLOT : PLOT,
    segments: plain ? [] : withFigures(ribbonSegments(result, 0, trace.marks, trace.gaps, endS), new Map((trace.stretches ?? []).map(({ mark, view }) => [stretchKey(mark), view]))),
    title: texts.currentOverTime(caption === '' ? trace.record.title : caption, samples.voltageV === null ? '' : texts.withVoltage),
  });
  return html`<figure>${picture}${caption === '' ? null : html`<figcaption>${caption}</figcaption>`}</figure>`;
}

/** One row a press, at most `rows` of them. */
export function actuationTable(result: ActuationResult, rows: number): Markup | null {
  if (result.actuations.length === 0) return null;
  const shown = result.actuations.slice(0, rows);
  const { presses } = texts;
  return html`<table class="dense"><thead><tr><th>${presses.start}</th><th>${presses.direction}</th>${[presses.underPower, presses.inrush, presses.running, presses.stall, presses.feed].map(numberHead)}<th>${presses.finding}</th></tr></thead><tbody>
    ${shown.map((actuation) => {
      const { inrush, run, stalls, supply } = actuation;
      return html`<tr><td>${decimal(actuation.start_s, 2)} s</td><td>${names.ways[actuation.direction]}</td><td class="number">${formatDuration(actuation.end_s - actuation.start_s)}</td>
        <td class="number">${inrush === null ? '' : peakWords(inrush).figure}</td><td class="number">${run === null ? '' : run.at_least === true ? runWords(run).figure : formatCurrentBounds(run.median_a, run.low_a, run.high_a)}</td>
        <td class="number">${stalls.map((stall) => stallWords(stall).figure).join(', ')}</td><td class="number">${supply === null ? '' : `${significant(supply.source_ohm, 2)} Ω`}</td><td>${names.findings[actuation.finding]}</td></tr>`;
    })}</tbody></table>${more(result.actuations.length, rows, texts.moreActuations)}`;
}

export function drainTables(result: DrainResult, rows: number): Markup {
  const wakes = result.wakeups.slice(0, rows);
  return html`${result.asleep === null ? null : facts([
    [texts.keyOff, result.key_off_s === null ? null : texts.afterTheStart(formatDuration(result.key_off_s))],
    [result.over_limit === true ? texts.settledAfter : texts.asleepAfter, formatDuration(result.asleep.at_s)],
    [result.over_limit === true ? texts.settledAt : texts.levelAsleep, formatCurrentBounds(result.asleep.level_a, result.asleep.low_a, result.asleep.high_a)],
    [texts.average, texts.ahADay(formatCurrent(result.average_a), significant(result.charge_ah_per_day, 3))],
    [texts.limit, formatCurrent(result.limit_a)],
    [texts.battery, result.battery === null ? null : texts.ahHalfInDays(significant(result.battery.capacity_ah, 3), significant(result.battery.days_to_half, 2))],
  ])}
  ${result.pulls.length === 0 ? null : html`<h3>${texts.fuses}</h3><table><thead><tr><th>${texts.fuse}</th>${numberHead(texts.changeWhenPulled)}<th>${texts.carriesTheDrain}</th></tr></thead><tbody>
    ${result.pulls.map((pull) => html`<tr><td>${pull.label}</td><td class="number">${pullChange(pull)}</td><td>${pull.carries === null ? texts.notMeasured : pull.carries ? texts.yes : texts.no}</td></tr>`)}</tbody></table>`}
  ${result.possible_pulls.length === 0 ? null : html`<h3>${texts.possiblePulls}</h3><table><thead><tr><th>${texts.from}</th><th>${texts.to}</th>${numberHead(texts.change)}</tr></thead><tbody>
    ${result.possible_pulls.map((one) => html`<tr><td>${formatDuration(one.from_s)}</td><td>${formatDuration(one.to_s)}</td><td class="number">${formatCurrentBounds(one.change_a, one.low_a, one.high_a)}</td></tr>`)}</tbody></table>`}
  ${wakes.length === 0 ? null : html`<h3>${texts.wakeUps}</h3><table><thead><tr><th>${texts.at}</th>${[texts.length, texts.peak, texts.charge].map(numberHead)}</tr></thead><tbody>
    ${wakes.map((wake) => html`<tr><td>${formatDuration(wake.start_s)}</td><td class="number">${formatDuration(wake.end_s - wake.start_s)}</td><td class="number">${formatCurrent(wake.peak_a)}</td><td class="number">${significant(wake.charge_c, 3)} C</td></tr>`)}</tbody></table>${more(result.wakeups.length, rows, texts.moreWakeUps)}`}`;
}

function numberHead(text: string): Markup {
  return html`<th class="number">${text}</th>`;
}

function more(count: number, rows: number, words: (count: number) => string): Markup | null {
  return count <= rows ? null : html`<p class="small">${words(count - rows)}</p>`;
}

/** `2026-11-25 06:30 UTC` of an RFC 3339 time. */
export function moment(time: string): string {
  return texts.utc(time.slice(0, 10), time.slice(11, 16));
}
