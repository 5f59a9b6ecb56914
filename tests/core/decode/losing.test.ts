import { describe, expect, it } from 'vitest';
import { LineDecoder } from '../../../src/core/decode/decoder.ts';
import { MAX_LINE_BYTES } from '../../../src/core/decode/line-splitter.ts';
import type { LoggerNotice, Overload } from '../../../src/core/decode/logger.ts';
import { blockLine, countingBlock, helloLine } from './kit.ts';

const RATE_HZ = 50_000;
const BLOCK = 250;
const BLOCK_S = BLOCK / RATE_HZ;
/** Twelve seconds of blocks. */
const BLOCKS = 12 / BLOCK_S;

/** A stream of which only the lines that `arrives` lets through arrive: what is said of it, and what share it is said to lose after each second. */
function streamOf(arrives: (line: string, k: number) => string | null, blocks = BLOCKS): { decoder: LineDecoder; said: string[]; saidAtS: number[]; overload: (Overload | null)[] } {
  const notices: LoggerNotice[] = [];
  const overload: (Overload | null)[] = [];
  const decoder = new LineDecoder(null, { logger: () => undefined, gap: () => undefined, samples: () => undefined, notice: (notice) => void notices.push(notice) });
  decoder.line(helloLine({}, RATE_HZ), 0);
  for (let k = 0; k < blocks; k++) {
    const line = arrives(blockLine(k, Math.round(k * BLOCK_S * 1e6), countingBlock(k * BLOCK, BLOCK)), k);
    if (line !== null) decoder.line(line, (k + 1) * BLOCK_S);
    if (k % (1 / BLOCK_S) === 0) overload.push(decoder.overloadAt((k + 1) * BLOCK_S));
  }
  const losing = notices.filter(({ code }) => code === 'losing');
  return { decoder, said: losing.map(({ text }) => text), saidAtS: losing.map(({ atS }) => atS), overload };
}

function noticesOf(arrives: (line: string, k: number) => string | null): string[] {
  return streamOf(arrives).said;
}

describe('a line that cannot carry what the logger sends', () => {
  it('is reported once, with how much arrives and the usual rate that would hold', () => {
    const said = noticesOf((line, k) => (k % 5 === 4 ? null : line));
    expect(said).toHaveLength(1);
    expect(said[0]).toContain('of 50 kS/s about 40 kS/s arrive');
    // four fifths of 40 are 32; of 1, 2, 5, 10, 20, 50 … the highest below
    expect(said[0]).toContain('20 kS/s would hold');
  });

  it('is told apart from one whose lines come damaged', () => {
    const said = noticesOf((line, k) => (k % 5 === 4 ? line.replace(/.{6}\*/, '!!!!!!*') : line));
    expect(said).toHaveLength(1);
    expect(said[0]).toContain('check plug, cable and ground first');
  });

  it('is not claimed where nothing is lost, or once, as by a plug pulled out and put back', () => {
    expect(noticesOf((line) => line)).toEqual([]);
    expect(noticesOf((line, k) => (k > 600 && k < 1000 ? null : line))).toEqual([]);
  });

  it('is reported in figures for as long as it is so', () => {
    const { decoder, overload, saidAtS } = streamOf((line, k) => (k % 5 === 4 && k < BLOCKS ? null : line), 2 * BLOCKS);
    // with the last sample of a block, after five seconds from the first on
    expect(saidAtS).toEqual([expect.closeTo(5, 1)]);
    expect(overload[2]).toBeNull();
    expect(overload[11]).toMatchObject({ rateHz: RATE_HZ, heldRateHz: 20_000, damaged: false });
    expect(overload[11]!.lost).toBeCloseTo(0.2, 2);
    expect(overload[11]!.arrivedHz).toBeCloseTo(40_000, -3);
    expect(overload[22]).toBeNull();
    expect(decoder.overloadAt(24)).toBeNull();
  });

  it('is no longer reported when nothing comes any more', () => {
    const { decoder } = streamOf((line, k) => (k % 5 === 4 ? null : line));
    expect(decoder.overloadAt(12)).not.toBeNull();
    expect(decoder.overloadAt(30)).toBeNull();
  });

  it('is reported also where every line is longer than any that is read', () => {
    const { decoder, overload, said, saidAtS } = streamOf((line) => line.padEnd(MAX_LINE_BYTES + 1, 'A'), BLOCKS / 2);
    expect(overload[5]).toMatchObject({ lost: 1, arrivedHz: 0, heldRateHz: null });
    expect(said).toHaveLength(1);
    // no sample came: at the beginning
    expect(saidAtS).toEqual([0]);
    expect(decoder.damage.tooLong).toBe(BLOCKS / 2);
  });
});
