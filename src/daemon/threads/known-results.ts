import { stat } from 'node:fs/promises';
import { join } from 'node:path';
import type { ActuationOptions } from '../../core/analysis/options.ts';
import type { AnalysisResult, TestKind } from '../../core/analysis/results.ts';
import { SAMPLES_FILE } from '../store/files/record-file.ts';
import type { TraceReader } from '../store/samples/reading/trace-reader.ts';
import { analyseTrace } from './analyse-trace.ts';

/** A job has a handful of traces; the results of so many are kept, each some tens of kilobytes. */
const KEPT = 16;

export interface ResultRequest {
  readonly test: TestKind;
  readonly actuation?: ActuationOptions;
  readonly progress?: (fraction: number) => void;
}

/**
 * Results of the stored traces analysed last. An analysis depends on nothing but the samples, what the trace's record holds, its marks and gaps, and what is asked: where all of these are
 * what they were, so is the result, and comparing, placing and reporting the traces of a job analyses each of them once.
 */
export class KnownResults {
  readonly #kept = new Map<string, AnalysisResult>();

  /** The result of the trace at `path`, opened as `reader`. Whoever gets it may change it. */
  async of(path: string, reader: TraceReader, { progress, ...asked }: ResultRequest): Promise<AnalysisResult> {
    const key = await everythingItDependsOn(path, reader, asked);
    const known = key === null ? undefined : this.#kept.get(key);
    if (known !== undefined) {
      progress?.(1);
      return structuredClone(known);
    }
    const faults = reader.problems.length;
    const result = await analyseTrace(reader, { ...asked, ...(progress === undefined ? {} : { progress }) });
    // a block that proved damaged only now is found, with its gap, by reading it again
    if (key !== null && reader.problems.length === faults) this.#keep(key, structuredClone(result));
    return result;
  }

  #keep(key: string, result: AnalysisResult): void {
    this.#kept.set(key, result);
    for (const oldest of this.#kept.keys()) {
      if (this.#kept.size <= KEPT) break;
      this.#kept.delete(oldest);
    }
  }
}

/** Null for a recording that has not ended: its samples grow. */
async function everythingItDependsOn(path: string, reader: TraceReader, asked: object): Promise<string | null> {
  const { record, marks, gaps, problems, samples } = reader;
  if (record.end === 'running') return null;
  const file = await stat(join(path, SAMPLES_FILE)).catch(() => null);
  return file === null ? null : JSON.stringify([path, file.ino, file.size, file.mtimeMs, samples, record, marks, gaps, problems, asked]);
}
