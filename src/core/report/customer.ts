import type { MetricName } from '../analysis/compare/metrics/metric-names.ts';
import type { CompareResult } from '../analysis/compare/results.ts';
import type { AnalysisResult } from '../analysis/results.ts';
import { html, type Markup } from '../markup.ts';
import { changeWords } from '../present/wording/compare-words.ts';
import { customerSentences, movedInPlainWords } from '../present/wording/customer-words.ts';
import { formatCount, formatCurrent, language } from '../present/language.ts';
import { tellingActuation } from '../present/wording/figures.ts';
import { localDay, localMoment } from '../present/local-time.ts';
import { nightsPicture, onePair } from './compared.ts';
import type { ReportInput, ReportTrace } from './input.ts';
import { facts, pictureOf } from './parts.ts';
import { manyBox, manyPictures } from './side-by-side.ts';

const words = language.customer;
/** More rows than one glance takes in are for the file. */
const MOST_FIGURES = 5;

export function customerTitle({ job }: ReportInput): string {
  const vehicle = job === null || job.vehicle === '' ? words.title.noVehicle : job.vehicle;
  return job?.repair == null ? words.title.test(vehicle) : words.title.repair(vehicle);
}

/** The workshop's own heading, whose vehicle this is, and what it was brought for. */
export function customerHead(input: ReportInput): Markup {
  const { job, workshop, madeAt } = input;
  const zone = zoneOf(input);
  const [name = '', ...lines] = (workshop?.heading ?? '').split('\n').map((line) => line.trim()).filter((line) => line !== '');
  const logo = workshop?.logo ?? null;
  return html`${workshop == null || (name === '' && logo === null) ? null : html`<div class="letterhead">${logo === null ? null : html`<img src="data:${logo.type};base64,${logo.base64}" alt="${name}">`}<div><b>${name}</b>${lines.map((line) => html`<span>${line}</span>`)}</div></div>`}
    <h1>${customerTitle(input)}</h1>
    ${facts([
      [words.facts.plate, job?.plate ?? null],
      [words.facts.odometer, job?.odometer_km == null ? null : `${formatCount(job.odometer_km)} km`],
      [words.facts.vin, job?.vin ?? null],
      [words.facts.customer, job?.customer ?? null],
      [words.facts.tested, job?.technician ?? null],
      [words.facts.date, localDay(madeAt, zone)],
      [words.facts.complaint, job?.complaint ?? null],
    ])}`;
}

/** For the person who pays: what was wrong and done, how it is proven, one picture, the few figures that moved, room to sign. */
export function customerBody(input: ReportInput): Markup {
  const { job, proof = null, comparison, traces } = input;
  const about = { repair: job?.repair ?? null, proof: proof?.state ?? null, comparison, traces: traces.map(({ record, result }) => ({ start: record.start, result })), timeZone: zoneOf(input) };
  const [wrong, proven] = customerSentences(about);
  return html`<div class="outcome"><p>${wrong}</p><p>${proven}</p></div>${shown(input)}${signature()}<p class="small">${words.promise}</p>`;
}

function shown(input: ReportInput): Markup {
  const { comparison, many, traces } = input;
  const zone = zoneOf(input);
  if (comparison !== null) {
    const [before, after] = traces.map(({ record }) => localMoment(record.start, zone));
    const nights = traces.some(({ result }) => result?.test === 'drain');
    const picture = onePair(input, '') ?? nightsPicture(traces, 720, 220, '');
    const caption = `${words.picture.pair(before ?? '', after ?? '')}${nights ? words.picture.cut : ''}`;
    return html`${picture === null ? traces.map((trace) => onePicture(trace, zone)) : html`${picture}<p class="small">${caption}</p>`}${movedFigures(comparison)}`;
  }
  if (many != null) return html`${manyBox(many, false)}${manyPictures(many, true)}`;
  return html`${traces.map((trace) => html`<section class="trace">${onePicture(trace, zone)}${trace.result === null ? null : figuresOf(trace.result)}</section>`)}`;
}

/** A customer asks what the circuit drew; the voltage beside it, and the names of its stretches, only cover that. */
function onePicture(trace: ReportTrace, zone: string): Markup {
  return pictureOf({ ...trace, samples: { ...trace.samples, voltageV: null } }, words.picture.one(localMoment(trace.record.start, zone)), { plain: true });
}

/** The figure or two that carry the finding, without their bounds, which are in the file. */
function figuresOf(result: AnalysisResult): Markup | null {
  const rows: [MetricName, number][] = [];
  if (result.test === 'drain') {
    if (result.asleep !== null) rows.push(['asleep_a', result.asleep.level_a], ['average_a', result.average_a]);
  } else {
    const press = tellingActuation(result);
    if (press?.run != null) rows.push(['run_a', press.run.median_a]);
    if (press !== null && press.stalls.length > 0) rows.push(['stall_a', Math.max(...press.stalls.map(({ level_a: levelA }) => levelA))]);
  }
  return rows.length === 0 ? null : html`<table><tbody>${rows.map(([metric, currentA]) => html`<tr><th>${words.figures[metric] ?? ''}</th><td class="number">${formatCurrent(currentA)}</td></tr>`)}</tbody></table>`;
}

/** Figures that have plain names, and moved by more than could be chance. */
function movedFigures(comparison: CompareResult): Markup | null {
  const moved = movedInPlainWords(comparison).slice(0, MOST_FIGURES);
  if (moved.length === 0) return null;
  return html`<table><thead><tr><th>${words.figure}</th><th class="number">${words.before}</th><th class="number">${words.after}</th></tr></thead><tbody>
    ${moved.map(({ name, pair }) => {
      const { before, after } = changeWords(pair);
      return html`<tr><td>${name}</td><td class="number">${before}</td><td class="number">${after}</td></tr>`;
    })}</tbody></table>`;
}

function signature(): Markup {
  return html`<div class="sign">${[words.sign.date, words.sign.workshop, words.sign.customer].map((who) => html`<div>${who}</div>`)}</div>`;
}

function zoneOf({ timeZone }: ReportInput): string {
  return timeZone ?? 'UTC';
}
