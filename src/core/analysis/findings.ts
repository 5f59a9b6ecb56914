/**
 * Every finding there is, once: what it can be said of, how it reads, and what a comparison makes of it. A new finding is one entry here;
 * the compiler then asks for its words (present/en) and its next check.
 */
interface FindingFacts {
  /** press: of one press of the switch · actuation, drain: verdict of a whole test */
  readonly of: readonly ('press' | 'actuation' | 'drain')[];
  /** good: nothing to repair seen · fault: something to repair seen · open: cannot tell, or not yet */
  readonly tone: 'good' | 'fault' | 'open';
  /** how bad, for "better" and "worse" between two findings of one test; null: says nothing of the circuit's health. Our own order */
  readonly severity: number | null;
  /**
   * What a limit of the circuit (the running range, the drain limit) has to do with it · decides: the side of the limit alone tells it from its
   * neighbours, so two traces that differ by this finding may differ by less than their uncertainty · counts: judged by a limit among
   * other things · none. A figure whose bounds hold the limit is reported for the first two
   */
  readonly limit: 'decides' | 'counts' | 'none';
}

export const FINDINGS = {
  normal: { of: ['press', 'actuation'], tone: 'good', severity: 0, limit: 'decides' },
  suspect: { of: ['press', 'actuation'], tone: 'fault', severity: 1, limit: 'counts' },
  light: { of: ['press', 'actuation'], tone: 'fault', severity: 2, limit: 'decides' },
  heavy: { of: ['press', 'actuation'], tone: 'fault', severity: 2, limit: 'decides' },
  intermittent: { of: ['press', 'actuation'], tone: 'fault', severity: 3, limit: 'none' },
  stalled: { of: ['press', 'actuation'], tone: 'fault', severity: 3, limit: 'none' },
  starved: { of: ['actuation'], tone: 'fault', severity: 3, limit: 'none' },
  locked: { of: ['press', 'actuation'], tone: 'fault', severity: 4, limit: 'none' },
  dead: { of: ['actuation'], tone: 'fault', severity: 4, limit: 'none' },
  unpowered: { of: ['actuation'], tone: 'fault', severity: 4, limit: 'none' },
  asleep: { of: ['drain'], tone: 'good', severity: 0, limit: 'decides' },
  waking: { of: ['drain'], tone: 'fault', severity: 2, limit: 'none' },
  drain: { of: ['drain'], tone: 'fault', severity: 3, limit: 'decides' },
  awake: { of: ['drain'], tone: 'open', severity: 4, limit: 'none' },
  'too-short': { of: ['drain'], tone: 'open', severity: null, limit: 'none' },
  unclear: { of: ['press', 'actuation', 'drain'], tone: 'open', severity: null, limit: 'none' },
} as const satisfies Readonly<Record<string, FindingFacts>>;

export type Finding = keyof typeof FINDINGS;
type FindingOf<What extends FindingFacts['of'][number]> = { [F in Finding]: What extends (typeof FINDINGS)[F]['of'][number] ? F : never }[Finding];

/** of one press of the switch */
export type ActuationFinding = FindingOf<'press'>;
/** of a whole motor test */
export type ActuationVerdictFinding = FindingOf<'actuation'>;
/** of a key-off test */
export type DrainFinding = FindingOf<'drain'>;

export function isFindingOf<What extends FindingFacts['of'][number]>(finding: Finding, what: What): finding is FindingOf<What> {
  const { of }: FindingFacts = FINDINGS[finding];
  return of.includes(what);
}

/** Whether a figure near a limit makes this finding less certain. */
export function isJudgedByLimit(finding: Finding): boolean {
  return FINDINGS[finding].limit !== 'none';
}

/** Whether the side of a limit on which one figure lies is all that makes this finding. */
export function isDecidedByLimit(finding: Finding): boolean {
  return FINDINGS[finding].limit === 'decides';
}

export function severityOf(finding: Finding): number | null {
  return FINDINGS[finding].severity;
}
