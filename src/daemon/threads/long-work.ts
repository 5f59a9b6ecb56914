import { StoreError } from '../store/files/store-error.ts';
import { Channel } from './channel.ts';
import type { LongOrder } from './long-worker.ts';
import { startWorker } from './start-worker.ts';
import { language } from '../../core/present/language.ts';

const words = language.daemon.running.longWork;

interface LongOptions {
  readonly progress?: (fraction: number) => void;
  readonly signal?: AbortSignal;
}

/** Pieces of long work at once: the machine may have two cores, and one of them reads the logger. */
const AT_ONCE = 1;

/** A thread that has nothing more to do ends after so long: time to go from one comparison or report to the next. Until then it has its code loaded and warm. */
const IDLE_MS = 30_000;

/** Does long work in a thread, one piece after the other; to cancel a piece ends its thread. The serial reader of the main thread never waits for it. */
export class LongWork {
  #running = 0;
  #queue: (() => void)[] = [];
  readonly #closing = new AbortController();
  #idle: { readonly thread: Channel<LongOrder>; readonly end: NodeJS.Timeout } | null = null;

  /** Rejects with StoreError: what the work itself found wrong, or `cancelled`. */
  async run<T>(order: LongOrder, { progress, signal }: LongOptions = {}): Promise<T> {
    const cancel = signal === undefined ? this.#closing.signal : AbortSignal.any([signal, this.#closing.signal]);
    // the one that ends hands its place to the one that waits longest
    if (this.#running >= AT_ONCE) await new Promise<void>((resolve) => this.#queue.push(resolve));
    else this.#running++;
    try {
      if (cancel.aborted) throw new StoreError('cancelled', words.cancelled);
      return (await this.#inThread(order, progress, cancel)) as T;
    } finally {
      const next = this.#queue.shift();
      if (next === undefined) this.#running--;
      else next();
    }
  }

  /** cancels what runs and what waits */
  close(): void {
    this.#closing.abort();
    void this.#takeIdle()?.close();
  }

  async #inThread(order: LongOrder, progress: LongOptions['progress'], cancel: AbortSignal): Promise<unknown> {
    const thread = this.#takeIdle() ?? new Channel<LongOrder>({ start: () => startWorker('long-worker'), what: words.theWorkCouldNot });
    const stop = (): void => void thread.close('cancelled', words.cancelled);
    cancel.addEventListener('abort', stop, { once: true });
    try {
      return await thread.ask(order, progress);
    } finally {
      cancel.removeEventListener('abort', stop);
      if (cancel.aborted) await thread.close();
      else this.#idle = { thread, end: setTimeout(() => void this.#takeIdle()?.close(), IDLE_MS).unref() };
    }
  }

  #takeIdle(): Channel<LongOrder> | null {
    if (this.#idle === null) return null;
    const { thread, end } = this.#idle;
    clearTimeout(end);
    this.#idle = null;
    return thread;
  }
}
