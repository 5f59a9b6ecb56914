export { seededRandom as seeded } from '../../../src/core/random.ts';
import { decodeInt16 } from '../../../src/core/decode/base64.ts';
import { LineDecoder } from '../../../src/core/decode/decoder.ts';
import { parseFramedLine, type FramedLine } from '../../../src/core/decode/framed-line.ts';
import { MAX_LINE_BYTES } from '../../../src/core/decode/line-splitter.ts';
import type { DecodedLogger, DecoderSink, LoggerNotice } from '../../../src/core/decode/logger.ts';
import { parseColumns } from '../../../src/core/decode/columns.ts';
import type { Gap } from '../../../src/core/trace.ts';
import { encodeInt16, frameLine } from './encode.ts';

export const SCALE_A = 0.001;
export const SCALE_V = 0.0005;

export function helloLine(changes: Record<string, unknown> = {}, rateHz = 1000): string {
  return frameLine('#', JSON.stringify({
    protocol: 1,
    logger: 'bench logger',
    serial: 'B7',
    firmware: '1.0',
    rate_hz: rateHz,
    channels: [
      { name: 'current', unit: 'A', scale: SCALE_A, zero: 0, range: [-30, 30] },
      { name: 'voltage', unit: 'V', scale: SCALE_V, zero: 0, range: [0, 16] },
    ],
    ...changes,
  }));
}

export function blockLine(seq: number, deviceUs: number, counts: Int16Array, width = 2): string {
  return frameLine('@', `${seq % 2 ** 32},${deviceUs % 2 ** 32},${counts.length / width},${encodeInt16(counts)}`);
}

/** Counts that carry their own number, so that a lost, doubled or misplaced sample shows: current counts up, voltage counts down. */
export function countingBlock(firstSample: number, count: number): Int16Array {
  const counts = new Int16Array(count * 2);
  for (let i = 0; i < count; i += 1) {
    counts[2 * i] = ((firstSample + i) % 30_000);
    counts[2 * i + 1] = -((firstSample + i) % 30_000);
  }
  return counts;
}

export interface Collected extends DecoderSink {
  readonly timeS: number[];
  readonly currentA: number[];
  readonly voltageV: number[];
  readonly gaps: Gap[];
  readonly notices: LoggerNotice[];
  readonly loggers: DecodedLogger[];
  /** largest number of samples in one block */
  blocks: number;
}

/** A sink that keeps everything and complains at once about what no sink may ever be given. */
export function collect(): Collected {
  const all: Collected = {
    timeS: [], currentA: [], voltageV: [], gaps: [], notices: [], loggers: [], blocks: 0,
    logger: (info) => void all.loggers.push(info),
    gap(gap) {
      const lastS = all.timeS.at(-1);
      if (gap.startS !== lastS) throw new Error(`gap starts at ${gap.startS}, the last sample was at ${lastS}`);
      if (!(gap.endS > gap.startS)) throw new Error(`gap of no length at ${gap.startS}`);
      all.gaps.push(gap);
    },
    notice(notice) {
      if (!Number.isFinite(notice.atS) || notice.atS < 0) throw new Error(`notice at ${notice.atS}`);
      all.notices.push(notice);
    },
    samples(block) {
      all.blocks += 1;
      const { timeS, currentA, voltageV } = block;
      if (timeS.length === 0 || currentA.length !== timeS.length || (voltageV !== null && voltageV.length !== timeS.length)) throw new Error('columns of unequal length');
      const gap = all.gaps.at(-1);
      if (gap !== undefined && gap.startS === all.timeS.at(-1) && gap.endS !== timeS[0]) throw new Error(`gap ends at ${gap.endS}, the next sample is at ${timeS[0]}`);
      for (let i = 0; i < timeS.length; i += 1) {
        const lastS = all.timeS.at(-1) ?? -1e-12;
        if (!(timeS[i]! > lastS) || timeS[i]! < 0) throw new Error(`time ${timeS[i]} after ${lastS}`);
        if (!Number.isFinite(timeS[i]!) || !Number.isFinite(currentA[i]!) || !Number.isFinite(voltageV?.[i] ?? 0)) throw new Error('a value that is no number');
        all.timeS.push(timeS[i]!);
        all.currentA.push(currentA[i]!);
        if (voltageV !== null) all.voltageV.push(voltageV[i]!);
      }
    },
  };
  return all;
}

export function bytesOf(text: string): Uint8Array {
  return Uint8Array.from(text, (character) => character.charCodeAt(0) & 0xff);
}

/** A framed line from its text. */
export function framed(text: string, width: number | null): FramedLine {
  const bytes = bytesOf(text);
  return parseFramedLine(bytes, 0, bytes.length, width, new Int16Array(MAX_LINE_BYTES));
}

/** Counts from base64 text; null where it is refused. */
export function int16Of(text: string, count: number): Int16Array | null {
  const bytes = bytesOf(text);
  const counts = new Int16Array(count);
  return decodeInt16(bytes, 0, bytes.length, counts) ? counts : null;
}

/** A decoder that has been opened and has its first, partial line behind it. */
export function openDecoder(columns: string | null = null): { decoder: LineDecoder; all: Collected } {
  const all = collect();
  const answer = columns === null ? null : parseColumns(columns);
  if (answer !== null && !answer.ok) throw new Error(answer.text);
  const decoder = new LineDecoder(answer === null ? null : answer.columns, all);
  decoder.line('the rest of a lin', 0);
  return { decoder, all };
}

/**
 * A virtual logger on the line: blocks from a clock that runs `fast` (as a part: 0.005 = 0.5 % fast) and arrive late by what `lateS` says.
 * `send` gives the k-th block to the decoder; its samples are numbered from k × blockSamples.
 */
export function virtualLogger(options: { rateHz?: number; blockSamples?: number; fast?: number; startUs?: number; startSeq?: number; bootS?: number; lateS?: (k: number) => number } = {}) {
  const { rateHz = 1000, blockSamples = 50, fast = 0, startUs = 0, startSeq = 0, bootS = 0.1, lateS = () => 0.002 } = options;
  const periodUs = 1e6 / rateHz;
  return {
    blockSamples,
    /** host time of sample n, s */
    trueS: (n: number): number => bootS + (n * periodUs) / 1e6 / (1 + fast),
    line: (k: number): string => blockLine(startSeq + k, Math.round(startUs + k * blockSamples * periodUs), countingBlock(k * blockSamples, blockSamples)),
    arrivalS: (k: number): number => bootS + ((k + 1) * blockSamples * periodUs) / 1e6 / (1 + fast) + lateS(k),
    send(decoder: LineDecoder, k: number): void {
      decoder.line(this.line(k), this.arrivalS(k));
    },
  };
}

