import type { Problem } from '../../../core/problems.ts';

/** What became of a conversion, for the one who asked for it. */
export interface ConvertSummary {
  readonly samples: number;
  readonly problems: readonly Problem[];
  /** of an export of many traces */
  readonly files?: FileCounts;
  /** of those refused: not because they are still being recorded */
  readonly unusable?: number;
}

export interface FileCounts {
  written: number;
  /** there already, from the same recording with the same facts */
  skipped: number;
  /** written anew because the facts, or the folder they belong to, have changed */
  replaced: number;
  /** left out, each with a problem that says why */
  refused: number;
  /** of traces that are gone */
  removed: number;
}
