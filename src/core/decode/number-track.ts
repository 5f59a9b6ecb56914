import { ArrivalClock, MAX_KEPT, type TimeSink } from './arrival-clock.ts';
import type { ClockReport, DecoderSink } from './logger.ts';
import { MAX_CLOCK_S, MAX_CURRENT_A, MAX_VOLTAGE_V, type LineLayout } from './number-line.ts';
import { OwnClock } from './own-clock.ts';
import { language } from '../present/language.ts';

const words = language.files.numberTrack;

/** Lines kept at the start to see whether their own time runs with the computer's clock: as long as ArrivalClock measures, longer for a slow sketch, at most so many. */
const COMPARED = { spanS: 1, lines: 8, slowSpanS: 3, slowLines: 3, longestS: 5, mostLines: 50_000 } as const;
/**
 * Pace of a column against the computer's clock, as a ratio either way. same: it is a clock · last: it is one after the longest look ·
 * uncertain: perhaps a busy computer that handed the lines on late, looked at longer (units lie a factor of 60 or 1000 apart)
 */
const PACE_RATIO = { same: 1.25, last: 2, uncertain: 15 } as const;
/** So many times the lines' clock may fall back before it is said. */
const FALLS_TO_SAY = 5;
/** Lines that may wait for their time: a power of two above what is kept here and in either clock. */
const WAITING = 65_536;
/** Samples handed on at once. */
const MAX_BLOCK = 512;

interface EarlyLine {
  readonly index: number;
  readonly timeS: number;
  readonly arrivalS: number;
}

/** Plain number lines to samples: columns to SI units, times from the lines' own clock or from their arrival, blocks without a gap inside. */
export class NumberTrack implements TimeSink {
  private readonly layout: LineLayout;
  private readonly sink: DecoderSink;
  private readonly arrival: ArrivalClock;
  private own: OwnClock | null = null;
  private usesOwn: boolean;
  private early: EarlyLine[] = [];
  private next = 0;
  private refusedLines = 0;
  /** times the lines' own clock fell back before it was believed; the first may be a board that restarts on opening */
  private falls = 0;
  private readonly said = new Set<string>();
  /** values of the lines whose time is not known yet, at their index modulo the length */
  private readonly waitingA = new Float64Array(WAITING);
  private readonly waitingV = new Float64Array(WAITING);
  private readonly timeS = new Float64Array(MAX_BLOCK);
  private readonly currentA = new Float32Array(MAX_BLOCK);
  private readonly voltageV = new Float32Array(MAX_BLOCK);
  private count = 0;
  private lastS = -Infinity;
  private nowS = 0;

  /** All times given out are later than `floorS`, what another track gave out; -Infinity for none. */
  constructor(layout: LineLayout, sink: DecoderSink, floorS: number) {
    this.layout = layout;
    this.lastS = floorS;
    this.sink = sink;
    this.usesOwn = layout.timeAt >= 0;
    this.arrival = new ArrivalClock(this, floorS);
  }

  /** lines refused: values that cannot be, times that cannot be */
  get refused(): number {
    return this.refusedLines + (this.own?.refused ?? 0);
  }

  get restarts(): number {
    return this.own?.restarts ?? 0;
  }

  line(numbers: ArrayLike<number>, arrivalS: number): void {
    this.nowS = arrivalS;
    const { layout } = this;
    const currentA = numbers[layout.currentAt] * layout.currentFactor;
    const voltageV = layout.voltageAt < 0 ? 0 : numbers[layout.voltageAt] * layout.voltageFactor;
    const timeS = layout.timeAt < 0 ? 0 : numbers[layout.timeAt] * layout.timeFactor;
    const fits = Math.abs(currentA) <= MAX_CURRENT_A && Math.abs(voltageV) <= MAX_VOLTAGE_V && Math.abs(timeS) <= MAX_CLOCK_S;
    if (!fits) {
      this.refusedLines += 1;
      return;
    }
    const index = this.next;
    this.next += 1;
    const slot = index & (WAITING - 1);
    this.waitingA[slot] = currentA;
    this.waitingV[slot] = voltageV;
    if (!this.usesOwn) this.arrival.push(index, arrivalS);
    else if (this.own !== null) this.own.push(index, timeS, arrivalS);
    else this.compare({ index, timeS, arrivalS });
  }

  tick(nowS: number): void {
    if (!this.usesOwn) this.arrival.tick(nowS);
    this.handOn();
  }

  interrupt(): void {
    if (this.usesOwn && this.own === null) this.giveUpComparing();
    if (this.usesOwn) this.own?.interrupt();
    else this.arrival.interrupt();
    this.handOn();
  }

  flush(): void {
    if (this.usesOwn && this.own === null) this.settleEarly(true);
    if (this.usesOwn) this.own?.flush();
    else this.arrival.flush();
    this.handOn();
  }

  report(): ClockReport | null {
    return this.usesOwn ? (this.own?.report() ?? null) : this.arrival.report();
  }

  give(index: number, atS: number, afterGap: boolean): void {
    const slot = index & (WAITING - 1);
    if (!(atS > this.lastS)) return;
    if (afterGap && this.lastS !== -Infinity) {
      this.handOn();
      this.sink.gap({ startS: this.lastS, endS: atS });
    } else if (this.count === MAX_BLOCK) this.handOn();
    this.timeS[this.count] = atS;
    this.currentA[this.count] = this.waitingA[slot];
    this.voltageV[this.count] = this.waitingV[slot];
    this.count += 1;
    this.lastS = atS;
  }

  overrun(lines: number): void {
    this.refusedLines += lines;
    this.notice('too-fast', words.numberLinesComeFaster(MAX_KEPT));
  }

  /** Each once. */
  private notice(code: string, text: string): void {
    if (this.said.has(code)) return;
    this.said.add(code);
    this.sink.notice({ atS: Math.max(0, this.nowS), code, text });
  }

  private handOn(): void {
    const { count } = this;
    if (count === 0) return;
    this.count = 0;
    this.sink.samples({
      timeS: this.timeS.slice(0, count),
      currentA: this.currentA.slice(0, count),
      voltageV: this.layout.voltageAt < 0 ? null : this.voltageV.slice(0, count),
    });
  }

  /** Keeps the first second of lines that carry a time, until it is seen how that time runs. */
  private compare(line: EarlyLine): void {
    const { early } = this;
    const before = early[early.length - 1];
    // a board that restarts on opening sends a few lines of its former life first; a pause that is none by the lines' clock is the same
    if (before !== undefined && (line.timeS < before.timeS || isPause(before, line))) this.dropEarly();
    this.early.push(line);
    const count = this.early.length;
    const elapsedS = line.arrivalS - this.early[0].arrivalS;
    const enough = (elapsedS >= COMPARED.spanS && count >= COMPARED.lines) || (elapsedS >= COMPARED.slowSpanS && count >= COMPARED.slowLines);
    if (enough || count >= COMPARED.mostLines) this.settleEarly(count >= COMPARED.mostLines || elapsedS >= COMPARED.longestS);
  }

  /** Decides by the pace of the lines kept which clock serves; `last` = there will be no longer look. */
  private settleEarly(last: boolean): void {
    const { early } = this;
    if (early.length === 0) return;
    const first = early[0];
    const newest = early[early.length - 1];
    const ownS = newest.timeS - first.timeS;
    const hostS = newest.arrivalS - first.arrivalS;
    const ratio = ownS / hostS;
    if (!last && isNear(ratio, PACE_RATIO.uncertain) && !isNear(ratio, PACE_RATIO.same)) return;
    this.early = [];
    if (ownS > 0 && (hostS === 0 || isNear(ratio, last ? PACE_RATIO.last : PACE_RATIO.same))) {
      this.startOwn(early);
      return;
    }
    this.usesOwn = false;
    this.notice('time-column', explainPace(ratio, this.layout.timeFactor));
    for (const line of early) this.arrival.push(line.index, line.arrivalS);
  }

  /** Cut off while comparing: the lines kept get their own times if those look right, else none, and the next ones are compared. */
  private giveUpComparing(): void {
    const { early } = this;
    const last = early.length - 1;
    const ratio = last < 1 ? 0 : (early[last].timeS - early[0].timeS) / (early[last].arrivalS - early[0].arrivalS);
    this.early = [];
    if (isNear(ratio, PACE_RATIO.last)) this.startOwn(early);
  }

  /** The least late of the lines kept says when the first was sent; what was sent before the source was started has no time here. */
  private startOwn(lines: readonly EarlyLine[]): void {
    let sentS = Infinity;
    for (const line of lines) sentS = Math.min(sentS, line.arrivalS - (line.timeS - lines[0].timeS));
    const usable = lines.filter((line) => sentS + line.timeS - lines[0].timeS >= 0);
    this.own = new OwnClock(this, this.layout.timeFactor, usualStepS(lines), this.lastS);
    for (const line of usable) this.own.push(line.index, line.timeS, line === usable[0] ? sentS + line.timeS - lines[0].timeS : line.arrivalS);
  }

  private dropEarly(): void {
    this.falls += 1;
    if (this.falls > 1) this.refusedLines += this.early.length;
    if (this.falls > FALLS_TO_SAY) this.notice('time-falls', words.theFirstNumberOf);
    this.early = [];
  }
}

/** Mean time between lines of different time, of which there are some. */
function usualStepS(lines: readonly EarlyLine[]): number {
  let steps = 0;
  for (let i = 1; i < lines.length; i += 1) if (lines[i].timeS > lines[i - 1].timeS) steps += 1;
  return (lines[lines.length - 1].timeS - lines[0].timeS) / steps;
}

/** Did the arrivals pause for much longer than the lines' own clock says? */
function isPause(before: EarlyLine, line: EarlyLine): boolean {
  const pauseS = line.arrivalS - before.arrivalS;
  return pauseS > COMPARED.longestS && line.timeS - before.timeS < pauseS / PACE_RATIO.last;
}

function isNear(ratio: number, limit: number): boolean {
  return ratio < limit && ratio > 1 / limit;
}

function explainPace(ratio: number, factor: number): string {
  const trueFactor = factor / ratio;
  for (const [unit, unitS] of [['s', 1], ['ms', 1e-3], ['us', 1e-6], ['ns', 1e-9], ['min', 60]] as const) {
    if (isNear(trueFactor / unitS, PACE_RATIO.same)) {
      return words.theTimeInThe(unit, unit);
    }
  }
  return words.theFirstNumberOfThe;
}
