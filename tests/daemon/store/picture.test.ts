import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { crc32, inflateSync } from 'node:zlib';
import { beforeAll, describe, expect, it } from 'vitest';
import { drawTrace, PLOT_COLUMNS } from '../../../src/core/picture/drawing.ts';
import { INKS, type Ink } from '../../../src/core/picture/pieces.ts';
import { rasterOf } from '../../../src/core/picture/raster.ts';
import { convertTrace } from '../../../src/daemon/store/exchange/convert.ts';
import { joinBlocks, type SampleBlock } from '../../../src/core/trace.ts';
import { writeJson } from '../../../src/daemon/store/files/record-file.ts';
import { capture, recording, scratch } from './kit.ts';

/** A PNG taken apart by hand as the W3C recommendation (third edition, sections 5 and 11) lays it out. */
function readPng(bytes: Buffer): { width: number; height: number; colourAt: (x: number, y: number) => string; title: string } {
  expect(bytes.subarray(0, 8).toString('hex')).toBe('89504e470d0a1a0a');
  const chunks = new Map<string, Buffer>();
  for (let at = 8; at < bytes.length; ) {
    const length = bytes.readUInt32BE(at);
    const type = bytes.toString('latin1', at + 4, at + 8);
    const data = bytes.subarray(at + 8, at + 8 + length);
    expect(bytes.readUInt32BE(at + 8 + length), type).toBe(crc32(bytes.subarray(at + 4, at + 8 + length)));
    chunks.set(type, data);
    at += 12 + length;
  }
  expect([...chunks.keys()]).toEqual(['IHDR', 'iTXt', 'PLTE', 'IDAT', 'IEND']);
  const header = chunks.get('IHDR')!;
  const [width, height] = [header.readUInt32BE(0), header.readUInt32BE(4)];
  expect([...header.subarray(8)]).toEqual([8, 3, 0, 0, 0]);
  const rows = inflateSync(chunks.get('IDAT')!);
  expect(rows.length).toBe((width + 1) * height);
  const palette = chunks.get('PLTE')!;
  // each row begins with its filter, 0 = none
  for (let y = 0; y < height; y++) if (rows[y * (width + 1)] !== 0) throw new Error(`row ${y} is filtered`);
  return {
    width,
    height,
    colourAt: (x, y) => {
      const index = rows[y * (width + 1) + 1 + x]!;
      return `#${palette.subarray(3 * index, 3 * index + 3).toString('hex')}`;
    },
    title: chunks.get('iTXt')!.toString('utf8').split('\0').at(-1)!,
  };
}

function inked(png: ReturnType<typeof readPng>, ink: Ink): string[] {
  const found: string[] = [];
  for (let y = 0; y < png.height; y++) for (let x = 0; x < png.width; x++) if (png.colourAt(x, y) === INKS[ink]) found.push(`${x},${y}`);
  return found;
}

describe('a picture of a stored trace', () => {
  const folder = scratch();
  const path = join(folder, 'trace');
  const first = recording(200_000, 1000, 3);
  const second = recording(20_000, 1000, 4, 260);
  const gap = { startS: first.timeS[199_999]!, endS: 260 };
  const all: SampleBlock = joinBlocks([first, second], []);
  beforeAll(async () => {
    await capture(path, { pieces: [first, gap, second], marks: [{ timeS: 100, kind: 'pull', label: 'F12' }] });
  });

  it('as PNG sets exactly the pixels that a line through all its samples sets, and leaves the gap open', async () => {
    expect((await convertTrace(path, join(folder, 'p.png'))).samples).toBe(all.timeS.length);
    const png = readPng(readFileSync(join(folder, 'p.png')));
    expect(png.width).toBeGreaterThan(PLOT_COLUMNS);
    // every sample drawn, by the same hand, instead of four points a column: only the choice of points is tested here
    const endS = all.timeS[all.timeS.length - 1]!;
    const whole = rasterOf(drawTrace({ title: '', startS: 0, endS: endS + endS * Number.EPSILON, window: all, gaps: [gap], marks: [] }));
    const index = Object.keys(INKS).indexOf('current');
    const wanted: string[] = [];
    whole.pixels.forEach((pixel, at) => pixel === index && wanted.push(`${at % whole.width},${Math.floor(at / whole.width)}`));
    expect(inked(png, 'current')).toEqual(wanted);
    expect(wanted.length).toBeGreaterThan(4000);
    const open = new Set(inked(png, 'gap').map((pixel) => Number(pixel.split(',')[0])));
    expect(Math.max(...open) - Math.min(...open)).toBeCloseTo((60 / 280) * PLOT_COLUMNS, -1);
    expect(inked(png, 'mark').length).toBeGreaterThan(5);
    expect(png.title).toContain('2026-03-02 08:00');
  });

  it('as SVG has its title as words, escaped, and a line broken at the gap', async () => {
    const tricky = join(folder, 'tricky');
    const writer = await capture(tricky, { pieces: [first, gap, second] });
    const record = { ...writer.record, title: '"step" <left> & right' };

    await writeJson(join(tricky, 'trace.json'), record);
    await convertTrace(tricky, join(folder, 'p.svg'));
    const svg = readFileSync(join(folder, 'p.svg'), 'utf8');
    expect(svg).toContain('<title>&quot;step&quot; &lt;left&gt; &amp; right, 2026-03-02 08:00</title>');
    expect(svg).not.toMatch(/<script|href|NaN|undefined/);
    const [current] = [...svg.matchAll(/<path d="([^"]*)" fill="none" stroke="#0072b2"/g)].map((match) => match[1]!);
    expect(current!.match(/M/g)).toHaveLength(2);
    // the voltage, noise in each column, is dashed across the picture: 7 px of every 11 of 1440, less the gap
    const voltage = /<path d="([^"]*)" fill="none" stroke="#00805d"/.exec(svg)![1]!.match(/M/g)!.length;
    expect(voltage).toBeGreaterThan(90);
    expect(voltage).toBeLessThan(135);
    expect(svg.length).toBeLessThan(400_000);
  });

  it('shows the part that is asked for, says so when there is nothing of it, and writes over nothing', async () => {
    const stretch = (fromS: number, toS: number): { stretch: { fromS: number; toS: number } } => ({ stretch: { fromS, toS } });
    // 2 s of 1000 a second
    expect((await convertTrace(path, join(folder, 'part.svg'), stretch(10, 12))).samples).toBe(2000);
    expect(readFileSync(join(folder, 'part.svg'), 'utf8')).toContain('>11.0 s<');
    await expect(convertTrace(path, join(folder, 'none.png'), stretch(500, 600))).rejects.toThrow(/nothing of .* from 500 s to 600 s: it goes from 0 s to 279\.999 s/);
    await expect(convertTrace(path, join(folder, 'part.svg'))).rejects.toThrow(/exists already/);
    expect(existsSync(join(folder, 'none.png'))).toBe(false);
  });

  it('of one sample, or of a dead flat line, is drawn too', async () => {
    for (const count of [1, 5000]) {
      const flat: SampleBlock = { timeS: Float64Array.from({ length: count }, (_, i) => i / 1000), currentA: new Float32Array(count).fill(0.02), voltageV: null };
      await capture(join(folder, `flat${count}`), { pieces: [flat] });
      await convertTrace(join(folder, `flat${count}`), join(folder, `flat${count}.png`));
      expect(inked(readPng(readFileSync(join(folder, `flat${count}.png`))), 'current').length).toBeGreaterThan(count === 1 ? 0 : 1000);
    }
  });
});
