import type { TestKind } from '../analysis/results.ts';
import type { JobEvidence } from '../tracefile/record.ts';
import { caseFileOf, type Case } from './case.ts';
import type { CheckCode } from './checks.ts';
import type { WhatIsLeft } from './evidence.ts';
import { nextStep, type NextStep } from './next.ts';
import { proofOf, type Proof } from './proof.ts';
import { readCase } from './read-case.ts';
import { observeSurvey } from './survey-evidence.ts';
import type { Sign } from './types.ts';
import { whatIsLeft } from './weigh.ts';

/** A trace of the job with what its analysis said. */
export interface JobTrace {
  readonly id: string;
  /** as people know it */
  readonly name: string;
  /** RFC 3339 UTC */
  readonly start: string;
  /** the `analyse --json` document */
  readonly result: unknown;
}

export interface JobReasoning {
  readonly test: TestKind;
  readonly left: WhatIsLeft;
  readonly next: NextStep | null;
  /** null as long as nothing was repaired */
  readonly proof: Proof | null;
  /** traces of the other kind of test */
  readonly leftOut: readonly string[];
}

/** After a repair traces alone count, since they know when they were taken: what only a person's answer or reading would settle is not asked again. */
const RECORDED: ReadonlySet<CheckCode> = new Set(['record-press', 'uncouple', 'record-night']);

const DRAIN_SIGNS: readonly Sign[] = ['flat-after-standing', 'new-accessory', 'battery-tested-good', 'sleeps-after-refit'];

/** What a job's signs, traces and readings leave; after a repair, what the traces since then leave. A sentence where something cannot be used. */
export function reasonJob(evidence: JobEvidence, traces: readonly JobTrace[]): JobReasoning | string {
  const test = evidence.test ?? testOf(evidence, traces);
  const { repair } = evidence;
  const since = repair === null ? Infinity : Date.parse(repair.at);
  const caseOf = (some: readonly JobTrace[], withRest: boolean): { case: Case; leftOut: readonly string[] } | string => {
    const results = some.map(({ id, result }) => (evidence.uncoupled.includes(id) && typeof result === 'object' ? { ...result, uncoupled: true } : result));
    const rest = withRest ? { signs: evidence.signs, readings: evidence.readings, reversal: evidence.reversal } : {};
    const read = readCase({ test, results, ...rest }, (index) => some[index].name);
    if (!read.ok) return read.error;
    const surveyed = withRest && test === 'drain' ? observeSurvey(evidence.fuse_survey) : [];
    return { ...read, case: { ...read.case, seen: [...read.case.seen, ...surveyed] } };
  };
  const before = caseOf(traces.filter(({ start }) => !(Date.parse(start) >= since)), true);
  if (typeof before === 'string') return before;
  const left = whatIsLeft(caseFileOf(before.case));
  if (repair === null) return { test, left, next: nextStep(before.case, left), proof: null, leftOut: before.leftOut };
  const later = traces.filter(({ start }) => Date.parse(start) >= since);
  const after = caseOf(later, false);
  if (typeof after === 'string') return after;
  const proof = proofOf(repair.cause, { left, seen: before.case.seen }, { traces: later.length - after.leftOut.length, seen: after.case.seen });
  const leftOut = [...before.leftOut, ...after.leftOut];
  if (proof.state === 'not-tested') return { test, left, next: null, proof, leftOut };
  const leftNow = whatIsLeft(caseFileOf(after.case));
  const done = proof.state !== 'still-open' && proof.state !== 'cannot-tell';
  return { test, left: leftNow, next: done ? null : nextStep(after.case, leftNow, ({ code }) => RECORDED.has(code)), proof, leftOut };
}

/** By the newest trace that says, else by the signs; a motor where nothing says. */
function testOf({ signs }: JobEvidence, traces: readonly JobTrace[]): TestKind {
  const newest = [...traces].sort((a, b) => (a.start < b.start ? 1 : -1)).map(({ result }) => (result as { test?: unknown } | null)?.test).find((test) => test === 'actuation' || test === 'drain');
  return newest ?? (DRAIN_SIGNS.some((sign) => signs[sign] !== undefined) ? 'drain' : 'actuation');
}
