import type { Problem } from '../problems.ts';
import type { NearLimit } from './uncertainty/near-limit.ts';

/**
 * What an analysis says, field by field as scripts rely on it: these types are the public JSON (`amptrail analyse --json`), so their
 * names are snake_case with a unit suffix, and they are never renamed or removed. Every `low_…`/`high_…` pair is a 95 % interval.
 * Times are seconds of the trace.
 */
export const RESULT_SCHEMA = 'amptrail/1';

export type TestKind = 'actuation' | 'drain';

export interface GapFields {
  start_s: number;
  end_s: number;
}

interface TraceFacts {
  samples: number;
  duration_s: number;
  rate_hz: number;
  gaps: GapFields[];
  /** where the voltage lead sits, by whether it falls to zero between actuations; null without voltage or when it is not known */
  voltage_at: 'motor' | 'battery' | null;
}

export interface Verdict<Finding extends string> {
  finding: Finding;
  /** the figures that prove it, one sentence each */
  because: string[];
  /** what to check next, easy before hard, cheap before dear */
  next: string[];
}

export interface ResultCommon<Test extends TestKind, Finding extends string> {
  schema: typeof RESULT_SCHEMA;
  test: Test;
  trace: TraceFacts;
  problems: Problem[];
  verdict: Verdict<Finding>;
  /** figures within their uncertainty of a limit that the finding hangs on; absent in results of older versions */
  near_limits?: NearLimit[];
}
