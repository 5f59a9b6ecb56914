import type { Worker } from 'node:worker_threads';
import { RequestError } from '../errors.ts';
import { startWorker } from './start-worker.ts';
import { statusOf } from '../http/store-status.ts';
import type { TraceWindow } from '../store/trace-reader.ts';
import type { TraceOutline, ViewAnswer, ViewOrder } from './view-worker.ts';

type Unnumbered<T> = T extends unknown ? Omit<T, 'id'> : never;

/** Asks the thread that reads stored traces for pictures. A thread that died is replaced at the next question. All methods reject with RequestError. */
export class TraceViews {
  readonly #waiting = new Map<number, { readonly resolve: (value: unknown) => void; readonly reject: (error: Error) => void }>();
  #worker: Worker | null = null;
  #nextId = 1;
  #closed = false;

  window(path: string, fromS: number, toS: number, columns: number): Promise<TraceWindow> {
    return this.#ask({ do: 'window', path, fromS, toS, columns }) as Promise<TraceWindow>;
  }

  /** Facts and marks of a trace, and what is wrong with it. */
  outline(path: string): Promise<TraceOutline> {
    return this.#ask({ do: 'outline', path }) as Promise<TraceOutline>;
  }

  /** Lets go of a trace whose folder is about to be moved. */
  async forget(path: string): Promise<void> {
    if (this.#worker !== null) await this.#ask({ do: 'forget', path });
  }

  async close(): Promise<void> {
    this.#closed = true;
    const worker = this.#worker;
    this.#lost(worker, 'The daemon is closing.');
    await worker?.terminate();
  }

  #ask(order: Unnumbered<ViewOrder>): Promise<unknown> {
    if (this.#closed) return Promise.reject(new RequestError(503, 'closing', 'The daemon is closing.'));
    const id = this.#nextId++;
    this.#worker ??= this.#start();
    const answer = new Promise((resolve, reject) => this.#waiting.set(id, { resolve, reject }));
    this.#worker.postMessage({ id, ...order });
    return answer;
  }

  #start(): Worker {
    const worker = startWorker('view-worker');
    worker.unref();
    worker.on('message', (answer: ViewAnswer) => {
      const waiting = this.#waiting.get(answer.id);
      this.#waiting.delete(answer.id);
      if ('value' in answer) waiting?.resolve(answer.value);
      else waiting?.reject(new RequestError(statusOf(answer.fault.code), answer.fault.code, answer.fault.text));
    });
    worker.on('error', (error) => this.#lost(worker, `The trace could not be read: ${error.message}`));
    worker.on('exit', () => this.#lost(worker, 'The trace could not be read: its thread ended.'));
    return worker;
  }

  #lost(worker: Worker | null, text: string): void {
    if (worker === null || this.#worker !== worker) return;
    this.#worker = null;
    for (const { reject } of this.#waiting.values()) reject(new RequestError(500, 'internal', text));
    this.#waiting.clear();
  }
}
