import type { DrainResult } from '../../../src/core/analysis/results.ts';

/** What a person who looks in at night wants to know, in seconds before now. */
interface NightFacts {
  readonly recordingS: number | null;
  readonly asleepS: number | null;
  /** at rest above the limit */
  readonly settledS: number | null;
  readonly wakeups: number;
  /** begin of the newest wake-ups, newest first */
  readonly wakesS: readonly number[];
  /** until more is known; null when nothing is being waited for, or its length is not known */
  readonly nextS: number | null;
}

/** So many times of wake-ups are named; the result has them all. */
const NAMED_WAKES = 3;

/** `offsetS`, `startS` and `nowS` are live time; times of the result count from `offsetS`. */
export function nightFacts(result: DrainResult | null, offsetS: number, startS: number | null, nowS: number): NightFacts {
  const recordingS = startS === null ? null : Math.max(0, nowS - startS);
  if (result === null) return { recordingS, asleepS: null, settledS: null, wakeups: 0, wakesS: [], nextS: null };
  const ago = (atS: number): number => Math.max(0, nowS - offsetS - atS);
  const over = result.over_limit === true;
  const waitS = result.wait_s ?? null;
  const sinceResultS = Math.max(0, nowS - offsetS - result.trace.duration_s);
  return {
    recordingS,
    asleepS: result.asleep === null || over ? null : ago(result.asleep.at_s),
    settledS: result.asleep === null ? (result.held == null ? null : ago(result.held.since_s)) : over ? ago(result.asleep.at_s) : null,
    wakeups: result.wakeups.length,
    wakesS: result.wakeups.slice(-NAMED_WAKES).reverse().map(({ start_s: startS }) => ago(startS)),
    nextS: waitS === null || !Number.isFinite(waitS) ? null : Math.max(0, waitS - sinceResultS),
  };
}

/** A wait of many minutes is not known to the second. */
export function roughly(waitS: number): number {
  return waitS > 600 ? Math.round(waitS / 60) * 60 : Math.round(waitS);
}

/** Hears from one result to the next what a sleeper should be woken for. */
export class NightAlarm {
  #offsetS = NaN;
  #wakeups = 0;
  #over = false;

  push(result: DrainResult, offsetS: number): 'wake-up' | 'limit' | null {
    const over = result.asleep !== null && result.over_limit === true;
    const same = offsetS === this.#offsetS;
    const woke = same && result.wakeups.length > this.#wakeups;
    const passed = over && !(same && this.#over);
    this.#offsetS = offsetS;
    this.#wakeups = result.wakeups.length;
    this.#over = over;
    return passed ? 'limit' : woke ? 'wake-up' : null;
  }
}
