import type { Finding } from '../../analysis/findings.ts';
import type { Direction } from '../../analysis/results.ts';
import type { MarkKind } from '../../trace.ts';

/** What a stretch of the ribbon is. */
export type SegmentKind = 'inrush' | 'run' | 'stall' | 'dropout' | 'flag' | 'awake' | 'asleep' | 'wake-up' | 'pulled' | 'gap' | 'note' | 'recorded' | 'stretch';

/** What codes are called where there is room for a word: in tables, in a picture, behind a name. */
export interface NamesTexts {
  readonly ways: Readonly<Record<Direction, string>>;
  readonly findings: Readonly<Record<Finding, string>>;
  /** `settled`: at rest above the limit, which is no sleep */
  readonly segments: Readonly<Record<Exclude<SegmentKind, 'flag' | 'pulled' | 'note' | 'recorded' | 'stretch'> | 'settled', string>>;
  readonly marks: Readonly<Record<MarkKind, string>>;
  readonly yes: string;
  readonly no: string;
}
