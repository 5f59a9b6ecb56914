import type { BatteryOutlook, DrainResult } from '../core/analysis/results.ts';
import { presentVerdict } from './present-verdict.ts';
import { textTable } from './table.ts';
import { decimal, formatCurrent, formatCurrentBounds, formatDuration, language, significant } from '../core/present/language.ts';

const words = language.cli.results.presentDrain;
const { names } = language;

/** A drain result for people: the verdict, the night in a few lines, the fuses. */
export function presentDrain(result: DrainResult): string {
  let text = presentVerdict(result.verdict);
  text += '\n';
  if (result.asleep !== null) {
    text += words.asleepSince(formatDuration(result.asleep.at_s), formatCurrentBounds(result.asleep.level_a, result.asleep.low_a, result.asleep.high_a));
  } else if (result.held != null) {
    text += words.heldSoFarSince(formatDuration(result.held.since_s), formatCurrentBounds(result.held.level_a, result.held.low_a, result.held.high_a));
  }
  if (result.key_off_s !== null) text += words.keyOffAfterThe(formatDuration(result.key_off_s));
  text += words.averageAhADayLimit(formatCurrent(result.average_a), significant(result.charge_ah_per_day, 3), formatCurrent(result.limit_a));
  if (result.battery !== null) {
    const { capacity_ah: capacityAh, days_to_half: half, days_to_empty: empty } = result.battery;
    text += words.aAhBatteryHalf(significant(capacityAh, 3), significant(half, 2), significant(empty, 2));
    text += batteryLines(result.battery);
  }
  if (result.wakeups.length > 0) {
    const rhythm = result.wake_rhythm ?? null;
    const bounds = rhythm === null ? '' : words.toS(decimal(rhythm.low_s, 1), decimal(rhythm.high_s, 1));
    const period = result.wake_period_s === null ? '' : words.byItselfEvery(formatDuration(result.wake_period_s), bounds);
    text += words.wakeUps(result.wakeups.length, period);
    text += textTable(
      [words.startS, words.length, words.peakA, words.chargeC, words.wokenBy],
      result.wakeups.map((wake) => [decimal(wake.start_s, 1), formatDuration(wake.end_s - wake.start_s), significant(wake.peak_a, 3), significant(wake.charge_c, 3), wake.cause === 'person' ? words.aPerson : wake.cause === 'fuse' ? words.aFuse : words.itself]),
    );
  }
  if (result.pulls.length > 0) {
    text += `\n${textTable(
      [words.fuse, words.atS, words.changeMa, words.low, words.high, words.carries],
      result.pulls.map((pull) => [
        pull.label,
        decimal(pull.at_s, 1),
        decimal(pull.change_a * 1000, 1),
        decimal(pull.low_a * 1000, 1),
        decimal(pull.high_a * 1000, 1),
        pull.carries === null ? words.notMeasured : pull.carries ? names.yes : names.no,
      ]),
    )}`;
    if (result.unexplained_a !== null) text += words.leftUnexplained(formatCurrent(result.unexplained_a));
  }
  if (result.possible_pulls.length > 0) {
    text += words.possiblePullsWithoutAMark(textTable(
      [words.outAtS, words.backAtS, words.changeMa, words.low, words.high],
      result.possible_pulls.map((one) => [decimal(one.from_s, 1), decimal(one.to_s, 1), decimal(one.change_a * 1000, 1), decimal(one.low_a * 1000, 1), decimal(one.high_a * 1000, 1)]),
    ));
  }
  text += words.samplesOverAtHz(result.trace.samples, formatDuration(result.trace.duration_s), significant(result.trace.rate_hz, 4));
  for (const problem of result.problems) text += language.cli.results.presentVerdict.note(problem.text);
  return text;
}

/** What the days rest on, and what the battery does without any drain. */
function batteryLines(battery: BatteryOutlook): string {
  let text = battery.capacity_basis === undefined ? '' : words.reckonedFrom(battery.capacity_basis);
  if (battery.soc != null && battery.days_from_now != null) {
    const { soc, days_from_now: days } = battery;
    text += words.chargedNowByIts(decimal(soc.low_percent, 0), decimal(soc.high_percent, 0), significant(days.low, 2), significant(days.high, 2));
  }
  const self = battery.self_discharge_percent_per_month;
  if (self !== undefined) text += words.losesToAMonth(significant(self.low, 2), significant(self.high, 2));
  return text;
}
