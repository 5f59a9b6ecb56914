import type { Transferable, Worker } from 'node:worker_threads';
import { StoreError, type StoreErrorCode } from '../store/files/store-error.ts';
import type { Answer, Order } from './protocol.ts';
import { language } from '../../core/present/language.ts';

const words = language.daemon.running.channel;

interface Waiting {
  readonly resolve: (value: unknown) => void;
  readonly reject: (error: Error) => void;
  readonly progress: ((fraction: number) => void) | undefined;
}

interface ChannelParts {
  readonly start: () => Worker;
  /** what could not be done when the thread dies; completes "…: its thread ended." */
  readonly what: string;
  /** the thread died by itself */
  readonly onLost?: (text: string) => void;
}

/** The daemon's side of a thread: asks, tells, and starts it anew at the next order when it has died. What the thread finds wrong is thrown as StoreError. */
export class Channel<Work> {
  readonly #parts: ChannelParts;
  readonly #waiting = new Map<number, Waiting>();
  #worker: Worker | null = null;
  #nextId = 1;
  #closed = false;

  constructor(parts: ChannelParts) {
    this.#parts = parts;
  }

  get runs(): boolean {
    return this.#worker !== null;
  }

  ask(work: Work, progress?: (fraction: number) => void): Promise<unknown> {
    if (this.#closed) return Promise.reject(new StoreError('closing', words.theDaemonIsClosing));
    const id = this.#nextId++;
    const answer = new Promise((resolve, reject) => this.#waiting.set(id, { resolve, reject, progress }));
    try {
      this.#post({ id, work }, []);
    } catch (error) {
      this.#waiting.delete(id);
      throw error;
    }
    return answer;
  }

  /** An order without an answer. */
  tell(work: Work, transfer: readonly Transferable[] = []): void {
    if (!this.#closed) this.#post({ id: 0, work }, transfer);
  }

  /** Whoever still waits gets `code`. */
  async close(code: StoreErrorCode = 'closing', text = words.theDaemonIsClosing): Promise<void> {
    this.#closed = true;
    const worker = this.#worker;
    this.#worker = null;
    this.#refuse(code, text);
    await worker?.terminate();
  }

  #post(order: Order<Work>, transfer: readonly Transferable[]): void {
    this.#worker ??= this.#start();
    this.#worker.postMessage(order, [...transfer]);
  }

  #start(): Worker {
    const worker = this.#parts.start();
    worker.unref();
    worker.on('message', (answer: Answer) => this.#settle(answer));
    worker.on('error', (error) => this.#lost(worker, error.message));
    worker.on('exit', () => this.#lost(worker, words.itsThreadEnded));
    return worker;
  }

  #settle(answer: Answer): void {
    const waiting = this.#waiting.get(answer.id);
    if ('fraction' in answer) return waiting?.progress?.(answer.fraction);
    this.#waiting.delete(answer.id);
    if ('value' in answer) waiting?.resolve(answer.value);
    else waiting?.reject(new StoreError(answer.fault.code as StoreErrorCode, answer.fault.text));
  }

  #lost(worker: Worker, why: string): void {
    if (this.#worker !== worker) return;
    this.#worker = null;
    this.#refuse('internal', `${this.#parts.what}: ${why}.`);
    this.#parts.onLost?.(why);
  }

  #refuse(code: StoreErrorCode, text: string): void {
    for (const { reject } of this.#waiting.values()) reject(new StoreError(code, text));
    this.#waiting.clear();
  }
}
