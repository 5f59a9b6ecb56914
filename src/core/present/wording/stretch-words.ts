import type { Mark } from '../../trace.ts';
import type { ChargeView } from '../../wire/api.ts';
import { SECONDS_PER_HOUR } from '../../units.ts';
import { decimal, formatCurrent, formatDuration, language, significant } from '../language.ts';
import type { Segment } from './ribbon.ts';
import { withMinus } from '../numbers.ts';

const words = language.pages.stretch;
/** Missing time is reported from this share of a stretch on. */
const REPORTED_GAP = 0.01;

/** The figures of a measured stretch, in the order they are read. What is not known is left out; a frequency says so. */
export function stretchFigures(view: ChargeView): { name: string; value: string }[] {
  const { figures } = words;
  const lines = [
    { name: figures.length, value: lengthWords(view.duration_s) },
    { name: figures.mean, value: shownCurrent(view.mean_a) },
  ];
  const add = (name: string, value: string | null): void => {
    if (value !== null) lines.push({ name, value });
  };
  add(figures.min, view.min_a === null ? null : shownCurrent(view.min_a));
  add(figures.max, view.max_a === null ? null : shownCurrent(view.max_a));
  add(figures.peakToPeak, view.peak_to_peak_a === null ? null : formatCurrent(view.peak_to_peak_a));
  add(figures.charge, formatCharge(view.charge_c));
  add(figures.volts, view.mean_v === null || view.min_v === null || view.max_v === null ? null : words.volts(formatVolts(view.mean_v), formatVolts(view.min_v), formatVolts(view.max_v)));
  add(figures.frequency, view.frequency_hz === null ? words.noFrequency : formatFrequency(view.frequency_hz));
  add(figures.slope, view.slope_a_per_s === null ? null : formatSlope(view.slope_a_per_s));
  add(figures.gap, view.gap_s > REPORTED_GAP * view.duration_s ? formatDuration(view.gap_s) : null);
  return lines;
}

/** Charge for people: coulombs and ampere-hours. */
export function formatCharge(chargeC: number): string {
  const ah = chargeC / SECONDS_PER_HOUR;
  const figure = (value: number): string => withMinus(significant(value, 3));
  return `${figure(chargeC)} C (${Math.abs(ah) < 0.9995 ? `${figure(ah * 1000)} mAh` : `${figure(ah)} Ah`})`;
}

export function formatFrequency(frequencyHz: number): string {
  return `${significant(frequencyHz, 3)} Hz`;
}

export function formatSlope(slopeAPerS: number): string {
  return `${shownCurrent(slopeAPerS)}/s`;
}

/** A length that was measured on the chart: to three figures below a minute and a half, where it is held against the moments of its ends. */
function lengthWords(durationS: number): string {
  return durationS >= 0.9995 && durationS < 99.5 ? `${significant(durationS, 3)} s` : formatDuration(durationS);
}

/** A current beside a chart, with the minus sign of its axis. */
export function shownCurrent(currentA: number): string {
  return formatCurrent(currentA);
}

/** Volts as loggers give them: hundredths, thousandths below ten volts. */
export function formatVolts(voltageV: number): string {
  return `${withMinus(decimal(voltageV, Math.abs(voltageV) < 9.9995 ? 3 : 2))} V`;
}

/** One stretch as the list of figures knows it again. */
export function stretchKey({ timeS, endS }: Pick<Mark, 'timeS' | 'endS'>): string {
  return `${timeS} ${endS ?? timeS}`;
}

/** The ribbon's stretches with their figures, as far as they are measured. */
export function withFigures(segments: readonly Segment[], measured: ReadonlyMap<string, ChargeView>): Segment[] {
  return segments.map((segment) => {
    const view = segment.kind === 'stretch' ? measured.get(stretchKey({ timeS: segment.startS, endS: segment.endS })) : undefined;
    return view === undefined ? segment : { ...segment, detail: stretchFigures(view).map(({ name, value }) => `${name.toLowerCase()} ${value}`).join(', ') };
  });
}

/** All stretches as a table for other programs, SI units, an empty cell for what is not known. */
export function stretchesCsv(stretches: readonly { readonly mark: Mark; readonly view: ChargeView }[]): string {
  const columns = ['duration_s', 'gap_s', 'mean_a', 'min_a', 'max_a', 'peak_to_peak_a', 'charge_c', 'charge_ah', 'mean_v', 'min_v', 'max_v', 'frequency_hz', 'slope_a_per_s'] as const;
  const rows = stretches.map(({ mark, view }) => [quoted(mark.label), mark.timeS, mark.endS ?? mark.timeS, ...columns.map((column) => view[column] ?? '')].join(','));
  return `${['label,time_s,end_s', ...columns].join(',')}\n${rows.map((row) => `${row}\n`).join('')}`;
}

/** A spreadsheet must not take a name for a formula. */
function quoted(text: string): string {
  const plain = /^[=+\-@\t\r]/.test(text) ? `'${text}` : text;
  return `"${plain.replaceAll('"', '""')}"`;
}
