import type { BatteryOutlook, DrainResult } from '../core/analysis/results.ts';
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
  } else if (result.held != null) {
    text += `held so far, since ${formatDuration(result.held.since_s)}: ${formatCurrentBounds(result.held.level_a, result.held.low_a, result.held.high_a)}\n`;
  }
  if (result.key_off_s !== null) text += `key-off ${formatDuration(result.key_off_s)} after the start; times of rest count from there\n`;
  text += `average ${formatCurrent(result.average_a)}, ${significant(result.charge_ah_per_day, 3)} Ah a day; limit ${formatCurrent(result.limit_a)}\n`;
  if (result.battery !== null) {
    const { capacity_ah: capacityAh, days_to_half: half, days_to_empty: empty } = result.battery;
    text += `a ${significant(capacityAh, 3)} Ah battery: half in ${significant(half, 2)} days, empty in ${significant(empty, 2)} days\n`;
    text += batteryLines(result.battery);
  }
  if (result.wakeups.length > 0) {
    const rhythm = result.wake_rhythm ?? null;
    const doubt = rhythm === null ? '' : ` (${rhythm.low_s.toFixed(1)} to ${rhythm.high_s.toFixed(1)} s)`;
    const period = result.wake_period_s === null ? '' : `, by itself every ${formatDuration(result.wake_period_s)}${doubt}`;
    text += `\n${result.wakeups.length} wake-up${result.wakeups.length === 1 ? '' : 's'}${period}\n`;
    text += textTable(
      ['start s', 'length', 'peak A', 'charge C', 'woken by'],
      result.wakeups.map((wake) => [wake.start_s.toFixed(1), formatDuration(wake.end_s - wake.start_s), significant(wake.peak_a, 3), significant(wake.charge_c, 3), wake.cause === 'person' ? 'a person' : wake.cause === 'fuse' ? 'a fuse' : 'itself']),
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
        pull.carries === null ? 'not measured' : pull.carries ? 'yes' : 'no',
      ]),
    )}`;
    if (result.unexplained_a !== null) text += `left unexplained: ${formatCurrent(result.unexplained_a)}\n`;
  }
  if (result.possible_pulls.length > 0) {
    text += `\npossible pulls without a mark\n${textTable(
      ['out at s', 'back at s', 'change mA', 'low', 'high'],
      result.possible_pulls.map((one) => [one.from_s.toFixed(1), one.to_s.toFixed(1), (one.change_a * 1000).toFixed(1), (one.low_a * 1000).toFixed(1), (one.high_a * 1000).toFixed(1)]),
    )}`;
  }
  text += `\n${result.trace.samples} samples over ${formatDuration(result.trace.duration_s)} at ${significant(result.trace.rate_hz, 4)} Hz\n`;
  for (const problem of result.problems) text += `note: ${problem.text}\n`;
  return text;
}

/** What the days rest on, and what the battery does without any drain. */
function batteryLines(battery: BatteryOutlook): string {
  let text = battery.capacity_basis === undefined ? '' : `  reckoned from ${battery.capacity_basis}\n`;
  if (battery.soc != null && battery.days_from_now != null) {
    const { soc, days_from_now: days } = battery;
    text += `  charged now, by its rested voltage: ${soc.low_percent.toFixed(0)} to ${soc.high_percent.toFixed(0)} %; half in ${significant(days.low, 2)} to ${significant(days.high, 2)} days\n`;
  }
  const self = battery.self_discharge_percent_per_month;
  if (self !== undefined) text += `  loses ${significant(self.low, 2)} to ${significant(self.high, 2)} % a month by itself\n`;
  return text;
}
