import type { Cause, Effect } from '../types.ts';
import type { SourceKey } from './sources.ts';
import { SIGN_ROWS } from './signs.ts';
import { MOTOR_ROWS } from './motor.ts';
import { DRAIN_ROWS } from './drain.ts';
import { READING_ROWS } from './readings.ts';

/**
 * Causes x observations. A row lists the causes that the observation rules out, speaks against and speaks for; of all others it says nothing.
 * Entries stand for one fault at a time, as a technician reasons first. No entry is a percentage.
 */
const TABLE = { ...SIGN_ROWS, ...MOTOR_ROWS, ...DRAIN_ROWS, ...READING_ROWS };
export type ObservationCode = keyof typeof TABLE;
export const OBSERVATIONS = Object.keys(TABLE) as ObservationCode[];

interface TableEntry {
  readonly effect: Effect;
  readonly source: SourceKey;
}

/** One entry; every pair of observation and cause has one. */
export function entryOf(observation: ObservationCode, cause: Cause): TableEntry {
  const row = TABLE[observation];
  const effect: Effect = row.out.includes(cause) ? 'rules-out' : row.against.includes(cause) ? 'against' : row.for.includes(cause) ? 'for' : 'nothing';
  return { effect, source: row.sources?.[cause] ?? row.source };
}
