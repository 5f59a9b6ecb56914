import type { Problem } from '../../problems.ts';
import type { RESULT_SCHEMA, TestKind } from '../results.ts';
import type { CompareCheck, CompareEvidence, CompareProblem } from './codes.ts';
import type { ComparedMetric, CompareFinding } from './metrics/compared-metric.ts';

export type { BoundsMethod, ComparedMetric, CompareFinding, Judgement } from './metrics/compared-metric.ts';

/** A comparison with codes in place of sentences; `core/present/documents/document-compare.ts` makes the public document of it. */
export type ComparisonReading = Omit<CompareResult, 'problems' | 'verdict'> & { problems: CompareProblem[]; verdict: CompareVerdict };

export interface CompareVerdict {
  readonly finding: CompareFinding;
  /** the traces do not carry a comparison */
  readonly claims?: false;
  readonly because: readonly CompareEvidence[];
  readonly next: readonly CompareCheck[];
}

export interface CompareResult {
  schema: typeof RESULT_SCHEMA;
  test: TestKind;
  before_finding: string;
  after_finding: string;
  pairs: ComparedMetric[];
  problems: Problem[];
  /** `claims: false`: the traces do not carry a comparison (a finding or a unit in question); `unchanged` then only means that nothing is claimed */
  verdict: { finding: CompareFinding; claims?: false; because: string[]; next: string[] };
}
