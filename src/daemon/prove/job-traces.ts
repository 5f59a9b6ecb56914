import type { AnalysisResult } from '../../core/analysis/results.ts';
import type { JobTrace } from '../../core/reason/job-case.ts';
import type { TraceRecord } from '../../core/tracefile/record.ts';
import { readResult } from '../store/records/result-cache.ts';
import { nameOf, namesOf } from './gather.ts';
import { language } from '../../core/present/language.ts';

const words = language.daemon.running.jobTraces;

interface JobTraces {
  readonly traces: readonly JobTrace[];
  /** traces that could not be read, or do not say which test they are; by name, with the reason */
  readonly unread: readonly { readonly name: string; readonly why: string }[];
}

export interface TraceFolder {
  readonly path: string;
  readonly record: TraceRecord;
}

/**
 * The traces of a job with their analyses, oldest first. The analysis kept beside a trace is used as it is; one that was never made is made
 * now by `analyse`, which can take seconds. A trace that is being recorded says nothing yet.
 */
export async function readJobTraces(folders: readonly TraceFolder[], analyse: (folder: TraceFolder) => Promise<AnalysisResult>): Promise<JobTraces> {
  const found: { record: TraceRecord; result: AnalysisResult }[] = [];
  const unread: { name: string; why: string }[] = [];
  for (const folder of [...folders].sort((a, b) => (a.record.start < b.record.start ? -1 : 1))) {
    const { record, path } = folder;
    if (record.end === 'running') continue;
    const kept = await readResult(path);
    if (kept === null && record.test === null) {
      unread.push({ name: nameOf(record), why: words.itDoesNotSay });
      continue;
    }
    try {
      found.push({ record, result: kept ?? (await analyse(folder)) });
    } catch (error) {
      if (error instanceof Error && 'code' in error && error.code === 'cancelled') throw error;
      unread.push({ name: nameOf(record), why: error instanceof Error ? error.message : String(error) });
    }
  }
  const names = namesOf(found.map(({ record }) => record));
  return { traces: found.map(({ record, result }, at) => ({ id: record.id, name: names[at]!, start: record.start, result })), unread };
}
