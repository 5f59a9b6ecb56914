import { createHash } from 'node:crypto';
import type { Clock } from '../../clock.ts';
import type { DoorLimits } from './limits.ts';

/** Addresses that are remembered; the one not seen for longest goes first. */
const MAX_ADDRESSES = 1000;
/** A device that has been quiet for so long begins anew. */
const FORGET_AFTER_MS = 10 * 60_000;
/** The same key again is a page that has not heard, not a guess. */
const MAX_REMEMBERED_KEYS = 16;

interface Tries {
  wrong: number;
  readonly keys: string[];
  lastAtMs: number;
  waitUntilMs: number;
}

/** Slows down whoever tries one key after the other: past a few, each further wrong one makes its address wait twice as long. */
export class WrongKeys {
  readonly #clock: Clock;
  readonly #limits: DoorLimits;
  readonly #tries = new Map<string, Tries>();

  constructor(clock: Clock, limits: DoorLimits) {
    this.#clock = clock;
    this.#limits = limits;
  }

  /** How long this address has to wait before a key of it is looked at; 0 = not at all. */
  waitMs(address: string): number {
    const tries = this.#tries.get(address);
    return tries === undefined ? 0 : Math.max(0, tries.waitUntilMs - this.#clock.nowMs());
  }

  wrong(address: string, key: string): void {
    const nowMs = this.#clock.nowMs();
    const known = this.#tries.get(address);
    const tries = known === undefined || nowMs - known.lastAtMs > FORGET_AFTER_MS ? { wrong: 0, keys: [], lastAtMs: nowMs, waitUntilMs: 0 } : known;
    tries.lastAtMs = nowMs;
    // to the end: the order of the map is the order of the last try
    this.#tries.delete(address);
    this.#tries.set(address, tries);
    if (this.#tries.size > MAX_ADDRESSES) this.#tries.delete(this.#tries.keys().next().value!);
    const digest = createHash('sha256').update(key).digest('base64');
    if (tries.keys.includes(digest)) return;
    tries.keys.push(digest);
    if (tries.keys.length > MAX_REMEMBERED_KEYS) tries.keys.shift();
    tries.wrong++;
    const { freeTries, firstWaitMs, longestWaitMs } = this.#limits;
    if (tries.wrong > freeTries) tries.waitUntilMs = nowMs + Math.min(longestWaitMs, firstWaitMs * 2 ** (tries.wrong - freeTries - 1));
  }

  right(address: string): void {
    this.#tries.delete(address);
  }
}
