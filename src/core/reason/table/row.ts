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

/** `out`, `against` and `for` as words with spaces between: a row fits one line. */
export function row(source: SourceKey, lists: { out?: string; against?: string; for?: string }, sources?: TableRow['sources']): TableRow {
  const causes = (text: string | undefined): readonly Cause[] => ((text ?? '').split(' ').filter((word) => word !== '') as Cause[]);
  return { out: causes(lists.out), against: causes(lists.against), for: causes(lists.for), source, ...(sources === undefined ? {} : { sources }) };
}
