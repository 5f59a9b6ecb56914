import type { ToPage } from '../../core/wire/messages.ts';

/** Told once a second whatever happens: a page that hears nothing for longer knows that the daemon itself stands still. */
const EVERY_MS = 1000;

export type Status = Extract<ToPage, { type: 'status' }>;

/** How old what the page shows is, and whether anything is recorded, so that a page can say so itself when nothing comes any more. */
export class StatusBeat {
  #timer: NodeJS.Timeout | null = null;

  start(now: () => Status, send: (status: Status) => void): void {
    this.#timer = setInterval(() => send(now()), EVERY_MS);
    this.#timer.unref();
  }

  stop(): void {
    if (this.#timer !== null) clearInterval(this.#timer);
    this.#timer = null;
  }
}
