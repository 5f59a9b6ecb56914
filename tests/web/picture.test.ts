import { describe, expect, it } from 'vitest';
import { DASHES } from '../../src/core/picture/pieces.ts';
import { valueTicks } from '../../src/core/picture/axis.ts';
import { svgOf } from '../../src/core/picture/svg.ts';
import { pictureOfChart } from '../../web/chart/plot/picture.ts';

const timeS = Float64Array.from({ length: 5000 }, (_, i) => i / 1000);
const picture = pictureOfChart({
  title: 'Side step <left> & "right"', view: { fromS: 0, toS: 5 },
  samples: { timeS, currentA: Float32Array.from(timeS, (at) => (at < 1 ? 0 : 4)), voltageV: Float32Array.from(timeS, () => 12.4) },
  gaps: [{ startS: 2, endS: 2.001 }], limits: [{ atA: 5, name: 'flag above 5.00 A' }],
  segments: [{ startS: 1, endS: 5, kind: 'run', word: 'run', detail: '', lane: 0 }],
});

describe('the picture of a chart', () => {
  const svg = svgOf(picture);

  it('is one well-formed drawing without script or outside reference, whatever the title holds', () => {
    expect(svg).toMatch(/^<svg [^>]*xmlns="http:\/\/www\.w3\.org\/2000\/svg"/);
    expect(svg).not.toMatch(/<script|href|<left>/);
    expect(svg).toContain('Side step &lt;left&gt; &amp; &quot;right&quot;');
    // every element is closed: as many ends as starts
    expect((svg.match(/<(?:text|title|svg)\b/g) ?? []).length).toBe((svg.match(/<\/(?:text|title|svg)>/g) ?? []).length);
  });

  it('shows current solid, voltage dashed, limits and the words of the ribbon', () => {
    const inks = picture.pieces.flatMap((piece) => (piece.kind === 'line' ? [piece.ink] : []));
    expect(inks).toEqual(expect.arrayContaining(['current', 'voltage', 'limit']));
    expect(svg).toMatch(new RegExp(`stroke="#00805d" [^>]*stroke-dasharray="${DASHES.voltage!.join(' ')}"`));
    expect(svg).not.toMatch(/stroke="#0072b2" [^>]*stroke-dasharray/);
    const words = picture.pieces.flatMap((piece) => (piece.kind === 'text' ? [piece.text] : []));
    expect(words).toEqual(expect.arrayContaining(['run', 'flag above 5.00 A', 'A', 'V']));
  });

  it('stays inside its frame', () => {
    for (const piece of picture.pieces) {
      if (piece.kind !== 'line') continue;
      for (const run of piece.runs) for (let i = 0; i < run.length; i += 2) {
        const [x, y] = [run[i]!, run[i + 1]!];
        expect(x).toBeGreaterThanOrEqual(0);
        expect(x).toBeLessThanOrEqual(picture.width);
        expect(y).toBeGreaterThanOrEqual(0);
        expect(y).toBeLessThanOrEqual(picture.height);
      }
    }
  });

  it('has round numbers on its axes', () => {
    expect(valueTicks(0, 5, 5).values).toEqual([0, 1, 2, 3, 4, 5]);
    expect(valueTicks(-0.3, 0.3, 6).values.map((value) => Number(value.toFixed(6)))).toEqual([-0.3, -0.2, -0.1, 0, 0.1, 0.2, 0.3]);
  });
});
