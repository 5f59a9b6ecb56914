import type { Cause, Effect } from '../types.ts';
import type { TraceRow } from './row.ts';
import type { SourceKey } from './sources.ts';
import { SIGN_ROWS } from './signs.ts';
import { MOTOR_ROWS } from './motor.ts';
import { DRAIN_ROWS } from './drain.ts';
import { READING_ROWS } from './readings.ts';

const TRACE_TABLE = { ...MOTOR_ROWS, ...DRAIN_ROWS };
/** what a recording can show */
type TraceObservation = keyof typeof TRACE_TABLE;

/**
 * Causes x observations. A row lists the causes that the observation rules out, speaks against and speaks for; of all others it says nothing.
 * Each entry assumes a single fault, as a technician does first. No entry is a percentage.
 */
const TABLE = { ...SIGN_ROWS, ...TRACE_TABLE, ...READING_ROWS };
export type ObservationCode = keyof typeof TABLE;

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

/** What it says of the circuit at work. Signs, and volts read with a meter, speak of a fault. */
export function worksBy(observation: ObservationCode): TraceRow['works'] {
  return isOfTrace(observation) ? TRACE_TABLE[observation].works : 'fault';
}

/** Whether current flowed while the switch was held. */
export function flowsBy(observation: ObservationCode): boolean {
  return isOfTrace(observation) && TRACE_TABLE[observation].flows;
}

function isOfTrace(observation: ObservationCode): observation is TraceObservation {
  return Object.hasOwn(TRACE_TABLE, observation);
}
