import { HostTie } from './host-tie.ts';
import type { ClockReport } from './logger.ts';

/**
 * Times for lines that carry none. A sketch prints at an even pace, the lines arrive in bunches: so the lines are counted, the pace is
 * measured along the lower edge of the arrivals, and every line gets its place on that even grid. When the arrivals stop, the next lines
 * are kept for a moment: if they catch up with the grid the computer was only busy; if not, lines are missing and there is a gap.
 */

/** Lines of this long are kept at the start to measure the pace, s; at least so many lines; a slow logger is measured on three. */
const MEASURE_S = 1;
const MEASURE_LINES = 8;
const SLOW_MEASURE_S = 3;
const SLOW_LINES = 3;
/** What the operating system had stored before the port was opened comes at once; the first fifth is left out of the measurement. */
const LEAVE_OUT_PART = 0.2;
/** A silence of more than this, or of so many periods, is looked into, s. Above USB bunching (16 ms) and a busy computer's pauses. */
const SILENCE_S = 0.15;
const SILENCE_PERIODS = 4;
/** Lines that stay this much behind the grid after a silence were not sent before it, s. */
const BEHIND_S = 0.1;
const BEHIND_PERIODS = 2;
/** How long lines are kept after a silence to see whether they catch up, s. */
const LOOK_S = 0.2;
const LOOK_PERIODS = 3;
/** When lines run away from the grid by this, the pace has changed and is measured anew, s. */
const RUN_AWAY_S = 0.5;
const RUN_AWAY_PERIODS = 20;
/** Pace may change by this part before it counts as another pace. */
const PACE_TOLERANCE = 0.25;
/** More lines than this are never kept: a second at the highest pace a 2 Mbaud line carries. */
const MAX_KEPT = 50_000;

/** What becomes of the lines, in the order they were counted: a time, `afterGap` when time is missing before it, or none. */
export interface TimeSink {
  give(index: number, atS: number, afterGap: boolean): void;
  /** no time can be told for this line */
  drop(index: number): void;
}

export class ArrivalClock {
  private readonly sink: TimeSink;
  private mode: 'measuring' | 'running' | 'looking' = 'measuring';
  private tie: HostTie | null = null;
  /** index of the first line kept, and the arrival of each of those */
  private keptFrom = 0;
  private kept: number[] = [];
  private lastArrivalS = -Infinity;
  private lastS = -Infinity;
  private gapDue = false;
  /** how far the grid was put ahead of the arrivals, because earlier times had been given out; steered out in a few seconds */
  private leadS = 0;
  private formerPeriodS: number | null = null;

  /** Times are later than `floorS`; -Infinity for no bound. */
  constructor(sink: TimeSink, floorS: number) {
    this.sink = sink;
    this.lastS = floorS;
    this.gapDue = floorS !== -Infinity;
  }

  /** Takes line number `index` (each one more than the last) that arrived at `arrivalS`. Its time comes through the sink, at once or when the pace is known. */
  push(index: number, arrivalS: number): void {
    if (this.mode === 'running' && this.tie !== null) {
      const periodS = this.tie.secondsPerCount;
      if (arrivalS - this.lastArrivalS > Math.max(SILENCE_S, SILENCE_PERIODS * periodS)) this.mode = 'looking';
      else {
        this.lastArrivalS = arrivalS;
        this.give(index, false);
        this.tie.observe(index, arrivalS);
        const lateS = arrivalS - this.tie.at(index);
        this.leadS = Math.max(0, Math.min(this.leadS, -lateS));
        if (Math.abs(lateS) > this.leadS + Math.max(RUN_AWAY_S, RUN_AWAY_PERIODS * periodS)) this.measureAnew();
        return;
      }
    }
    if (this.kept.length === 0) this.keptFrom = index;
    this.kept.push(arrivalS);
    this.lastArrivalS = arrivalS;
    if (this.mode === 'looking') this.look(arrivalS);
    else this.measure();
  }

  /** Lets time pass without a line: ends a look into a silence. */
  tick(nowS: number): void {
    if (this.mode === 'looking' && this.kept.length > 0) this.look(nowS);
  }

  /** The connection was lost and is back: what comes next follows a gap. What is kept goes out as far as its time can be told. */
  interrupt(): void {
    this.flush();
    if (this.lastS !== -Infinity) this.gapDue = true;
    if (this.tie !== null) this.mode = 'looking';
    this.lastArrivalS = -Infinity;
  }

  /** Gives out what is kept, at the end of a stream. */
  flush(): void {
    if (this.kept.length === 0) return;
    if (this.tie !== null) this.settle(true);
    else if (this.kept.length >= 2 && this.kept[this.kept.length - 1] > this.kept[0]) this.settleMeasurement();
    else this.settleAtFormerPace();
  }

  report(): ClockReport | null {
    if (this.tie === null) return null;
    const report = this.tie.report();
    return { driftPpm: 0, driftDoubtPpm: report?.driftDoubtPpm ?? PACE_TOLERANCE * 1e6, jitterS: report?.jitterS ?? 0, rateHz: 1 / this.tie.secondsPerCount };
  }

  private measure(): void {
    const count = this.kept.length;
    const elapsedS = this.kept[count - 1] - this.kept[0];
    const enough = (elapsedS >= MEASURE_S && count >= MEASURE_LINES) || (elapsedS >= SLOW_MEASURE_S && count >= SLOW_LINES);
    if (enough) this.settleMeasurement();
    else if (count >= MAX_KEPT) this.forgetKept(count >> 1);
  }

  /** The pace: from the least late line of the first quarter to that of the last, the first fifth left out. */
  private settleMeasurement(): void {
    const { kept } = this;
    const count = kept.length;
    let from = 0;
    const startS = kept[0] + LEAVE_OUT_PART * (kept[count - 1] - kept[0]);
    while (from < count - 2 && kept[from] < startS) from += 1;
    if (count < 2 * MEASURE_LINES) from = 0;
    const roughS = Math.max(1e-7, (kept[count - 1] - kept[from]) / Math.max(1, count - 1 - from));
    const low = leastLate(kept, from, from + Math.max(1, (count - from) >> 2), roughS);
    const high = leastLate(kept, count - Math.max(1, (count - from) >> 2), count, roughS);
    const slopeS = high > low && kept[high] > kept[low] ? (kept[high] - kept[low]) / (high - low) : roughS;
    this.tie = new HostTie({ slope: slopeS, tolerance: PACE_TOLERANCE });
    const best = leastLate(kept, from, count, slopeS);
    // lines stored before the source was started have no time in this trace
    const beforeStart = this.lastS === -Infinity ? Math.max(0, Math.ceil(best - kept[best] / slopeS - 1e-6)) : 0;
    this.forgetKept(Math.min(beforeStart, count - 1));
    this.anchorKept(Math.max(0, best - beforeStart));
    this.settle(false);
  }

  /** The pace was being measured anew and too few lines came: the former pace serves; without one no time can be told. */
  private settleAtFormerPace(): void {
    if (this.formerPeriodS === null) {
      this.forgetKept(this.kept.length);
      return;
    }
    this.tie = new HostTie({ slope: this.formerPeriodS, tolerance: PACE_TOLERANCE });
    this.settle(true);
  }

  private look(nowS: number): void {
    if (this.tie === null) return;
    const periodS = this.tie.secondsPerCount;
    const newest = this.kept.length - 1;
    const behindS = this.kept[newest] - this.tie.at(this.keptFrom + newest);
    if (!this.gapDue && behindS <= Math.max(BEHIND_S, BEHIND_PERIODS * periodS)) this.settle(false);
    else if (nowS - this.kept[0] >= Math.max(LOOK_S, LOOK_PERIODS * periodS) || this.kept.length >= MAX_KEPT) this.settle(true);
  }

  /** Gives out the lines kept; `behind` = they do not fit the grid any more and get a new start by their arrival. */
  private settle(behind: boolean): void {
    const { tie, kept, keptFrom } = this;
    if (tie === null) return;
    let gap = this.gapDue;
    if (behind) {
      const best = leastLate(kept, 0, kept.length, tie.secondsPerCount);
      gap ||= kept[best] - tie.at(keptFrom + best) > Math.max(BEHIND_S, BEHIND_PERIODS * tie.secondsPerCount) && this.lastS !== -Infinity;
      this.anchorKept(best);
    }
    this.kept = [];
    this.mode = 'running';
    this.gapDue = false;
    for (let i = 0; i < kept.length; i += 1) {
      this.give(keptFrom + i, i === 0 && gap);
      tie.observe(keptFrom + i, kept[i]);
    }
  }

  /** Puts the grid so that kept line `best` has its arrival for its time, and no line lies before 0 or before what was given out. */
  private anchorKept(best: number): void {
    if (this.tie === null) return;
    const periodS = this.tie.secondsPerCount;
    const wantedS = this.kept[best] - best * periodS;
    const firstS = Math.max(wantedS, 0, this.lastS + periodS);
    this.leadS = firstS - wantedS;
    this.tie.anchor(this.keptFrom, firstS);
  }

  private measureAnew(): void {
    this.mode = 'measuring';
    this.formerPeriodS = this.tie?.secondsPerCount ?? null;
    this.tie = null;
    this.gapDue = true;
  }

  private forgetKept(count: number): void {
    for (let i = 0; i < count; i += 1) this.sink.drop(this.keptFrom + i);
    this.kept = this.kept.slice(count);
    this.keptFrom += count;
  }

  private give(index: number, afterGap: boolean): void {
    if (this.tie === null) return;
    const atS = Math.max(this.tie.at(index), this.lastS + 0.01 * this.tie.secondsPerCount);
    this.lastS = atS;
    this.sink.give(index, atS, afterGap);
  }
}

/** Of the arrivals `[startIndex, endIndex)` the index of the one least behind an even grid of this period. */
function leastLate(arrivals: readonly number[], startIndex: number, endIndex: number, periodS: number): number {
  let best = startIndex;
  for (let i = startIndex + 1; i < endIndex; i += 1) {
    if (arrivals[i] - i * periodS < arrivals[best] - best * periodS) best = i;
  }
  return best;
}
