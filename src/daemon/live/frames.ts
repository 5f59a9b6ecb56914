import { encodeSampleFrame, type SampleFrame } from '../../core/wire/sample-frame.ts';
import type { SampleBlock } from '../../core/trace.ts';
import type { ToPage } from '../../core/wire/messages.ts';
import type { Clock } from '../clock.ts';
import { joinAll } from '../../core/sample-blocks.ts';
import { reduceToColumns } from './reduce.ts';

/** 30 frames a second at most: smooth to the eye, and few large frames cost far less than many small ones. */
const FRAME_MS = 1000 / 30;
/** A frame carries up to this many samples as measured (7.7 kHz); beyond, its extremes, from which the page draws the same picture. */
const MAX_FRAME_POINTS = 256;
const REDUCED_COLUMNS = 64;
const READING_MS = 100;

type Reading = Extract<ToPage, { type: 'reading' }>;

/** Collects samples and hands them on as encoded frames at most 30 times a second, with a reading for the big figures ten times a second. */
export class LiveFrames {
  readonly #clock: Clock;
  readonly #onFrame: (bytes: Uint8Array) => void;
  readonly #onReading: (reading: Reading) => void;
  #waiting: SampleBlock[] = [];
  #timer: NodeJS.Timeout | null = null;
  #lastFrameMs = -Infinity;
  #lastReadingMs = -Infinity;
  #sequence = 0;
  #figures = new Figures();
  /** readings at or past these bounds are outside what the sensor can measure */
  rangeA: readonly [number, number] | null = null;

  constructor(clock: Clock, onFrame: (bytes: Uint8Array) => void, onReading: (reading: Reading) => void) {
    this.#clock = clock;
    this.#onFrame = onFrame;
    this.#onReading = onReading;
  }

  push(block: SampleBlock): void {
    this.#waiting.push(block);
    this.#figures.add(block, this.rangeA);
    if (this.#timer !== null) return;
    const waitMs = this.#lastFrameMs + FRAME_MS - this.#clock.nowMs();
    if (waitMs <= 0) this.flush();
    else this.#timer = setTimeout(() => this.flush(), waitMs);
  }

  /** sends what waits, now */
  flush(): void {
    if (this.#timer !== null) clearTimeout(this.#timer);
    this.#timer = null;
    if (this.#waiting.length === 0) return;
    const nowMs = this.#clock.nowMs();
    this.#lastFrameMs = nowMs;
    // blocks of a source that changed its channels do not share one frame
    for (const block of joinAll(this.#waiting)) this.#onFrame(encodeSampleFrame(this.#frame(block)));
    this.#waiting = [];
    // half a frame early rather than one frame late, so that it is ten a second and not seven
    if (nowMs - this.#lastReadingMs >= READING_MS - FRAME_MS / 2) {
      this.#lastReadingMs = nowMs;
      this.#onReading(this.#figures.take());
    }
  }

  stop(): void {
    if (this.#timer !== null) clearTimeout(this.#timer);
    this.#timer = null;
    this.#waiting = [];
  }

  #frame(block: SampleBlock): SampleFrame {
    const startS = block.timeS[0]!;
    const endS = block.timeS[block.timeS.length - 1]!;
    const reduced = block.timeS.length > MAX_FRAME_POINTS;
    return { sequence: this.#sequence++, reduced, startS, endS, ...(reduced ? reduceToColumns(block, startS, endS, REDUCED_COLUMNS) : block) };
  }
}

/** Mean, peak and range of what came since the last reading. */
class Figures {
  #count = 0;
  #sumA = 0;
  #sumV = 0;
  #hasVoltage = false;
  #peakA = 0;
  #overRange = false;
  #atS = 0;

  add({ timeS, currentA, voltageV }: SampleBlock, rangeA: readonly [number, number] | null): void {
    const lowA = rangeA === null ? -Infinity : rangeA[0];
    const highA = rangeA === null ? Infinity : rangeA[1];
    this.#hasVoltage = voltageV !== null;
    for (let i = 0; i < currentA.length; i++) {
      const valueA = currentA[i]!;
      this.#sumA += valueA;
      if (Math.abs(valueA) > Math.abs(this.#peakA)) this.#peakA = valueA;
      if (valueA <= lowA || valueA >= highA) this.#overRange = true;
      if (voltageV !== null) this.#sumV += voltageV[i]!;
    }
    this.#count += currentA.length;
    this.#atS = timeS[timeS.length - 1]!;
  }

  take(): Reading {
    const count = Math.max(1, this.#count);
    const reading: Reading = {
      type: 'reading',
      atS: this.#atS,
      currentA: this.#sumA / count,
      voltageV: this.#hasVoltage ? this.#sumV / count : null,
      peakA: this.#peakA,
      overRange: this.#overRange,
    };
    this.#count = this.#sumA = this.#sumV = this.#peakA = 0;
    this.#overRange = false;
    return reading;
  }
}
