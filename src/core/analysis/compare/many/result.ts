import type { Problem } from '../../../problems.ts';
import type { ManyCheck, ManyEvidence, ManyProblem, StandsOut } from '../codes.ts';
import type { AnalysisResult, Direction, RESULT_SCHEMA, TestKind, VerdictBasis } from '../../results.ts';

/** Several traces of one test side by side; names are public and never renamed. */
export interface ManyResult {
  schema: typeof RESULT_SCHEMA;
  test: TestKind;
  /** outlier first */
  traces: ManyTrace[];
  /** every actuation of every trace, outlier first; empty for a drain test */
  actuations: ManyActuation[];
  problems: Problem[];
  /** one: something stands out · alike: nothing does · cannot-tell: too few to say, or their findings differ */
  verdict: { finding: 'one-stands-out' | 'alike' | 'cannot-tell'; because: string[]; next: string[] };
}

interface Placed {
  /** place in the order the traces were given, from 0 */
  trace: number;
  finding: string;
  /** what a motor test's finding was judged by; absent for a key-off test */
  basis?: VerdictBasis;
  /** robust standard deviations from the others (see outlier.ts) */
  distance: number;
  outlier: boolean;
  /** what stands out most, in words; empty when nothing does */
  because: string;
}

interface ManyTrace extends Placed {
  name: string;
  /** middle of each figure over the trace's actuations, by direction; null direction for a drain test */
  figures: { direction: Direction | null; metric: string; value: number }[];
}

interface ManyActuation extends Placed {
  /** within its trace and direction, from 1 */
  number: number;
  direction: Direction;
  start_s: number;
  end_s: number;
}

/** The same with codes in place of sentences; `core/present/documents/document-compare.ts` makes the public document of it. */
export interface ManyReading extends Omit<ManyResult, 'traces' | 'actuations' | 'problems' | 'verdict'> {
  traces: PlacedTrace[];
  actuations: PlacedActuation[];
  problems: ManyProblem[];
  verdict: { finding: ManyResult['verdict']['finding']; because: ManyEvidence[]; next: ManyCheck[] };
}

/** what stands out most; null when nothing does */
interface WithReason {
  because: StandsOut | null;
}
export type PlacedTrace = Omit<ManyTrace, 'because'> & WithReason;
export type PlacedActuation = Omit<ManyActuation, 'because'> & WithReason;

export interface NamedResult {
  readonly name: string;
  readonly result: AnalysisResult;
}
