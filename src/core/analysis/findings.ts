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
}

export const FINDINGS = {
  normal: { of: ['press', 'actuation'], tone: 'good', severity: 0 },
  suspect: { of: ['press', 'actuation'], tone: 'fault', severity: 1 },
  light: { of: ['press', 'actuation'], tone: 'fault', severity: 2 },
  heavy: { of: ['press', 'actuation'], tone: 'fault', severity: 2 },
  intermittent: { of: ['press', 'actuation'], tone: 'fault', severity: 3 },
  stalled: { of: ['press', 'actuation'], tone: 'fault', severity: 3 },
  starved: { of: ['actuation'], tone: 'fault', severity: 3 },
  locked: { of: ['press', 'actuation'], tone: 'fault', severity: 4 },
  dead: { of: ['actuation'], tone: 'fault', severity: 4 },
  unpowered: { of: ['actuation'], tone: 'fault', severity: 4 },
  asleep: { of: ['drain'], tone: 'good', severity: 0 },
  waking: { of: ['drain'], tone: 'fault', severity: 2 },
  drain: { of: ['drain'], tone: 'fault', severity: 3 },
  awake: { of: ['drain'], tone: 'open', severity: 4 },
  'too-short': { of: ['drain'], tone: 'open', severity: null },
  unclear: { of: ['press', 'actuation', 'drain'], tone: 'open', severity: null },
} as const satisfies Readonly<Record<string, FindingFacts>>;

export type Finding = keyof typeof FINDINGS;
type FindingOf<What extends FindingFacts['of'][number]> = { [F in Finding]: What extends (typeof FINDINGS)[F]['of'][number] ? F : never }[Finding];

/** of one press of the switch */
export type ActuationFinding = FindingOf<'press'>;
/** of a whole motor test */
export type ActuationVerdictFinding = FindingOf<'actuation'>;
/** of a key-off test */
export type DrainFinding = FindingOf<'drain'>;

export function severityOf(finding: Finding): number | null {
  return FINDINGS[finding].severity;
}
