import type { TraceRef } from '../../core/wire/api.ts';
import { language } from '../../core/present/language.ts';
import { StoreError } from './files/store-error.ts';
import type { TraceWriter } from './samples/writing/trace-writer.ts';

const words = language.daemon.store.runningTraces;

/** The captures that are being recorded. By job and trace: a copy of a running trace in another job is another trace. */
export class RunningTraces {
  readonly #writers = new Map<string, TraceWriter>();

  /** until its files are closed */
  add(ref: TraceRef, writer: TraceWriter): void {
    const key = keyOf(ref);
    this.#writers.set(key, writer);
    void writer.closed.then(() => this.#writers.delete(key));
  }

  get(ref: TraceRef): TraceWriter | undefined {
    return this.#writers.get(keyOf(ref));
  }

  /** Throws StoreError `running` while the trace is being recorded. */
  refuse(ref: TraceRef, what: keyof typeof words.isRecorded): void {
    if (this.#writers.has(keyOf(ref))) throw new StoreError('running', words.isRecorded[what]);
  }

  /** The same for any trace of a job. */
  refuseJob(jobId: string): void {
    if ([...this.#writers.keys()].some((key) => key.startsWith(`${jobId}/`))) throw new StoreError('running', words.aTraceOfThis);
  }

  async finishAll(): Promise<void> {
    for (const writer of this.#writers.values()) await writer.finish('shutdown').catch(() => undefined);
    this.#writers.clear();
  }
}

function keyOf({ jobId, traceId }: TraceRef): string {
  return `${jobId}/${traceId}`;
}
