import type { Actuation, ActuationResult } from '../core/analysis/results.ts';
import { formatCurrent, formatDuration, significant } from '../core/units.ts';
import { bullet, textTable } from './table.ts';

/** An actuation result for people: the verdict first, then one line an actuation, then what to know about the trace. */
export function presentActuation(result: ActuationResult): string {
  const { verdict } = result;
  let text = `finding: ${verdict.finding}\n`;
  for (const sentence of verdict.because) text += bullet(sentence);
  if (verdict.next.length > 0) text += 'check next:\n';
  for (const sentence of verdict.next) text += bullet(sentence);
  if (result.actuations.length > 0) {
    text += `\n${textTable(['start s', 'length', 'way', 'inrush A', 'run A', 'low', 'high', 'stall A', 'ripple Hz', 'source ohm', 'finding'], result.actuations.map(row))}`;
  }
  for (const flag of result.flags) {
    text += `past ${formatCurrent(flag.limit_a)}: ${flag.start_s.toFixed(3)} s to ${flag.end_s.toFixed(3)} s, peak ${formatCurrent(flag.peak_a)}\n`;
  }
  const { samples, duration_s: durationS, rate_hz: rateHz } = result.trace;
  text += `\n${samples} samples over ${formatDuration(durationS)} at ${significant(rateHz, 4)} Hz; `;
  text += `rest ${formatCurrent(result.baseline.current_a)}, noise ${formatCurrent(result.baseline.noise_a)}\n`;
  for (const problem of result.problems) text += `note: ${problem.text}\n`;
  return text;
}

function row(actuation: Actuation): string[] {
  const { inrush, run, ripple, supply, stalls } = actuation;
  const figure = (value: number | undefined, figures = 3): string => (value === undefined ? '-' : significant(value, figures));
  return [
    actuation.start_s.toFixed(3),
    formatDuration(actuation.end_s - actuation.start_s),
    actuation.direction,
    figure(inrush?.peak_a),
    figure(run?.median_a),
    figure(run?.low_a),
    figure(run?.high_a),
    stalls.length === 0 ? '-' : stalls.map((stall) => significant(stall.level_a, 3)).join(' '),
    figure(ripple?.frequency_hz, 4),
    figure(supply?.source_ohm),
    actuation.finding,
  ];
}
