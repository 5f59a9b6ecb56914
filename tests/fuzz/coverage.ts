import { Session } from 'node:inspector';

interface Range {
  readonly startOffset: number;
  readonly endOffset: number;
  readonly count: number;
}
interface Script {
  readonly url: string;
  readonly functions: readonly { readonly ranges: readonly Range[] }[];
}

/** Which blocks of the program's own code ran, from V8's precise coverage; what a guided run steers by. */
export class Coverage {
  readonly #session = new Session();
  readonly #seen = new Set<string>();

  constructor() {
    this.#session.connect();
    this.#session.post('Profiler.enable');
    this.#session.post('Profiler.startPreciseCoverage', { callCount: true, detailed: true });
  }

  get blocks(): number {
    return this.#seen.size;
  }

  /** Blocks that ran since the last call and never before. A block that ran ten times as often as ever counts as new too: loops are depth. */
  take(): number {
    let fresh = 0;
    this.#session.post('Profiler.takePreciseCoverage', (_error, answer) => {
      for (const { url, functions } of (answer as { result: readonly Script[] } | undefined)?.result ?? []) {
        if (!url.includes('/src/core/') && !url.includes('/src/daemon/')) continue;
        for (const { ranges } of functions) {
          for (const { startOffset, endOffset, count } of ranges) {
            if (count === 0) continue;
            const key = `${url.slice(-40)}:${startOffset}:${endOffset}:${Math.floor(Math.log10(count))}`;
            if (this.#seen.has(key)) continue;
            this.#seen.add(key);
            fresh++;
          }
        }
      }
    });
    return fresh;
  }
}
