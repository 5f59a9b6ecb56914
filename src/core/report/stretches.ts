import { decimal, formatCurrent, formatDuration, language } from '../present/language.ts';
import { formatCharge, formatFrequency, formatSlope, formatVolts } from '../present/wording/stretch-words.ts';
import { html, type Markup } from '../markup.ts';
import type { ReportTrace } from './input.ts';

const words = language.pages.stretch;

/** What a person has measured and named on a trace, one row each. */
export function stretchTable({ stretches = [] }: ReportTrace): Markup | null {
  if (stretches.length === 0) return null;
  const { figures } = words;
  const current = (valueA: number | null): string => (valueA === null ? '' : formatCurrent(valueA));
  const number = (text: string): Markup => html`<td class="number">${text}</td>`;
  const heads = [figures.length, figures.mean, figures.min, figures.max, figures.peakToPeak, figures.charge, figures.volts, figures.frequency, figures.slope];
  return html`<h3>${words.kept}</h3><table class="dense"><thead><tr><th>${words.label}</th><th>${words.from}</th>${heads.map((head) => html`<th class="number">${head}</th>`)}</tr></thead><tbody>
    ${stretches.map(({ mark, view }) => html`<tr><td>${mark.label || words.unnamed}</td><td>${decimal(mark.timeS, 2)} s</td>${number(formatDuration(view.duration_s))}${number(formatCurrent(view.mean_a))}${number(current(view.min_a))}${number(current(view.max_a))}${number(current(view.peak_to_peak_a))}${number(formatCharge(view.charge_c))}${number(view.mean_v === null ? '' : formatVolts(view.mean_v))}${number(view.frequency_hz === null ? '' : formatFrequency(view.frequency_hz))}${number(view.slope_a_per_s === null ? '' : formatSlope(view.slope_a_per_s))}</tr>`)}</tbody></table>`;
}
