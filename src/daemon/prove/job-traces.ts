import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import type { AnalysisResult } from '../../core/analysis/results.ts';
import type { JobTrace } from '../../core/reason/job-case.ts';
import { openTrace } from '../store/trace-reader.ts';
import { isSafeName } from '../store/names.ts';
import { analyseTrace } from '../threads/analyse-trace.ts';
import { readResult } from '../threads/result-cache.ts';
import { namesOf } from './gather.ts';
import type { TraceRecord } from '../../core/tracefile/record.ts';

export interface JobTraces {
  readonly traces: readonly JobTrace[];
  /** traces that could not be read, or do not say which test they are; by name, with the reason */
  readonly unread: readonly { readonly name: string; readonly why: string }[];
}

/**
 * The traces of a job folder with their analyses, oldest first. The analysis kept beside a trace is taken as it stands; one that was never
 * analysed is analysed now, which can take seconds.
 */
export async function readJobTraces(folder: string, signal?: AbortSignal): Promise<JobTraces> {
  const found: { record: TraceRecord; result: AnalysisResult }[] = [];
  const unread: { name: string; why: string }[] = [];
  const entries = await readdir(folder, { withFileTypes: true });
  for (const entry of entries.filter((one) => one.isDirectory() && isSafeName(one.name)).sort((a, b) => (a.name < b.name ? -1 : 1))) {
    try {
      const one = await readOne(join(folder, entry.name), signal);
      if (one.result === null) unread.push({ name: one.record.title || entry.name, why: 'it does not say which test it is' });
      else found.push({ record: one.record, result: one.result });
    } catch (error) {
      signal?.throwIfAborted();
      unread.push({ name: entry.name, why: error instanceof Error ? error.message : String(error) });
    }
  }
  const names = namesOf(found.map(({ record }) => record));
  return { traces: found.map(({ record, result }, at) => ({ id: record.id, name: names[at]!, start: record.start, result })), unread };
}

async function readOne(path: string, signal: AbortSignal | undefined): Promise<{ record: TraceRecord; result: AnalysisResult | null }> {
  const reader = await openTrace(path, signal === undefined ? {} : { signal });
  try {
    const { record } = reader;
    const kept = await readResult(path);
    if (kept !== null) return { record, result: kept };
    if (record.test === null) return { record, result: null };
    return { record, result: await analyseTrace(reader, { test: record.test, ...(signal === undefined ? {} : { signal }) }) };
  } finally {
    await reader.close();
  }
}
