import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { LineDecoder } from '../../src/core/decode/decoder.ts';
import type { SampleBlock } from '../../src/core/trace.ts';
import { readLine } from './support/read-lines.ts';

const page = readFileSync(new URL('../../firmware-notes/line-protocol.md', import.meta.url), 'utf8');
const fenced = [...page.matchAll(/^```(\w*)\n([\s\S]*?)^```$/gm)].filter((match) => match[1] === '').flatMap((match) => match[2]!.trim().split('\n'));

describe('the lines printed on the protocol page', () => {
  test('are read by the program: hello, block and notice as the page says', () => {
    const blocks: SampleBlock[] = [];
    const names: string[] = [];
    const codes: string[] = [];
    const decoder = new LineDecoder(null, {
      logger: (info) => names.push(info.name),
      samples: (block) => blocks.push(block),
      gap: () => {},
      notice: (notice) => codes.push(notice.code),
    });
    const framed = fenced.filter((line) => /^[#@!]/.test(line));
    expect(framed.length).toBe(3);
    for (const [i, line] of framed.entries()) decoder.line(line, i / 100);
    expect(decoder.damage).toEqual({ badCrc: 0, malformed: 0, tooLong: 0, lostBlocks: 0, restarts: 0 });
    expect(names).toEqual(['reference logger, ADC']);
    expect(codes).toEqual(['start']);
    expect(blocks.reduce((sum, block) => sum + block.timeS.length, 0)).toBe(30);
    // First count 1D 02 little-endian = 541: 29 above the zero, times 0.073982 A.
    expect(blocks[0]!.currentA[0]).toBeCloseTo(2.1455, 3);
  });

  test('are read alike by a second reader written from the page', () => {
    expect(fenced.filter((line) => /^[#@!]/.test(line)).map((line) => readLine(line).kind)).toEqual(['hello', 'block', 'notice']);
  });
});
