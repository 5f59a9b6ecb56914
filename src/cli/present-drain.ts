import type { DrainResult } from '../core/analysis/results.ts';
import { formatCurrent, formatCurrentBounds, formatDuration, significant } from '../core/units.ts';
import { bullet, textTable } from './table.ts';

/** A drain result for people: the verdict, the night in a few lines, the fuses. */
export function presentDrain(result: DrainResult): string {
  const { verdict } = result;
  let text = `finding: ${verdict.finding}\n`;
  for (const sentence of verdict.because) text += bullet(sentence);
  if (verdict.next.length > 0) text += 'check next:\n';
  for (const sentence of verdict.next) text += bullet(sentence);
  text += '\n';
  if (result.asleep !== null) {
    text += `asleep since ${formatDuration(result.asleep.at_s)}: ${formatCurrentBounds(result.asleep.level_a, result.asleep.low_a, result.asleep.high_a)}\n`;
  }
  text += `average ${formatCurrent(result.average_a)}, ${significant(result.charge_ah_per_day, 3)} Ah a day; limit ${formatCurrent(result.limit_a)}\n`;
  if (result.battery !== null) {
    const { capacity_ah: capacityAh, days_to_half: half, days_to_empty: empty } = result.battery;
    text += `a ${significant(capacityAh, 3)} Ah battery: half in ${significant(half, 2)} days, empty in ${significant(empty, 2)} days\n`;
  }
  if (result.wakeups.length > 0) {
    const period = result.wake_period_s === null ? '' : `, every ${formatDuration(result.wake_period_s)}`;
    text += `\n${result.wakeups.length} wake-up${result.wakeups.length === 1 ? '' : 's'}${period}\n`;
    text += textTable(
      ['start s', 'length', 'peak A', 'charge C'],
      result.wakeups.map((wake) => [wake.start_s.toFixed(1), formatDuration(wake.end_s - wake.start_s), significant(wake.peak_a, 3), significant(wake.charge_c, 3)]),
    );
  }
  if (result.pulls.length > 0) {
    text += `\n${textTable(
      ['fuse', 'at s', 'change mA', 'low', 'high', 'carries'],
      result.pulls.map((pull) => [
        pull.label,
        pull.at_s.toFixed(1),
        (pull.change_a * 1000).toFixed(1),
        (pull.low_a * 1000).toFixed(1),
        (pull.high_a * 1000).toFixed(1),
        pull.carries ? 'yes' : 'no',
      ]),
    )}`;
    if (result.unexplained_a !== null) text += `left unexplained: ${formatCurrent(result.unexplained_a)}\n`;
  }
  text += `\n${result.trace.samples} samples over ${formatDuration(result.trace.duration_s)} at ${significant(result.trace.rate_hz, 4)} Hz\n`;
  for (const problem of result.problems) text += `note: ${problem.text}\n`;
  return text;
}
