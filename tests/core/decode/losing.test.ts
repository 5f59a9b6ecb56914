import { describe, expect, it } from 'vitest';
import { LineDecoder } from '../../../src/core/decode/decoder.ts';
import type { LoggerNotice } from '../../../src/core/decode/logger.ts';
import { blockLine, countingBlock, helloLine } from './kit.ts';

const RATE_HZ = 50_000;
const BLOCK = 250;
const BLOCK_S = BLOCK / RATE_HZ;
/** Twelve seconds of blocks. */
const BLOCKS = 12 / BLOCK_S;

/** What is said of a stream of which only the lines that `arrives` lets through arrive. */
function noticesOf(arrives: (line: string, k: number) => string | null, blocks = BLOCKS): string[] {
  const notices: LoggerNotice[] = [];
  const decoder = new LineDecoder(null, { logger: () => undefined, gap: () => undefined, samples: () => undefined, notice: (notice) => void notices.push(notice) });
  decoder.line(helloLine({}, RATE_HZ), 0);
  for (let k = 0; k < blocks; k++) {
    const line = arrives(blockLine(k, Math.round(k * BLOCK_S * 1e6), countingBlock(k * BLOCK, BLOCK)), k);
    if (line !== null) decoder.line(line, (k + 1) * BLOCK_S);
  }
  return notices.filter(({ code }) => code === 'losing').map(({ text }) => text);
}

describe('a line that cannot carry what the logger sends', () => {
  it('is told once a minute at most, with how much arrives and the usual rate that would hold', () => {
    const said = noticesOf((line, k) => (k % 5 === 4 ? null : line));
    expect(said).toHaveLength(1);
    expect(said[0]).toContain('of 50 kS/s about 40 kS/s arrive');
    // four fifths of 40 are 32; of 1, 2, 5, 10, 20, 50 … the highest below
    expect(said[0]).toContain('20 kS/s would hold');
    expect(noticesOf((line, k) => (k % 5 === 4 ? null : line), 75 / BLOCK_S)).toHaveLength(2);
  });

  it('is told apart from one whose lines come damaged', () => {
    const said = noticesOf((line, k) => (k % 5 === 4 ? line.replace(/.{6}\*/, '!!!!!!*') : line));
    expect(said).toHaveLength(1);
    expect(said[0]).toContain('look at plug, cable and ground first');
  });

  it('is not claimed where nothing is lost, or once, as by a plug pulled out and put back', () => {
    expect(noticesOf((line) => line)).toEqual([]);
    expect(noticesOf((line, k) => (k > 600 && k < 1000 ? null : line))).toEqual([]);
  });
});
