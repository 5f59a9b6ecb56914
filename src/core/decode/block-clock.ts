import type { BlockLayout } from './hello.ts';
import { HostTie } from './host-tie.ts';
import type { ClockReport } from './logger.ts';

/**
 * Gives every block its place in time from the logger's own clock (microseconds, uint32, wrapping every 71.6 minutes), the blocks' count
 * and the arrival times. The logger's clock decides; the count tells loss; arrival decides only where the clock cannot: at the start,
 * after a restart, and for which turn of a wrapping clock it is. A block whose place cannot be true is kept back: if the next block
 * follows it, the logger has begun anew and both are placed by arrival; if not, it is refused.
 */
interface ClockedBlock {
  readonly seq: number;
  readonly deviceUs: number;
  readonly count: number;
  /** interleaved, and what they mean by the hello before them; only lent until the block is placed */
  readonly counts: Int16Array;
  readonly layout: BlockLayout;
}

export interface PlacedBlock {
  readonly block: ClockedBlock;
  readonly startS: number;
  readonly periodS: number;
  /** the last sample before, when time is missing between that and this block */
  readonly gapFromS: number | null;
}

const TURN_US = 2 ** 32;
/** Cheap resonators are off by up to 0.5 %: four times that is allowed for in a pause, and spent on steering. */
const CLOCK_TOLERANCE = 0.02;
/** What can still be measured and removed: the uncalibrated RC oscillator of a small microcontroller (±10 %, from memory). */
const DRIFT_TOLERANCE = 0.12;
/** A block may arrive this much before or after its time by the clock, s: the clock's own uncertainty in a pause comes on top. */
const EARLY_S = 0.25;
const LATE_S = 5;
/** Pairs of blocks after which the measured sample period replaces the declared one as the yardstick. */
const LEARNT_PAIRS = 8;
const PERIOD_MEMORY_PAIRS = 200;

interface Seen {
  block: ClockedBlock;
  /** the device clock without its turns */
  us: number;
  arrivalS: number;
}

export class BlockClock {
  /** blocks missing by the logger's count, blocks refused for an impossible time, times the logger began anew */
  lostBlocks = 0;
  refused = 0;
  restarts = 0;
  private readonly tie = new HostTie({ slope: 1, tolerance: DRIFT_TOLERANCE, steerLimit: CLOCK_TOLERANCE });
  private periodUs: number;
  private pairs = 0;
  private last: Seen | null = null;
  private held: Seen | null = null;
  private lastSampleUs = -Infinity;
  private lastSampleS = -Infinity;

  constructor(rateHz: number) {
    this.periodUs = 1e6 / rateHz;
  }

  /** A new hello with another rate: the clock goes on, the period is learnt anew. */
  setRate(rateHz: number): void {
    this.periodUs = 1e6 / rateHz;
    this.pairs = 0;
  }

  /** The connection was lost and is back: a block kept back has lost its chance. */
  interrupt(): void {
    this.dropHeld();
  }

  /**
   * Places a block, later than `floorS`; none comes back while it is kept back or refused, two when the one kept back proves true.
   */
  place(block: ClockedBlock, arrivalS: number, floorS: number): PlacedBlock[] {
    if (floorS > this.lastSampleS) this.lastSampleS = floorS;
    const { last, held } = this;
    if (last === null) return [this.begin({ block, us: block.deviceUs, arrivalS }, this.lastSampleS !== -Infinity)];
    const seen = { block, us: this.unwrap(block.deviceUs, last, arrivalS), arrivalS };
    const aheadBlocks = (block.seq - last.block.seq) | 0;
    if (this.follows(seen, last)) {
      if (aheadBlocks === 1) this.learnPeriod(seen, last);
      this.dropHeld();
      return [this.goOn(seen, false)];
    }
    if (aheadBlocks >= 1 && seen.us > this.lastSampleUs && this.isPlausible(seen, last)) {
      const heldBetween = held === null ? 0 : 1;
      this.lostBlocks += Math.max(0, aheadBlocks - 1 - heldBetween);
      this.dropHeld();
      // over a long pause the clock's own uncertainty grows large: then arrival is the better word
      return [this.isNearArrival(seen, 0) ? this.goOn(seen, true) : this.begin(seen, true)];
    }
    if (held !== null && ((block.seq - held.block.seq) | 0) === 1) {
      const next = { block, us: this.unwrap(block.deviceUs, held, arrivalS), arrivalS };
      if (this.follows(next, held)) return this.beginAnew(held, next, last);
    }
    this.dropHeld();
    this.held = { ...seen, block: { ...block, counts: block.counts.slice() } };
    return [];
  }

  /** Where a moment of the device clock lies, or null when it cannot be near `arrivalS` (then arrival is the better word). */
  timeOf(deviceUs: number, arrivalS: number): number | null {
    if (this.last === null) return null;
    const atS = this.tie.at(this.unwrap(deviceUs, this.last, arrivalS) / 1e6);
    return Math.abs(atS - arrivalS) < LATE_S && atS >= 0 ? atS : null;
  }

  report(): ClockReport | null {
    const report = this.tie.report();
    return report === null ? null : { ...report, rateHz: 1e6 / (this.periodUs * this.tie.secondsPerCount) };
  }

  private unwrap(deviceUs: number, from: Seen, arrivalS: number): number {
    const expectedUs = from.us + (arrivalS - from.arrivalS) * 1e6;
    return deviceUs + TURN_US * Math.round((expectedUs - deviceUs) / TURN_US);
  }

  /** Does `next` begin where `before` ended? Until the period is learnt a quarter of a block is forgiven, then half a sample and 5 %. */
  private follows(next: Seen, before: Seen): boolean {
    const blockUs = before.block.count * this.periodUs;
    const ahead = (next.block.seq - before.block.seq) | 0;
    const part = ahead === 1 && this.pairs < LEARNT_PAIRS ? 0.25 : 0.05;
    return Math.abs(next.us - before.us - blockUs) <= 0.5 * this.periodUs + part * blockUs + 50 && ahead !== 0;
  }

  private isPlausible(seen: Seen, last: Seen): boolean {
    return this.isNearArrival(seen, CLOCK_TOLERANCE * Math.abs(seen.arrivalS - last.arrivalS));
  }

  private isNearArrival(seen: Seen, slackS: number): boolean {
    const lateS = seen.arrivalS - this.tie.at((seen.us + seen.block.count * this.periodUs) / 1e6);
    return lateS > -(EARLY_S + slackS) && lateS < LATE_S + slackS;
  }

  private learnPeriod(seen: Seen, last: Seen): void {
    this.pairs += 1;
    const measuredUs = (seen.us - last.us) / last.block.count;
    this.periodUs += (measuredUs - this.periodUs) / Math.min(this.pairs, PERIOD_MEMORY_PAIRS);
  }

  private goOn(seen: Seen, afterGap: boolean): PlacedBlock {
    const startUs = Math.max(seen.us, this.lastSampleUs + 0.25 * this.periodUs);
    const periodS = (this.periodUs / 1e6) * this.tie.secondsPerCount;
    const startS = Math.max(this.tie.at(startUs / 1e6), this.lastSampleS + 0.1 * periodS, 0);
    const gapFromS = afterGap ? this.lastSampleS : null;
    this.last = seen;
    this.lastSampleUs = startUs + (seen.block.count - 1) * this.periodUs;
    this.lastSampleS = startS + (seen.block.count - 1) * periodS;
    this.tie.observe((seen.us + seen.block.count * this.periodUs) / 1e6, seen.arrivalS);
    return { block: seen.block, startS, periodS, gapFromS };
  }

  /** Places by arrival: the block's last sample was just taken when it arrived. */
  private begin(seen: Seen, afterGap: boolean): PlacedBlock {
    const durationS = (seen.block.count * this.periodUs) / 1e6;
    const endS = Math.max(seen.arrivalS, this.lastSampleS + durationS * (1 + CLOCK_TOLERANCE) + 2 * (this.periodUs / 1e6), durationS * (1 + CLOCK_TOLERANCE));
    this.tie.anchor((seen.us + seen.block.count * this.periodUs) / 1e6, endS);
    this.lastSampleUs = -Infinity;
    return this.goOn(seen, afterGap);
  }

  private beginAnew(first: Seen, second: Seen, last: Seen): PlacedBlock[] {
    const aheadBlocks = (first.block.seq - last.block.seq) | 0;
    if (aheadBlocks >= 1) this.lostBlocks += aheadBlocks - 1;
    else this.restarts += 1;
    this.held = null;
    return [this.begin(first, true), this.goOn(second, false)];
  }

  private dropHeld(): void {
    if (this.held !== null) this.refused += 1;
    this.held = null;
  }
}
