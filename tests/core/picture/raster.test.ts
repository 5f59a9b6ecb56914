import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { INKS, type Ink, type PictureElement } from '../../../src/core/picture/pieces.ts';
import { rasterOf } from '../../../src/core/picture/raster.ts';
import { baselineOf, inlineSvg, pathOf, svgOf } from '../../../src/core/picture/svg.ts';

const INK_NAMES = Object.keys(INKS) as Ink[];
/** The pixels of an ink as the eye sees them: a row of text a row. */
function seen(width: number, height: number, pieces: readonly PictureElement[], ink: Ink): string[] {
  const { pixels } = rasterOf({ width, height, title: '', pieces });
  return Array.from({ length: height }, (_, y) => Array.from({ length: width }, (_x, x) => (INK_NAMES[pixels[y * width + x]!] === ink ? '#' : '.')).join(''));
}
const line = (ink: Ink, ...points: number[]): PictureElement => ({ kind: 'line', ink, runs: [Float64Array.from(points)] });
const text = (words: string, x: number, y: number, anchor: 'start' | 'middle' | 'end', bold?: boolean): PictureElement => ({ kind: 'text', x, y, text: words, anchor, size: 18, ...(bold === undefined ? {} : { bold }) });

describe('a drawing as pixels', () => {
  it('begins as paper, its palette the inks in their order', () => {
    const { pixels, palette } = rasterOf({ width: 2, height: 2, title: '', pieces: [] });
    expect([...pixels]).toEqual([0, 0, 0, 0]);
    expect(INK_NAMES[0]).toBe('paper');
    // #d5dbd8 is 213, 219, 216
    expect([...palette.subarray(0, 6)]).toEqual([255, 255, 255, 213, 219, 216]);
    expect(palette).toHaveLength(3 * INK_NAMES.length);
  });

  it('fills boxes from the pixel they begin in up to their end, and nothing outside', () => {
    expect(seen(6, 4, [{ kind: 'box', ink: 'gap', x: 1.5, y: 1, width: 2, height: 2 }], 'gap')).toEqual(['......', '.###..', '.###..', '......']);
    expect(seen(4, 3, [{ kind: 'box', ink: 'gap', x: -5, y: -5, width: 7, height: 6 }], 'gap')).toEqual(['##..', '....', '....']);
    expect(seen(4, 3, [{ kind: 'box', ink: 'gap', x: 2, y: 2, width: 9, height: 9 }], 'gap')).toEqual(['....', '....', '..##']);
  });

  it('draws a line from end to end, level, steep and down, and a single point', () => {
    expect(seen(6, 3, [line('current', 1, 1, 4.9, 1.9)], 'current')).toEqual(['......', '.####.', '......']);
    expect(seen(3, 4, [line('current', 1, 3, 1, 0)], 'current')).toEqual(['.#.', '.#.', '.#.', '.#.']);
    expect(seen(4, 4, [line('current', 3, 3, 0, 0)], 'current')).toEqual(['#...', '.#..', '..#.', '...#']);
    expect(seen(4, 4, [line('current', 0, 3, 3, 0)], 'current')).toEqual(['...#', '..#.', '.#..', '#...']);
    expect(seen(3, 3, [line('current', 1.5, 1.5)], 'current')).toEqual(['...', '.#.', '...']);
    expect(seen(5, 3, [line('current', 0, 0, 2, 2, 4, 0)], 'current')).toEqual(['#...#', '.#.#.', '..#..']);
    expect(seen(3, 2, [line('current', -4, 0, 9, 0)], 'current')).toEqual(['###', '...']);
    // what lies left of a row is not the end of the row above
    expect(seen(3, 2, [line('current', -4, 1, 9, 1)], 'current')).toEqual(['...', '###']);
  });

  it('keeps within half a pixel of the line that it draws, one pixel a step of the longer side', () => {
    const at = fc.integer({ min: 0, max: 19 });
    fc.assert(fc.property(at, at, at, at, (x0, y0, x1, y1) => {
      const rows = seen(20, 20, [line('current', x0, y0, x1, y1)], 'current');
      const dots = rows.flatMap((row, y) => [...row].flatMap((dot, x) => (dot === '#' ? [[x, y] as const] : [])));
      const longer = Math.max(Math.abs(x1 - x0), Math.abs(y1 - y0));
      expect(dots).toHaveLength(longer + 1);
      expect(dots).toContainEqual([x0, y0]);
      expect(dots).toContainEqual([x1, y1]);
      const across = Math.abs(x1 - x0) >= Math.abs(y1 - y0);
      for (const [x, y] of dots) {
        const share = longer === 0 ? 0 : across ? (x - x0) / (x1 - x0) : (y - y0) / (y1 - y0);
        expect(Math.abs(across ? y - (y0 + share * (y1 - y0)) : x - (x0 + share * (x1 - x0)))).toBeLessThanOrEqual(0.5 + 1e-9);
      }
    }), { numRuns: 60 });
  });

  it('dashes the volts: six columns drawn, six left open', () => {
    expect(seen(25, 1, [line('voltage', 0, 0, 24, 0)], 'voltage')).toEqual(['######......######......#']);
  });

  it('writes figures of twelve by fourteen dots at, before or around their place, and no title', () => {
    // a 1, each dot two wide and two high: its stem, its flag in the second row of dots, its foot in the last
    const one = ['....##......', '....##......', '..####......', '..####......', ...new Array<string>(8).fill('....##......'), '..######....', '..######....'];
    const shifted = (by: number): string[] => one.map((row) => ('.'.repeat(by) + row).padEnd(24, '.'));
    expect(seen(24, 14, [text('1', 3, 7, 'start')], 'frame')).toEqual(shifted(3));
    expect(seen(24, 14, [text('1', 16, 7, 'end')], 'frame')).toEqual(shifted(4));
    expect(seen(24, 14, [text('1', 12, 7, 'middle')], 'frame')).toEqual(shifted(6));
    expect(seen(24, 14, [text('11', 0, 7, 'start')], 'frame')).toEqual(one.map((row) => row + row));
    expect(seen(24, 14, [text('\u2212', 0, 7, 'start')], 'frame').filter((row) => row.startsWith('##########.'))).toHaveLength(2);
    const blank = new Array<string>(14).fill('.'.repeat(24));
    expect(seen(24, 14, [text('111', 0, 7, 'start', true)], 'frame')).toEqual(blank);
    expect(seen(24, 14, [text('xyz', 0, 7, 'start')], 'frame')).toEqual(blank);
    expect(seen(24, 14, [text('mA', 0, 7, 'start', true)], 'frame')).not.toEqual(blank);
    expect(seen(36, 14, [text('111', 0, 7, 'start')], 'frame')[0]!.startsWith('....##..........##..........##')).toBe(true);
  });
});

describe('a drawing as SVG', () => {
  const pieces: PictureElement[] = [
    { kind: 'box', ink: 'run', x: 1.04, y: 2.06, width: 10, height: 5, hint: 'run: 5 A & more' }, { kind: 'box', ink: 'gap', x: 0, y: 0, width: 1, height: 1 },
    text('A', 10, 20, 'end', true), text('5', 10, 20, 'middle'), line('grid', 0, 0, 5, 5), line('limit', 0, 1, 5, 6.25, 7, 8),
  ];
  const svg = svgOf({ width: 30, height: 20, title: 'a < b', pieces });

  it('has each piece in its ink, to a tenth of a pixel', () => {
    expect(svg).toContain('viewBox="0 0 30 20"');
    expect(svg).toContain('<title>a &lt; b</title>');
    expect(svg).toContain('<rect x="1" y="2.1" width="10" height="5" fill="#cfe6f5"><title>run: 5 A &amp; more</title></rect>');
    expect(svg).toContain('<rect x="0" y="0" width="1" height="1" fill="#e9e9e9"></rect>');
    // the middle of the letters is 0.35 of 18 px above their foot
    expect(svg).toContain('<text x="10" y="26.3" font-size="18" text-anchor="end" fill="#14201c" font-weight="600">A</text>');
    expect(svg).toContain('<text x="10" y="26.3" font-size="18" text-anchor="middle" fill="#14201c">5</text>');
    expect(svg).toContain('<path d="M0 0L5 5" fill="none" stroke="#d5dbd8" stroke-width="1"/>');
    expect(svg).toContain('<path d="M0 1L5 6.3L7 8" fill="none" stroke="#b04a00" stroke-width="1.5" stroke-dasharray="2 4"/>');
    expect(svgOf({ width: 1, height: 1, title: '', pieces: [line('zero', 0, 0), line('frame', 0, 0), line('current', 0, 0)] }).match(/stroke-width="[^"]*"/g)).toEqual(['stroke-width="1"', 'stroke-width="1"', 'stroke-width="1.5"']);
  });

  it('dashes a line of more points than px across the picture, where dashes along it would close up', () => {
    // each px goes 20 px up and down: along it a dash of 7 px would be over within a px
    const zigzag = Array.from({ length: 44 }, (_, i) => [i / 2, i % 2 === 0 ? 0 : 20]).flat();
    const dense = svgOf({ width: 30, height: 20, title: '', pieces: [line('voltage', ...zigzag)] });
    expect(dense).not.toContain('stroke-dasharray');
    const xs = [...dense.matchAll(/[ML]([\d.]+) /g)].map(([, x]) => Number(x));
    // 7 px drawn, 4 left open
    expect([xs.length, Math.max(...xs.filter((x) => x < 9)), Math.min(...xs.filter((x) => x > 9)), Math.max(...xs)]).toEqual([28, 6.5, 11, 17.5]);
    expect(dense.match(/M/g)).toHaveLength(2);
    // 11 points over 10 px are one a px: dashed along the line
    const sparse = Array.from({ length: 11 }, (_, i) => [i, i % 2 === 0 ? 0 : 20]).flat();
    expect(svgOf({ width: 30, height: 20, title: '', pieces: [line('voltage', ...sparse)] })).toContain('stroke-dasharray="7 4"');
    expect(svgOf({ width: 30, height: 20, title: '', pieces: [line('current', ...zigzag)] }).match(/M/g)).toHaveLength(1);
  });

  it('takes up its path anew after each break', () => {
    expect(pathOf([Float64Array.of(0, 1, 2, 3), Float64Array.of(4, 5), new Float64Array(0)])).toBe('M0 1L2 3M4 5');
    expect(baselineOf({ kind: 'text', x: 0, y: 10, text: '', anchor: 'start', size: 20 })).toBe(17);
    const { text: inline } = inlineSvg({ width: 30, height: 20, title: 'a < b', pieces: [] });
    expect(inline).toContain('viewBox="0 0 30 20"');
    expect(inline).toContain('aria-label="a &lt; b"');
  });
});
