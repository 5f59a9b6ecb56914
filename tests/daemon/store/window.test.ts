import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { expectSameRaster } from '../../core/tracefile/same-raster.ts';
import { wholeWindow } from '../../core/tracefile/whole-window.ts';
import { columnEdges, PixelColumns } from '../../../src/core/tracefile/window/pixel-columns.ts';
import { joinBlocks } from '../../../src/core/trace.ts';
import { openTrace } from '../../../src/daemon/store/samples/reading/trace-reader.ts';
import { capture, recording, scratch, seeded } from './kit.ts';

describe('a window of samples in memory', () => {
  it('draws exactly what all its samples draw (Jugel et al., M4, VLDB 2014), for any recording, window and width', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 3000 }), fc.integer(), fc.double({ min: -0.2, max: 0.9, noNaN: true }), fc.double({ min: 0.05, max: 1.3, noNaN: true }), fc.integer({ min: 1, max: 120 }), fc.boolean(), (samples, seed, from, width, columns, withGap) => {
        const first = recording(samples, 1000, seed, 0);
        const second = recording(Math.ceil(samples / 2), 400, seed + 1, samples / 1000 + 0.3);
        const gaps = withGap ? [{ startS: (samples - 1) / 1000, endS: samples / 1000 + 0.3 }] : [];
        const all = withGap ? joinBlocks([first, second], gaps) : first;
        const lengthS = all.timeS[all.timeS.length - 1]! + 0.001;
        const fromS = from * lengthS;
        const toS = fromS + width * lengthS;
        const window = wholeWindow([all], gaps, fromS, toS, columns);
        expect(window.timeS.length).toBeLessThanOrEqual(4 * columns + 4 * gaps.length);
        expectSameRaster(all, window, gaps, fromS, toS, columns);
      }),
      { numRuns: 300 },
    );
  });

  it('gives rising times and true extremes in every column', () => {
    const all = recording(20_000, 1000, 5);
    const pixels = new PixelColumns(columnEdges(0, 20, 50, []));
    pixels.addRows(all);
    const points = pixels.points();
    for (let i = 1; i < points.timeS.length; i++) expect(points.timeS[i]).toBeGreaterThan(points.timeS[i - 1]!);
    expect(Math.max(...points.currentA)).toBe(Math.max(...all.currentA));
    expect(Math.min(...points.voltageV!)).toBe(Math.min(...all.voltageV!));
  });

  it('refuses a window without length and a width that no screen has', () => {
    expect(() => columnEdges(1, 1, 10, [])).toThrow(/must have a length/);
    expect(() => columnEdges(0, Number.NaN, 10, [])).toThrow(/must have a length/);
    expect(() => columnEdges(0, 1, 0, [])).toThrow(/columns/);
    expect(() => columnEdges(0, 1, 1e9, [])).toThrow(/columns/);
  });
});

describe('a window of a stored trace', () => {
  const folder = scratch();

  it('draws exactly what all its samples draw, from single samples up to the highest level, over gaps, with any flush size', async () => {
    const random = seeded(20260302);
    for (let round = 0; round < 14; round++) {
      const samples = 3000 + Math.floor(random() * 120_000);
      const withVoltage = random() < 0.7;
      const first = recording(samples, 1000, round, 0, withVoltage);
      const second = recording(20_000, 250, round + 99, samples / 1000 + 2, withVoltage);
      const gaps = [{ startS: (samples - 1) / 1000, endS: samples / 1000 + 2 }];
      const path = join(folder, `w${round}`);
      await capture(path, { pieces: [first, gaps[0]!, second], flushEvery: 1 + Math.floor(random() * 9000) });
      const all = joinBlocks([first, second], gaps);
      const endS = all.timeS[all.timeS.length - 1]!;
      const reader = await openTrace(path);
      expect(reader.gaps).toEqual(gaps);
      for (let view = 0; view < 12; view++) {
        const lengthS = view === 0 ? endS * 1.1 : endS * 10 ** (-3 * random());
        const fromS = view === 0 ? -0.05 * endS : (endS - lengthS) * random();
        const columns = 1 + Math.floor(random() * 60);
        const window = await reader.window(fromS, fromS + lengthS, columns);
        expectSameRaster(all, window, gaps, fromS, fromS + lengthS, columns);
      }
      await reader.close();
      rmSync(path, { recursive: true });
    }
  });

  it('gives every sample when there are few, with one more on each side so that the line goes on', async () => {
    const path = join(folder, 'few');
    await capture(path, { pieces: [recording(5000, 1000, 1)] });
    const reader = await openTrace(path);
    const window = await reader.window(2.0005, 2.0105, 800);
    expect(window.reduced).toBe(false);
    expect([...window.timeS]).toEqual(Array.from({ length: 12 }, (_, i) => (2000 + i) / 1000));
    await reader.close();
  });

  it('never draws a reading that the disk has changed, though it does not check every byte', async () => {
    const path = join(folder, 'flipped');
    const all = recording(60_000, 1000, 6);
    const highest = Math.max(...all.currentA);
    await capture(path, { pieces: [all], flushEvery: 700 });
    const samplesPath = join(path, 'samples.arrows');
    const whole = readFileSync(samplesPath);
    const random = seeded(9);
    let reported = 0;
    for (let round = 0; round < 40; round++) {
      const bytes = Buffer.from(whole);
      const value = Buffer.alloc(4);
      value.writeFloatLE(all.currentA[Math.floor(random() * 60_000)]!);
      const at = bytes.indexOf(value);
      // the highest bit of the exponent: a few ampere become 10^38, or nothing
      bytes[at + 3]! ^= 0x40;
      writeFileSync(samplesPath, bytes);
      const reader = await openTrace(path);
      for (const columns of [20, 60, 250]) {
        const window = await reader.window(0, 60, columns);
        expect(Math.max(...window.currentA), `round ${round}, ${columns} columns`).toBeLessThanOrEqual(highest);
      }
      if (reader.problems.length > 0) reported++;
      await reader.close();
    }
    // where all rows are read, or the bound of a column is there, the damage is seen and reported
    expect(reported).toBeGreaterThan(5);
  });
});
