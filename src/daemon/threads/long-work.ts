import { StoreError } from '../store/files/store-error.ts';
import { Channel } from './channel.ts';
import type { LongOrder } from './long-worker.ts';
import { startWorker } from './start-worker.ts';
import { en } from '../../core/present/en/index.ts';

const words = en.daemon.running.longWork;

export interface LongOptions {
  readonly progress?: (fraction: number) => void;
  readonly signal?: AbortSignal;
}

/** Pieces of long work at once: the machine may have two cores, and one of them reads the logger. */
const AT_ONCE = 1;

/** Does long work in threads, one after the other, each in a thread of its own whose end cancels it; the serial reader of the main thread never waits for it. */
export class LongWork {
  #running = 0;
  #queue: (() => void)[] = [];
  readonly #closing = new AbortController();

  /** Rejects with StoreError: what the work itself found wrong, or `cancelled`. */
  async run<T>(order: LongOrder, { progress, signal }: LongOptions = {}): Promise<T> {
    const cancel = signal === undefined ? this.#closing.signal : AbortSignal.any([signal, this.#closing.signal]);
    // the one that ends hands its place to the one that waits longest
    if (this.#running >= AT_ONCE) await new Promise<void>((resolve) => this.#queue.push(resolve));
    else this.#running++;
    try {
      if (cancel.aborted) throw new StoreError('cancelled', words.cancelled);
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

async function inThread(order: LongOrder, progress: ((fraction: number) => void) | undefined, cancel: AbortSignal): Promise<unknown> {
  const channel = new Channel<LongOrder>({ start: () => startWorker('long-worker'), what: words.theWorkCouldNot });
  const stop = (): void => void channel.close('cancelled', words.cancelled);
  cancel.addEventListener('abort', stop, { once: true });
  try {
    return await channel.ask(order, progress);
  } finally {
    cancel.removeEventListener('abort', stop);
    await channel.close();
  }
}
