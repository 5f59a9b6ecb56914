/** A reading, or any message of the daemon, older than this is not shown as if it were now, s. */
export const OLD_AFTER_S = 2;
/** A logger that sends less often is late only when more than two readings in a row are missing. */
const LATE_PERIODS = 2.5;

export interface Freshness {
  /** `no-word`: the daemon itself is silent; `no-readings`: it speaks, but the logger sends no reading */
  readonly state: 'fresh' | 'no-readings' | 'no-word';
  /** age of the newest reading in whole seconds; null before the first one */
  readonly ageS: number | null;
}

/** Knows by its own clock how old what the page shows is. Asks nobody: a daemon that hangs cannot say so. */
export class Watchdog {
  readonly #nowMs: () => number;
  #wordMs: number;
  #readingMs: number | null = null;
  /** time between two readings as the logger states it, s */
  periodS = 0;

  constructor(nowMs: () => number) {
    this.#nowMs = nowMs;
    this.#wordMs = nowMs();
  }

  /** Something came from the daemon, whatever it was. */
  word(): void {
    this.#wordMs = this.#nowMs();
  }

  reading(): void {
    this.word();
    this.#readingMs = this.#nowMs();
  }

  /** Another source or daemon: its readings are still to come. */
  forget(): void {
    this.#readingMs = null;
  }

  look(linked: boolean): Freshness {
    const nowMs = this.#nowMs();
    const ageS = this.#readingMs === null ? null : Math.floor((nowMs - this.#readingMs) / 1000);
    if (!linked || nowMs - this.#wordMs >= OLD_AFTER_S * 1000) return { state: 'no-word', ageS };
    const oldAfterMs = Math.max(OLD_AFTER_S, LATE_PERIODS * this.periodS) * 1000;
    return { state: this.#readingMs === null || nowMs - this.#readingMs >= oldAfterMs ? 'no-readings' : 'fresh', ageS };
  }
}

/** How long a recording has run, by the live time of its newest reading. Never falls back: what is recorded stays recorded, whatever becomes of the link. */
export class RecordingClock {
  #traceId = '';
  #elapsedS = 0;

  elapsedS(traceId: string, startS: number, newestS: number | null): number {
    if (traceId !== this.#traceId) {
      this.#traceId = traceId;
      this.#elapsedS = 0;
    }
    if (newestS !== null) this.#elapsedS = Math.max(this.#elapsedS, newestS - startS);
    return this.#elapsedS;
  }
}
