import { expect } from 'vitest';
import { Chip } from './chip.ts';
import type { ChipOptions } from './chip.ts';
import { LineLog } from './read-lines.ts';

/** A chip with everything it sends collected as lines, from power-on. */
export function startLogger(options: ChipOptions): { chip: Chip; log: LineLog } {
  const chip = new Chip(options);
  const log = new LineLog();
  chip.onByte = (byte) => log.take(byte);
  return { chip, log };
}

/** What an ADC logger says at its start as long as nobody has measured its 5 V. */
export const ADC_START = ['start', 'supply-unset'];

export interface Samples {
  /** the logger's own clock, s */
  readonly timeS: number[];
  readonly current: number[];
  readonly voltage: number[];
}

/** All samples in counts, each at its block's time plus whole periods. */
export function samplesOf(log: LineLog, rateHz: number): Samples {
  const all: Samples = { timeS: [], current: [], voltage: [] };
  for (const block of log.of('block')) {
    for (let i = 0; i < block.current.length; i++) {
      all.timeS.push(block.tUs / 1e6 + i / rateHz);
      all.current.push(block.current[i]!);
      all.voltage.push(block.voltage[i]!);
    }
  }
  return all;
}

/** Every block there, numbered from 0, each where the one before it ended. */
export function expectUnbroken(log: LineLog, rateHz: number): void {
  expect(log.of('damaged')).toEqual([]);
  const blocks = log.of('block');
  let dueUs = blocks[0]!.tUs;
  for (const [index, block] of blocks.entries()) {
    expect([block.seq, block.tUs]).toEqual([index, dueUs]);
    dueUs += (block.current.length * 1e6) / rateHz;
  }
}
