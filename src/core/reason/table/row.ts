import type { Cause } from '../types.ts';
import type { SourceKey } from './sources.ts';

/** One observation of the table; causes in none of the lists: it says nothing about them. */
export interface TableRow {
  readonly out: readonly Cause[];
  readonly against: readonly Cause[];
  readonly for: readonly Cause[];
  readonly source: SourceKey;
  /** where single entries have a source of their own */
  readonly sources?: Readonly<Partial<Record<Cause, SourceKey>>>;
}

/** A row of what a recording shows, or a check that serves as one. */
export interface TraceRow extends TableRow, Shown {}

/** What it says beside the causes. */
interface Shown {
  /**
   * good: within its limits, or asleep under its limit · runs: it runs, and nothing says how hard · failed: it did not do its work · fault: it worked, and
   * something is wrong. What a recording after the repair proves follows from it
   */
  readonly works: 'good' | 'runs' | 'failed' | 'fault';
  /** current flowed while the switch was held: the feed is not open */
  readonly flows: boolean;
}

/** `out`, `against` and `for` as words with spaces between: a row fits one line. */
export function row(source: SourceKey, lists: { out?: string; against?: string; for?: string }, sources?: TableRow['sources']): TableRow {
  const causes = (text: string | undefined): readonly Cause[] => ((text ?? '').split(' ').filter((word) => word !== '') as Cause[]);
  return { out: causes(lists.out), against: causes(lists.against), for: causes(lists.for), source, ...(sources === undefined ? {} : { sources }) };
}

export function traceRow(shown: Shown, ...about: Parameters<typeof row>): TraceRow {
  return { ...row(...about), ...shown };
}
