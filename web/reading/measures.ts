import { signal } from '@preact/signals';
import { stretchKey } from '../../src/core/present/wording/stretch-words.ts';
import type { Mark } from '../../src/core/trace.ts';
import type { ChargeView } from '../../src/core/wire/api.ts';

export type AskStretch = (fromS: number, toS: number, signal: AbortSignal) => Promise<ChargeView>;

/** Figures of the kept stretches of one chart, each asked for once. */
export class Measures {
  readonly known = signal<ReadonlyMap<string, ChargeView>>(new Map());
  readonly #ask: AskStretch;
  readonly #asked = new Set<string>();
  readonly #stopper = new AbortController();

  constructor(ask: AskStretch) {
    this.#ask = ask;
  }

  want(marks: readonly Mark[]): void {
    for (const mark of marks) {
      const key = stretchKey(mark);
      if (mark.endS === undefined || this.#asked.has(key)) continue;
      this.#asked.add(key);
      this.#ask(mark.timeS, mark.endS, this.#stopper.signal).then(
        (view) => (this.known.value = new Map(this.known.value).set(key, view)),
        // without figures it is shown with its length; choosing it asks again and says why
        () => undefined,
      );
    }
  }

  stop(): void {
    this.#stopper.abort();
  }
}
