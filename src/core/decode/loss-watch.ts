import { atMost, language } from '../present/language.ts';
import type { Overload } from './logger.ts';

const words = language.files.lossWatch;

/** Blocks are looked at over so long, s, and a loss is reported again after so long, s: a moment's stutter does not count, and nobody hears twice of what they are about to mend. This and what follows: common practice, no published source. */
const LOOK_S = 5;
const AGAIN_S = 60;
/** Fewer separate losses in that time are accidents; so small a part of the readings is not worth a lower rate. */
const LEAST = { losses: 5, part: 0.005 } as const;
/** A rate at which a line has a fifth of its room left, by what it has just carried. */
const SAFE_PART = 0.8;

/** What is known of the stream when a block has come: counts since the start. */
export interface StreamCounts {
  readonly lostBlocks: number;
  /** lines that came damaged */
  readonly damaged: number;
}

/**
 * Tells when a line cannot carry what the logger sends: blocks are missing again and again, not once as from a plug with a bad contact. Then it says how much came, and which rate would hold.
 */
export class LossWatch {
  private sinceS = -Infinity;
  private came = 0;
  private losses = 0;
  private start: StreamCounts = { lostBlocks: 0, damaged: 0 };
  private before: StreamCounts = { lostBlocks: 0, damaged: 0 };
  private saidAtS = -Infinity;
  private last: Overload | null = null;

  /** What the last look found, while it is not long ago; null where the line holds. */
  overloadAt(nowS: number): Overload | null {
    return nowS - this.sinceS > 2 * LOOK_S ? null : this.last;
  }

  /** Takes note of a block that came at `arrivalS`; an answer now and then, when blocks are being lost. */
  block(counts: StreamCounts, rateHz: number, arrivalS: number): Overload | null {
    this.came += 1;
    return this.note(counts, rateHz, arrivalS);
  }

  /** The same of a block of which nothing could be read. */
  note(counts: StreamCounts, rateHz: number, arrivalS: number): Overload | null {
    if (counts.lostBlocks > this.before.lostBlocks) this.losses += 1;
    this.before = counts;
    if (arrivalS - this.sinceS < LOOK_S) return null;
    const lost = counts.lostBlocks - this.start.lostBlocks;
    const part = lost / (lost + this.came);
    const arrivedHz = rateHz * (1 - part);
    const damaged = counts.damaged - this.start.damaged > lost / 2;
    this.last = this.losses >= LEAST.losses && part >= LEAST.part ? { lost: part, rateHz, arrivedHz, heldRateHz: usualRateBelow(SAFE_PART * arrivedHz), damaged } : null;
    this.sinceS = arrivalS;
    this.came = 0;
    this.losses = 0;
    this.start = counts;
    if (this.last === null || arrivalS - this.saidAtS < AGAIN_S) return null;
    this.saidAtS = arrivalS;
    return this.last;
  }
}

/** The highest of 1, 2, 5, 10, 20, 50 … Hz that is not above. */
function usualRateBelow(rateHz: number): number | null {
  if (!(rateHz >= 1)) return null;
  const decade = 10 ** Math.floor(Math.log10(rateHz));
  return rateHz >= 5 * decade ? 5 * decade : rateHz >= 2 * decade ? 2 * decade : decade;
}

/** The sentence for people. */
export function losingText({ rateHz, arrivedHz, heldRateHz, damaged }: Overload): string {
  const first = words.theLineLosesReadings(perSecond(rateHz), perSecond(arrivedHz));
  const cause = damaged ? words.theLinesComeDamaged : '';
  return heldRateHz === null ? `${first}${cause}` : words.wouldHoldSetThe(first, cause, damaged ? words.ifThoseAreGood : '', perSecond(heldRateHz));
}

function perSecond(rateHz: number): string {
  const kilo = rateHz >= 1000;
  // three digits: half a percent lost is to be seen in the figures
  return `${atMost(kilo ? rateHz / 1000 : rateHz, 3)} ${kilo ? 'kS/s' : 'S/s'}`;
}
