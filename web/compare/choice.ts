import { signal } from '@preact/signals';
import type { TestKind } from '../../src/core/analysis/results.ts';
import type { JobRecord } from '../../src/core/tracefile/record.ts';
import type { TraceRef, TraceView } from '../../src/core/wire/api.ts';
import { language } from '../../src/core/present/language.ts';

const words = language.screens.compare.choice;

/** The two traces set against each other; kept while one goes on from comparing to the page that proves it. */
export const beforeKey = signal('');
export const afterKey = signal('');
/** Share below which a change of the pair counts as the same; null: each figure's own. */
export const tolerance = signal<number | null>(null);
/** Those set side by side; null: nobody has chosen yet. */
export const manyKeys = signal<readonly string[] | null>(null);
/** What the page to hand over is made of: the pair, or those side by side. */
export const proving = signal<'pair' | 'many'>('pair');

/** As many as the daemon sets side by side. */
export const MOST_SIDE_BY_SIDE = 8;

/** `JOB/TRACE`, as the value of a list entry and as the report's address takes it. */
export function keyOf({ jobId, record }: TraceView): string {
  return `${jobId}/${record.id}`;
}

export function refOf(key: string): TraceRef {
  const [jobId = '', traceId = ''] = key.split('/');
  return { jobId, traceId };
}

export function findTrace(traces: readonly TraceView[], key: string): TraceView | undefined {
  return traces.find((trace) => keyOf(trace) === key);
}

/** The job that recordings go to, as far as it decides which pair is offered. */
export type PairJob = Pick<JobRecord, 'id' | 'repair'>;

/**
 * What a technician compares at the end of a job: of one test the newest trace before the repair and the newest since. Where no repair is
 * written down, the newest two of one job and one test, older first; of the given job alone where there is one. Never one of the virtual vehicle beside another. Null when there are none.
 */
export function likelyPair(tracesNewestFirst: readonly TraceView[], job: PairJob | null = null): { readonly before: string; readonly after: string } | null {
  const ended = tracesNewestFirst.filter(({ jobId, record }) => record.end !== 'running' && (job === null || jobId === job.id));
  const repairedAt = job?.repair == null ? null : Date.parse(job.repair.at);
  const isSince = ({ record }: TraceView): boolean => repairedAt !== null && Date.parse(record.start) >= repairedAt;
  for (const [index, after] of ended.entries()) {
    if (repairedAt !== null && !isSince(after)) return null;
    const before = ended.slice(index + 1).find((one) => one.jobId === after.jobId && one.record.test === after.record.test && one.record.simulated === after.record.simulated && !isSince(one));
    if (before !== undefined) return { before: keyOf(before), after: keyOf(after) };
  }
  return null;
}

/** The likely pair; where there is none and `orOne`, the newest trace alone. */
function pairOrOne(traces: readonly TraceView[], job: PairJob | null, orOne: boolean): { readonly before: string; readonly after: string } {
  const newest = orOne ? traces.find((one) => one.record.end !== 'running' && (job === null || one.jobId === job.id)) : undefined;
  return likelyPair(traces, job) ?? { before: newest === undefined ? '' : keyOf(newest), after: '' };
}

/** The pair offered last, and the job that recordings went to then; undefined: nothing was offered yet. */
let offered: { readonly before: string; readonly after: string; readonly jobId: string | null | undefined } = { before: '', after: '', jobId: undefined };

/** Offers the likely pair, or the one trace there is where `orOne`; what a person has chosen stays, until recordings go to another job. */
export function offerPair(traces: readonly TraceView[], job: PairJob | null, orOne = false): void {
  const jobId = job?.id ?? null;
  const chosen = beforeKey.peek() !== offered.before || afterKey.peek() !== offered.after;
  if (chosen && (offered.jobId === undefined || offered.jobId === jobId)) return;
  offered = { ...pairOrOne(traces, job, orOne), jobId };
  beforeKey.value = offered.before;
  afterKey.value = offered.after;
}

/** Takes the pair of this job and test, or the one trace there is where `orOne`, whatever job recordings go to now. */
export function choosePairOf(traces: readonly TraceView[], job: PairJob, test: TestKind, orOne = false): void {
  const pair = pairOrOne(traces.filter(({ record }) => record.test === test), job, orOne);
  if (pair.before === '') return;
  beforeKey.value = pair.before;
  afterKey.value = pair.after;
  proving.value = 'pair';
}

/** Those of the newest trace's job and test, the newest first: both sides, both directions of one vehicle. */
export function likelyGroup(tracesNewestFirst: readonly TraceView[]): readonly string[] {
  const ended = tracesNewestFirst.filter(({ record }) => record.end !== 'running');
  const first = ended[0];
  if (first === undefined) return [];
  return ended.filter(({ jobId, record }) => jobId === first.jobId && record.test === first.record.test).slice(0, MOST_SIDE_BY_SIDE).map(keyOf);
}

/** Why two traces cannot be compared, before the daemon is asked; empty when they can be. */
export function pairTrouble(before: TraceView | undefined, after: TraceView | undefined): string {
  if (before === undefined || after === undefined) return '';
  if (keyOf(before) === keyOf(after)) return words.bothAreTheSame;
  if (before.record.end === 'running' || after.record.end === 'running') return words.oneOfThemIs;
  const [first, second] = [before.record.test, after.record.test];
  if (first !== null && second !== null && first !== second) {
    return words.oneIsAMotor;
  }
  return '';
}

/** The same for several; asked of those that are chosen. */
export function groupTrouble(chosen: readonly TraceView[]): string {
  if (chosen.length > MOST_SIDE_BY_SIDE) return words.atMostAreSet(MOST_SIDE_BY_SIDE);
  if (chosen.some(({ record }) => record.end === 'running')) return words.oneOfThemIs;
  const tests = new Set(chosen.flatMap(({ record }) => record.test ?? []));
  return tests.size > 1 ? words.someAreMotorTests : '';
}
