import type { TimeSink } from './arrival-clock.ts';
import { HostTie } from './host-tie.ts';
import type { ClockReport } from './logger.ts';

/**
 * Times for plain lines that carry their own: `millis()` or `micros()` of a sketch. The sketch's clock is tied to the computer's like a
 * logger's, its drift removed. A clock of whole milliseconds gives several fast lines the same time: those are spread evenly until the
 * next one. A uint32 that wraps goes on; a clock that falls back or leaps where the arrivals do not is believed only when three lines
 * in a row agree, and then it is a restart.
 */

/** Resonators are off by up to 0.5 %, RC oscillators by 2 %. */
const CLOCK_TOLERANCE = 0.05;
const EARLY_S = 0.25;
const LATE_S = 5;
/** Time between lines of more than so many times the usual is a gap. */
const GAP_PERIODS = 5;
/** Lines in a row that must agree before a leap of the clock is believed. */
const AGREEING_LINES = 3;
/** More lines with one and the same time than this, and the clock stands still. */
const MAX_SAME_TIME = 1000;
/** 2^32: the turn of the millis() and micros() of common boards. */
const TURN = 2 ** 32;

interface OddLine {
  readonly index: number;
  readonly xS: number;
  readonly arrivalS: number;
}

export class OwnClock {
  restarts = 0;
  /** lines whose time cannot be */
  refused = 0;
  private readonly sink: TimeSink;
  private readonly turnS: number;
  private readonly tie = new HostTie({ slope: 1, tolerance: CLOCK_TOLERANCE });
  private usualS: number;
  private turns = 0;
  private started = false;
  /** the lines waiting for the next later time: all of time `groupXS` */
  private groupXS = -Infinity;
  private group: number[] = [];
  private groupArrivalS = -Infinity;
  private gapDue = false;
  private odd: OddLine[] = [];
  private lastS = -Infinity;
  /** how far the clock was put ahead of the arrivals, because earlier times had been given out; steered out in time */
  private leadS = 0;

  /** `factor` turns the lines' time into s; `usualS` is the usual time between lines of different time, as first measured; times are later than `floorS`. */
  constructor(sink: TimeSink, factor: number, usualS: number, floorS: number) {
    this.sink = sink;
    this.lastS = floorS;
    this.gapDue = floorS !== -Infinity;
    this.turnS = TURN * factor;
    this.usualS = usualS;
  }

  push(index: number, timeS: number, arrivalS: number): void {
    if (!this.started) {
      this.begin(index, timeS, arrivalS);
      return;
    }
    let xS = timeS + this.turns * this.turnS;
    if (xS < this.groupXS && this.isPlausible(xS + this.turnS, arrivalS)) {
      this.turns += 1;
      xS += this.turnS;
    }
    if (xS === this.groupXS && this.group.length < MAX_SAME_TIME) this.group.push(index);
    else if (xS > this.groupXS && this.isPlausible(xS, arrivalS)) this.goOn(index, xS, arrivalS);
    else this.keepOdd({ index, xS, arrivalS });
  }

  /** The connection was lost: lines waiting go out, the next ones follow a gap. */
  interrupt(): void {
    this.flush();
    this.gapDue = this.lastS !== -Infinity;
  }

  /** Gives out the lines that wait for a later time. */
  flush(): void {
    this.dropOdd();
    this.giveGroup(this.usualS);
  }

  report(): ClockReport | null {
    const report = this.tie.report();
    return report === null ? null : { ...report, rateHz: 1 / (this.usualS * this.tie.secondsPerCount) };
  }

  private begin(index: number, timeS: number, arrivalS: number): void {
    this.turns = 0;
    this.anchor(timeS, arrivalS);
    this.started = true;
    this.openGroup(index, timeS, arrivalS);
  }

  private goOn(index: number, xS: number, arrivalS: number): void {
    this.dropOdd();
    const stepS = xS - this.groupXS;
    const isGap = stepS > GAP_PERIODS * this.usualS;
    this.giveGroup(isGap ? this.usualS : stepS);
    if (isGap) this.gapDue = true;
    else this.usualS += (stepS - this.usualS) / 50;
    // over a long pause the clock's own uncertainty grows large: then arrival is the better word
    if (isGap && !this.isNearArrival(xS, arrivalS, 0)) this.anchor(xS, arrivalS);
    this.openGroup(index, xS, arrivalS);
  }

  /** Puts the clock so that `xS` is now, and no line lies before 0 or before what was given out. */
  private anchor(xS: number, arrivalS: number): void {
    const startS = Math.max(arrivalS, 0, this.lastS + this.usualS);
    this.leadS = startS - arrivalS;
    this.tie.anchor(xS, startS);
  }

  private openGroup(index: number, xS: number, arrivalS: number): void {
    this.groupXS = xS;
    this.group = [index];
    this.groupArrivalS = arrivalS;
    this.tie.observe(xS, arrivalS);
    this.leadS = Math.max(0, Math.min(this.leadS, this.tie.at(xS) - arrivalS));
  }

  private isPlausible(xS: number, arrivalS: number): boolean {
    return this.isNearArrival(xS, arrivalS, CLOCK_TOLERANCE * Math.max(0, arrivalS - this.groupArrivalS));
  }

  private isNearArrival(xS: number, arrivalS: number, slackS: number): boolean {
    const lateS = arrivalS - this.tie.at(xS);
    return lateS > -(EARLY_S + this.leadS + slackS) && lateS < LATE_S + slackS;
  }

  private keepOdd(line: OddLine): void {
    const before = this.odd[this.odd.length - 1];
    if (before !== undefined) {
      const stepS = line.xS - before.xS;
      const passedS = line.arrivalS - before.arrivalS;
      const agrees = stepS >= 0 && Math.abs(stepS - passedS) < EARLY_S + CLOCK_TOLERANCE * passedS;
      if (!agrees) this.dropOdd();
    }
    this.odd.push(line);
    if (this.odd.length < AGREEING_LINES || !(line.xS > this.odd[0].xS)) {
      if (this.odd.length > MAX_SAME_TIME) this.dropOdd();
      return;
    }
    const lines = this.odd;
    this.odd = [];
    if (lines[0].xS < this.groupXS) this.restarts += 1;
    this.giveGroup(this.usualS);
    this.gapDue = true;
    const turnedS = this.turns * this.turnS;
    this.begin(lines[0].index, lines[0].xS - turnedS, lines[0].arrivalS);
    for (let i = 1; i < lines.length; i += 1) this.push(lines[i].index, lines[i].xS - turnedS, lines[i].arrivalS);
  }

  private dropOdd(): void {
    this.refused += this.odd.length;
    this.odd = [];
  }

  /** Spreads the waiting lines evenly over `spanS` of the sketch's clock. */
  private giveGroup(spanS: number): void {
    const { group } = this;
    const periodS = (spanS / Math.max(1, group.length)) * this.tie.secondsPerCount;
    for (let i = 0; i < group.length; i += 1) {
      const atS = Math.max(this.tie.at(this.groupXS) + i * periodS, this.lastS + Math.max(1e-9, 0.01 * periodS));
      this.sink.give(group[i], atS, this.gapDue);
      this.gapDue = false;
      this.lastS = atS;
    }
    this.group = [];
  }
}
