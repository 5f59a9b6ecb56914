import type { ToPage } from '../../core/wire/messages.ts';
import type { Clock } from '../clock.ts';
import type { Zero } from '../recording/types.ts';
import type { Feed } from './feed.ts';
import { finiteRange } from './logger-view.ts';
import type { SampleRing } from './ring.ts';
import { language } from '../../core/present/language.ts';
import { sawDeadLead, takeZero, ZERO_WINDOW_S } from './zero.ts';

/** Less than a tenth of a sample period at any rate, more than the spacing of float64 after a year. */
const JUST_AFTER_S = 1e-8;

/** One source and one zero: readings of another set-up are not put together with these. */
export class SetUp {
  readonly #feed: Feed;
  readonly #ring: SampleRing;
  readonly #clock: Clock;
  #zero: Zero | null = null;
  /** live time since when readings belong to it */
  fromS = 0;
  /** live time since when they are of this source, whatever its zero */
  #sourceFromS = 0;

  constructor(feed: Feed, ring: SampleRing, clock: Clock) {
    this.#feed = feed;
    this.#ring = ring;
    this.#clock = clock;
  }

  get zero(): Zero | null {
    return this.#zero;
  }

  /** Range of the current channel as it arrives, null when the source does not know it. */
  get rangeA(): readonly [number, number] | null {
    return this.#feed.logger === null ? null : finiteRange(this.#feed.logger);
  }

  /** Another source: nothing of what was holds. */
  begin(): void {
    this.#put(null);
    this.#sourceFromS = this.fromS;
  }

  /** Null when done, else a sentence why not. */
  setZero(what: 'take' | 'clear', statedErrorA: number | null): string | null {
    if (what === 'clear') {
      this.#put(null);
      return null;
    }
    if (this.#feed.state.state !== 'live') return language.pages.zero.notSending;
    const range = this.rangeA;
    const fullScaleA = range === null ? null : Math.max(Math.abs(range[0]), Math.abs(range[1]));
    const conditions = { fullScaleA, statedErrorA, leadWasDead: sawDeadLead(this.#ring.rawBlocks(this.#sourceFromS, Infinity)) };
    const zero = takeZero(this.#ring.rawSlice(Math.max(this.#feed.lastS - ZERO_WINDOW_S, this.fromS), Infinity), this.#zero, conditions, this.#clock.date());
    if (typeof zero === 'string') return zero;
    this.#put(zero);
    return null;
  }

  message(): ToPage {
    return { type: 'zero', zeroA: this.#zero?.zeroA ?? null, noiseA: this.#zero?.noiseA ?? null, text: this.#zero?.text ?? language.pages.zero.none };
  }

  #put(zero: Zero | null): void {
    this.#zero = zero;
    this.#feed.zeroA = zero?.zeroA ?? 0;
    this.fromS = this.#feed.lastS + JUST_AFTER_S;
  }
}
