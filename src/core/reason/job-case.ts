import type { TestKind } from '../analysis/results.ts';
import type { JobEvidence } from '../tracefile/record.ts';
import { caseFileOf, type Case } from './case.ts';
import { answersOf } from './answered.ts';
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

const DRAIN_SIGNS: readonly Sign[] = ['flat-after-standing', 'new-accessory', 'battery-tested-good', 'sleeps-after-refit'];

/** What a job's signs, traces and readings leave; after a repair, what the traces, answers and readings since then leave: older ones are of the vehicle as it was, and are asked again. A sentence where something cannot be used. */
export function reasonJob(evidence: JobEvidence, traces: readonly JobTrace[]): JobReasoning | string {
  const test = evidence.test ?? testOf(evidence, traces);
  const { repair } = evidence;
  const since = repair === null ? Infinity : Date.parse(repair.at);
  const caseOf = (some: readonly JobTrace[], when: 'before' | 'since' | null): { case: Case; leftOut: readonly string[] } | string => {
    const results = some.map(({ id, result }) => (evidence.uncoupled.includes(id) && typeof result === 'object' ? { ...result, uncoupled: true } : result));
    const { fuse_survey: survey = null, ...rest } = when === null ? {} : answersOf(evidence, when);
    const read = readCase({ test, results, ...rest }, (index) => some[index].name);
    if (!read.ok) return read.error;
    const surveyed = test === 'drain' ? observeSurvey(survey) : [];
    return { ...read, case: { ...read.case, seen: [...read.case.seen, ...surveyed] } };
  };
  const before = caseOf(traces.filter(({ start }) => !(Date.parse(start) >= since)), 'before');
  if (typeof before === 'string') return before;
  const left = whatIsLeft(caseFileOf(before.case));
  if (repair === null) return { test, left, next: nextStep(before.case, left), proof: null, leftOut: before.leftOut };
  const later = traces.filter(({ start }) => Date.parse(start) >= since);
  const recorded = caseOf(later, null);
  const after = caseOf(later, 'since');
  if (typeof recorded === 'string') return recorded;
  if (typeof after === 'string') return after;
  const proof = proofOf(repair.cause, { left, seen: before.case.seen }, { traces: later.length - after.leftOut.length, seen: recorded.case.seen });
  const leftOut = [...before.leftOut, ...after.leftOut];
  if (proof.state === 'not-tested') return { test, left, next: null, proof, leftOut };
  const leftNow = whatIsLeft(caseFileOf(after.case));
  const done = proof.state !== 'still-open' && proof.state !== 'cannot-tell';
  return { test, left: leftNow, next: done ? null : nextStep(after.case, leftNow), proof, leftOut };
}

/** By the newest trace that says, else by the signs; a motor where nothing says. */
function testOf({ signs }: JobEvidence, traces: readonly JobTrace[]): TestKind {
  const newest = [...traces].sort((a, b) => (a.start < b.start ? 1 : -1)).map(({ result }) => (result as { test?: unknown } | null)?.test).find((test) => test === 'actuation' || test === 'drain');
  return newest ?? (DRAIN_SIGNS.some((sign) => signs[sign] !== undefined) ? 'drain' : 'actuation');
}
