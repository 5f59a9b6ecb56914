import { HostTie } from './host-tie.ts';
import { isMeasurable, leastLate, measurePeriod, sincePause } from './pace.ts';
import type { ClockReport } from './logger.ts';

/**
 * Times for lines that carry none. A sketch prints at an even pace, the lines arrive in bunches: so the lines are counted, the pace is
 * measured along the lower edge of the arrivals, and every line gets its place on that even grid. When the arrivals stop, the next lines
 * are kept for a moment: if they catch up with the grid the computer was only busy; if not, lines are missing and there is a gap.
 */

/** A silence of more than this, or of so many periods, is looked into, s. Above USB bunching (16 ms) and a busy computer's pauses. */
const SILENCE_S = 0.15;
const SILENCE_PERIODS = 4;
/** Lines that stay this much behind the grid after a silence were not sent before it, s. */
const BEHIND_S = 0.1;
const BEHIND_PERIODS = 2;
/** How long lines are kept after a silence to see whether they catch up, s. */
const LOOK_S = 0.2;
const LOOK_PERIODS = 3;
/** After so many lines over so long, s, a pause of more than this, s, and of so many mean periods, ends a measurement of the pace. */
const BREAK_LINES = 8;
const BREAK_AFTER_S = 0.25;
const BREAK_S = 2;
const BREAK_PERIODS = 10;
const MEASURE_EVERY_S = 0.02;
/** Lines coming in for longer than this are not kept for want of a stretch without a pause, s. */
const LONGEST_MEASURE_S = 5;
/** When lines run away from the grid by this, the pace has changed and is measured anew, s. */
const RUN_AWAY_S = 0.5;
const RUN_AWAY_PERIODS = 3;
/** No line can come before it was sent. */
const EARLY_PERIODS = 1.2;
/** Pace may change by this part before it counts as another pace. */
const PACE_TOLERANCE = 0.25;
/** More lines than this are never kept: a second at the highest pace a 2 Mbaud line carries. Lines that come faster are dropped, counted, and reported. */
export const MAX_KEPT = 50_000;

/** What becomes of the lines, in the order they were counted: a time, `afterGap` when time is missing before it; a line that is passed over has none. */
export interface TimeSink {
  give(index: number, atS: number, afterGap: boolean): void;
  /** so many lines more are dropped because they come faster than their pace can be measured */
  overrun(lines: number): void;
}

export class ArrivalClock {
  private readonly sink: TimeSink;
  /** null while the pace is measured */
  private tie: HostTie | null = null;
  /** lines are kept to see whether they catch up with the grid */
  private isLooking = false;
  /** index of the first line kept, and the arrival of each of those */
  private keptFrom = 0;
  private kept: number[] = [];
  private lastArrivalS = -Infinity;
  private lastS = -Infinity;
  private gapDue = false;
  /** how far the grid was put ahead of the arrivals, because earlier times had been given out; steered out in a few seconds */
  private leadS = 0;
  private measuredAtS = -Infinity;
  private formerPeriodS: number | null = null;

  /** Times are later than `floorS`; -Infinity for no bound. */
  constructor(sink: TimeSink, floorS: number) {
    this.sink = sink;
    this.lastS = floorS;
    this.gapDue = floorS !== -Infinity;
  }

  /** Takes line number `index` (each one more than the last) that arrived at `arrivalS`. Its time comes through the sink, at once or when the pace is known. */
  push(index: number, arrivalS: number): void {
    const { tie } = this;
    if (tie !== null && !this.isLooking) {
      const periodS = tie.secondsPerCount;
      if (arrivalS - this.lastArrivalS > Math.max(SILENCE_S, SILENCE_PERIODS * periodS)) this.isLooking = true;
      else {
        this.lastArrivalS = arrivalS;
        this.give(tie, index, false);
        tie.observe(index, arrivalS);
        const lateS = arrivalS - tie.at(index);
        this.leadS = Math.max(0, Math.min(this.leadS, -lateS));
        if (Math.abs(lateS) > this.leadS + Math.max(RUN_AWAY_S, (lateS < 0 ? EARLY_PERIODS : RUN_AWAY_PERIODS) * periodS)) this.measureAnew();
        return;
      }
    }
    if (tie === null) this.breakMeasurement(arrivalS);
    if (this.kept.length === 0) this.keptFrom = index;
    this.kept.push(arrivalS);
    this.lastArrivalS = arrivalS;
    if (this.tie === null) this.measure(arrivalS);
    else this.look(this.tie, arrivalS);
  }

  /** Lets time pass without a line: ends a look into a silence. */
  tick(nowS: number): void {
    if (this.tie !== null && this.kept.length > 0) this.look(this.tie, nowS);
  }

  /** The connection was lost and is back: what comes next follows a gap. What is kept goes out as far as its time is known. */
  interrupt(): void {
    const paceIsKnown = this.tie !== null;
    this.flush();
    if (!paceIsKnown) this.measureAnew();
    else this.isLooking = true;
    this.gapDue = this.lastS !== -Infinity;
    this.lastArrivalS = -Infinity;
  }

  /** Gives out what is kept, at the end of a stream. */
  flush(): void {
    const { kept } = this;
    if (kept.length === 0) return;
    const { startIndex } = sincePause(kept);
    if (this.tie !== null) this.settle(this.tie, true);
    else if (kept[kept.length - 1] > kept[startIndex]) this.settleMeasurement(startIndex);
    else if (this.formerPeriodS !== null) this.settleAtFormerPace(this.formerPeriodS);
    else if (kept[kept.length - 1] > kept[0]) this.settleMeasurement(0);
    else this.forgetKept(kept.length);
  }

  report(): ClockReport | null {
    if (this.tie === null) return null;
    const report = this.tie.report();
    return { driftPpm: 0, driftUncertaintyPpm: report?.driftUncertaintyPpm ?? PACE_TOLERANCE * 1e6, jitterS: report?.jitterS ?? 0, rateHz: 1 / this.tie.secondsPerCount };
  }

  /** A long pause after enough lines: those are settled by themselves, and what comes now is looked at as after any silence. */
  private breakMeasurement(arrivalS: number): void {
    const { kept } = this;
    const last = kept.length - 1;
    if (last < 0 || arrivalS - kept[last] <= BREAK_S) return;
    const { startIndex } = sincePause(kept);
    const count = last - startIndex;
    const elapsedS = kept[last] - kept[startIndex];
    if (count < BREAK_LINES || elapsedS < BREAK_AFTER_S || arrivalS - kept[last] <= (BREAK_PERIODS * elapsedS) / count) return;
    this.settleMeasurement(startIndex);
    this.gapDue = true;
    this.isLooking = true;
  }

  private measure(arrivalS: number): void {
    const { kept } = this;
    // a look at all that is kept costs its length: not more than fifty a second
    if (arrivalS - this.measuredAtS >= MEASURE_EVERY_S && isMeasurable(kept)) {
      this.measuredAtS = arrivalS;
      const { startIndex, busyS } = sincePause(kept);
      if (isMeasurable(kept.slice(startIndex)) || busyS > LONGEST_MEASURE_S) this.settleMeasurement(startIndex);
    }
    if (this.kept.length < MAX_KEPT) return;
    this.sink.overrun(MAX_KEPT >> 1);
    this.forgetKept(MAX_KEPT >> 1);
  }

  /** Takes the pace from the lines kept from `startIndex` on; those before it, from before a pause, get their times by the same pace. */
  private settleMeasurement(startIndex: number): void {
    const { kept } = this;
    const slopeS = measurePeriod(kept.slice(startIndex));
    const tie = new HostTie({ slope: slopeS, tolerance: PACE_TOLERANCE });
    this.tie = tie;
    if (startIndex > 0) {
      this.kept = kept.slice(0, startIndex);
      this.settleFirst(tie, slopeS);
      this.kept = kept.slice(startIndex);
      this.keptFrom += startIndex;
      this.gapDue = true;
    }
    this.settleFirst(tie, slopeS);
  }

  private settleFirst(tie: HostTie, slopeS: number): void {
    const { kept } = this;
    const best = leastLate(kept, 0, kept.length, slopeS);
    // lines stored before the source was started have no time in this trace
    const beforeStart = this.lastS === -Infinity ? Math.max(0, Math.ceil(best - kept[best] / slopeS - 1e-6)) : 0;
    this.forgetKept(Math.min(beforeStart, kept.length - 1));
    this.anchorKept(tie, Math.max(0, best - beforeStart));
    this.settle(tie, false);
  }

  /** The pace was being measured anew and too few lines came. */
  private settleAtFormerPace(periodS: number): void {
    this.tie = new HostTie({ slope: periodS, tolerance: PACE_TOLERANCE });
    this.settle(this.tie, true);
  }

  private look(tie: HostTie, nowS: number): void {
    const periodS = tie.secondsPerCount;
    const newest = this.kept.length - 1;
    const behindS = this.kept[newest] - tie.at(this.keptFrom + newest);
    if (!this.gapDue && behindS <= Math.max(BEHIND_S, BEHIND_PERIODS * periodS)) this.settle(tie, false);
    else if (nowS - this.kept[0] >= Math.max(LOOK_S, LOOK_PERIODS * periodS) || this.kept.length >= MAX_KEPT) this.settle(tie, true);
  }

  /** Gives out the lines kept; `behind` = they do not fit the grid any more and get a new start by their arrival, after a gap. */
  private settle(tie: HostTie, behind: boolean): void {
    const { kept, keptFrom } = this;
    const gap = this.gapDue || behind;
    if (behind) this.anchorKept(tie, leastLate(kept, 0, kept.length, tie.secondsPerCount));
    this.kept = [];
    this.isLooking = false;
    this.gapDue = false;
    for (let i = 0; i < kept.length; i += 1) {
      this.give(tie, keptFrom + i, i === 0 && gap);
      tie.observe(keptFrom + i, kept[i]);
    }
  }

  /** Puts the grid so that kept line `best` has its arrival for its time, and no line lies before 0 or before what was given out. */
  private anchorKept(tie: HostTie, best: number): void {
    const periodS = tie.secondsPerCount;
    const wantedS = this.kept[best] - best * periodS;
    const firstS = Math.max(wantedS, 0, this.lastS + periodS);
    this.leadS = firstS - wantedS;
    tie.anchor(this.keptFrom, firstS);
  }

  private measureAnew(): void {
    this.formerPeriodS = this.tie?.secondsPerCount ?? null;
    this.tie = null;
    this.gapDue = true;
  }

  private forgetKept(count: number): void {
    this.kept = this.kept.slice(count);
    this.keptFrom += count;
  }

  private give(tie: HostTie, index: number, afterGap: boolean): void {
    const atS = Math.max(tie.at(index), this.lastS + 0.01 * tie.secondsPerCount);
    this.lastS = atS;
    this.sink.give(index, atS, afterGap);
  }
}
