import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { hairOffsetsPx, isDense } from '../../web/chart/plot/dense-line.ts';

describe('a thick line drawn as hair lines', () => {
  it('covers what the thick line covers, edge to edge without a crack', () => {
    fc.assert(
      fc.property(fc.double({ min: 1, max: 12, noNaN: true }), (widthPx) => {
        const offsets = hairOffsetsPx(widthPx);
        // each is one pixel wide
        expect(offsets[0]! - 0.5).toBeCloseTo(-widthPx / 2, 9);
        expect(offsets.at(-1)! + 0.5).toBeCloseTo(widthPx / 2, 9);
        for (let k = 1; k < offsets.length; k++) expect(offsets[k]! - offsets[k - 1]!).toBeLessThanOrEqual(1 + 1e-9);
      }),
    );
  });

  it('is one line where it is no wider than that', () => {
    expect(hairOffsetsPx(1)).toEqual([0]);
    expect(hairOffsetsPx(0.5)).toEqual([0]);
  });

  it('is for more points than columns: fewer keep their round corners', () => {
    expect([isDense(800, 800), isDense(801, 800)]).toEqual([false, true]);
  });
});
