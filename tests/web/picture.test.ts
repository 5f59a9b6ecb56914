import { describe, expect, it } from 'vitest';
import { pictureOfChart, ticks } from '../../web/chart/picture.ts';
import { toSvg } from '../../web/chart/picture-render.ts';

const timeS = Float64Array.from({ length: 5000 }, (_, i) => i / 1000);
const picture = pictureOfChart({
  title: 'Side step <left> & "right"', view: { fromS: 0, toS: 5 },
  samples: { timeS, currentA: Float32Array.from(timeS, (at) => (at < 1 ? 0 : 4)), voltageV: Float32Array.from(timeS, () => 12.4) },
  gaps: [{ startS: 2, endS: 2.001 }], limits: [{ atA: 5, name: 'flag above 5.00 A' }], colours: { current: '#0072b2', voltage: '#00805d' },
  segments: [{ startS: 1, endS: 5, kind: 'run', word: 'run', detail: '', lane: 0 }],
});

describe('the picture of a chart', () => {
  const svg = toSvg(picture);

  it('is one well-formed drawing without script or outside reference, whatever the title holds', () => {
    expect(svg).toMatch(/^<svg [^>]*xmlns="http:\/\/www\.w3\.org\/2000\/svg"/);
    expect(svg).not.toMatch(/<script|href|<left>/);
    expect(svg).toContain('Side step &#60;left&#62; &#38; &#34;right&#34;');
    // every element is closed: as many ends as starts
    expect((svg.match(/<(?:text|title|svg)\b/g) ?? []).length).toBe((svg.match(/<\/(?:text|title|svg)>/g) ?? []).length);
  });

  it('shows current solid, voltage dashed, limits and the words of the ribbon', () => {
    const lines = picture.pieces.filter((piece) => piece.kind === 'line');
    expect(lines.find((line) => line.colour === '#0072b2')!.dash).toEqual([]);
    expect(lines.find((line) => line.colour === '#00805d')!.dash.length).toBeGreaterThan(0);
    const words = picture.pieces.flatMap((piece) => (piece.kind === 'text' ? [piece.text] : []));
    expect(words).toEqual(expect.arrayContaining(['run', 'flag above 5.00 A', 'A', 'V']));
  });

  it('stays inside its frame', () => {
    for (const piece of picture.pieces) {
      if (piece.kind !== 'line') continue;
      for (const [x, y] of piece.runs.flat()) {
        expect(x).toBeGreaterThanOrEqual(0);
        expect(x).toBeLessThanOrEqual(picture.widthPx);
        expect(y).toBeGreaterThanOrEqual(0);
        expect(y).toBeLessThanOrEqual(picture.heightPx);
      }
    }
  });

  it('has round numbers on its axes', () => {
    expect(ticks(0, 5, 5)).toEqual([0, 1, 2, 3, 4, 5]);
    expect(ticks(-0.3, 0.3, 6).map((value) => Number(value.toFixed(6)))).toEqual([-0.3, -0.2, -0.1, 0, 0.1, 0.2, 0.3]);
  });
});
