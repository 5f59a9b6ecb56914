import type { TraceWindow } from '../store/samples/types.ts';
import { Channel } from './channel.ts';
import { startWorker } from './start-worker.ts';
import type { TraceOutline, ViewOrder } from './view-worker.ts';
import { language } from '../../core/present/language.ts';

const words = language.daemon.running.traceViews;

/** Asks the thread that reads stored traces for pictures. A thread that died is replaced at the next question. All methods reject with StoreError. */
export class TraceViews {
  readonly #channel = new Channel<ViewOrder>({ start: () => startWorker('view-worker'), what: words.theTraceCouldNot });

  window(path: string, fromS: number, toS: number, columns: number): Promise<TraceWindow> {
    return this.#channel.ask({ do: 'window', path, fromS, toS, columns }) as Promise<TraceWindow>;
  }

  /** Facts and marks of a trace, and what is wrong with it. */
  outline(path: string): Promise<TraceOutline> {
    return this.#channel.ask({ do: 'outline', path }) as Promise<TraceOutline>;
  }

  /** Lets go of a trace whose folder is about to be moved. */
  async forget(path: string): Promise<void> {
    if (this.#channel.runs) await this.#channel.ask({ do: 'forget', path });
  }

  close(): Promise<void> {
    return this.#channel.close();
  }
}
