import type { TestKind } from '../results.ts';
import type { CompareCheck } from './codes.ts';
import type { ComparedMetric, CompareFinding } from './results.ts';

/** With fewer presses a side than this, chance is not ruled out. Common practice, no published source */
const FEW_PRESSES = 3;

const AFTER_MOTOR: Readonly<Record<CompareFinding, CompareCheck['code']>> = { repaired: 'watch-travel', better: 'fault-left', worse: 'undo-last', unchanged: 'cause-missed' };
const AFTER_DRAIN: Readonly<Record<CompareFinding, CompareCheck['code']>> = { repaired: 'second-night', better: 'drain-left', worse: 'what-differs', unchanged: 'drain-missed' };

/** What to do after a comparison, cheap before dear. `sound`: neither trace showed a fault by itself. */
export function nextSteps(test: TestKind, finding: CompareFinding, pairs: readonly ComparedMetric[], sound: boolean): CompareCheck[] {
  if (sound && finding === 'unchanged') return [{ code: 'both-sound' }];
  if (test === 'drain') return [{ code: AFTER_DRAIN[finding] }];
  const few = pairs.some(({ metric, before_count: before, after_count: after }) => metric === 'duration_s' && Math.min(before, after) < FEW_PRESSES);
  const more: CompareCheck[] = few ? [{ code: 'more-presses' }] : [];
  const own: CompareCheck = { code: AFTER_MOTOR[finding] };
  return finding === 'worse' ? [own, ...more] : [...more, own];
}
