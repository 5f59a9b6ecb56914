import type { JobEvidence } from '../tracefile/record.ts';
import type { Reading, Sign } from './types.ts';

/** By which a job knows when something was answered: a sign, volts at a point, the readings of both leads, a fuse survey. */
export type AnswerKey = Sign | `${Reading['point']}/${Reading['while']}` | 'reversal' | 'fuse_survey';

export function readingKey({ point, while: moment }: Pick<Reading, 'point' | 'while'>): AnswerKey {
  return `${point}/${moment}`;
}

/** Whether it was answered after the repair, and so of the vehicle as it is now. */
export function isSinceRepair({ repair, answered }: Pick<JobEvidence, 'repair' | 'answered'>, key: AnswerKey): boolean {
  return repair === null || Date.parse(answered[key] ?? '') >= Date.parse(repair.at);
}

/** Signs and readings from before the repair, or since. Fields that are not answers stay as they are. */
export function answersOf(evidence: JobEvidence, when: 'before' | 'since'): Pick<JobEvidence, 'signs' | 'readings' | 'reversal' | 'fuse_survey'> {
  const wanted = (key: AnswerKey): boolean => evidence.repair === null ? when === 'before' : isSinceRepair(evidence, key) === (when === 'since');
  return {
    signs: Object.fromEntries(Object.entries(evidence.signs).filter(([sign]) => wanted(sign as Sign))),
    readings: evidence.readings.filter((one) => wanted(readingKey(one))),
    reversal: wanted('reversal') ? evidence.reversal : null,
    fuse_survey: wanted('fuse_survey') ? evidence.fuse_survey : null,
  };
}

/** The changes with the time of each answer in them: of those that differ from `before`, and of `again`, given once more as they were. */
export function withTimes(before: JobEvidence, changes: Partial<JobEvidence>, at: string, again: readonly AnswerKey[] = []): Partial<JobEvidence> {
  const differs = (was: unknown, now: unknown): boolean => now !== undefined && now !== null && JSON.stringify(was) !== JSON.stringify(now);
  const keys = new Set<AnswerKey>(again);
  for (const [sign, answer] of Object.entries(changes.signs ?? {})) if (differs(before.signs[sign as Sign], answer)) keys.add(sign as Sign);
  for (const one of changes.readings ?? []) if (differs(before.readings.find((was) => readingKey(was) === readingKey(one))?.v, one.v)) keys.add(readingKey(one));
  for (const key of ['reversal', 'fuse_survey'] as const) if (differs(before[key], changes[key])) keys.add(key);
  return keys.size === 0 ? changes : { ...changes, answered: { ...before.answered, ...Object.fromEntries([...keys].map((key) => [key, at])) } };
}
