import type { NightLabel } from './types.ts';

/** The answer of somebody who knows the truth: shows that every label can be met, and is what faults are put into to test the judge. */
export function trueAnswer(label: NightLabel): Record<string, unknown> {
  const { asleep, period } = label;
  const bounds = (ampsA: number): object => ({ low_a: ampsA - 0.001, high_a: ampsA + 0.001 });
  return {
    schema: 'amptrail/1',
    test: 'drain',
    verdict: { finding: label.right[0], because: [], next: [] },
    levels: [],
    asleep: asleep === null ? null : { at_s: asleep.begins[0]!.toS, level_a: asleep.level.meanA, ...bounds(asleep.level.meanA) },
    wakeups: label.wakeups.map((one) => ({ start_s: one.fromS, end_s: one.toS, peak_a: one.peakA, charge_c: 0 })),
    wake_period_s: period?.meanS ?? null,
    average_a: label.averageA,
    over_limit: label.overLimit[0],
    pulls: label.pulls.map((pull) => ({ label: pull.label, at_s: 0, change_a: pull.change.meanA, ...bounds(pull.change.meanA), carries: pull.right[0] })),
    battery: label.daysToEmpty === null ? null : { days_to_empty: label.daysToEmpty },
    unexplained_a: label.unexplained?.level.meanA ?? null,
    key_off_s: label.keyOff?.toS ?? null,
    possible_pulls: label.possiblePulls.map((pull) => ({ from_s: pull.fromS, to_s: pull.toS, change_a: pull.change.meanA, ...bounds(pull.change.meanA) })),
  };
}
