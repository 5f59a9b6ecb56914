import { RequestError } from '../errors.ts';
import type { LongAnswer, LongOrder } from './long-worker.ts';
import { statusOf } from '../http/store-status.ts';
import { startWorker } from './start-worker.ts';

export interface LongOptions {
  readonly progress?: (fraction: number) => void;
  readonly signal?: AbortSignal;
}

/** Pieces of long work at once: the machine may have two cores, and one of them reads the logger. */
const AT_ONCE = 1;

/** Does long work in threads, one after the other; the serial reader of the main thread never waits for it. */
export class LongWork {
  #running = 0;
  #queue: (() => void)[] = [];
  readonly #closing = new AbortController();

  /** Rejects with RequestError: what the work itself found wrong, or `cancelled`. */
  async run<T>(order: LongOrder, { progress, signal }: LongOptions = {}): Promise<T> {
    const cancel = signal === undefined ? this.#closing.signal : AbortSignal.any([signal, this.#closing.signal]);
    // the one that ends hands its place to the one that waits longest
    if (this.#running >= AT_ONCE) await new Promise<void>((resolve) => this.#queue.push(resolve));
    else this.#running++;
    try {
      if (cancel.aborted) throw cancelled();
      return (await inThread(order, progress, cancel)) as T;
    } finally {
      const next = this.#queue.shift();
      if (next === undefined) this.#running--;
      else next();
    }
  }

  /** cancels what runs and what waits */
  close(): void {
    this.#closing.abort();
  }
}

function inThread(order: LongOrder, progress: ((fraction: number) => void) | undefined, cancel: AbortSignal): Promise<unknown> {
  const worker = startWorker('long-worker', order);
  return new Promise((resolve, reject) => {
    const stop = (): void => {
      reject(cancelled());
      void worker.terminate();
    };
    cancel.addEventListener('abort', stop, { once: true });
    worker.on('message', (answer: LongAnswer) => {
      if ('fraction' in answer) return progress?.(answer.fraction);
      if ('value' in answer) resolve(answer.value);
      else reject(new RequestError(statusOf(answer.fault.code), answer.fault.code, answer.fault.text));
      return undefined;
    });
    worker.on('error', (error) => reject(new RequestError(500, 'internal', `The work could not be finished: ${error.message}`)));
    worker.on('exit', () => {
      cancel.removeEventListener('abort', stop);
      // without effect when an answer came before
      reject(new RequestError(500, 'internal', 'The work ended without an answer.'));
    });
  });
}

function cancelled(): RequestError {
  return new RequestError(499, 'cancelled', 'Cancelled.');
}
