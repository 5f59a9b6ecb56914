import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { placeLabels } from '../../web/chart/plot/label-places.ts';

const PLOT = { widthPx: 800, heightPx: 300 };
const nothing = (): null => null;

describe('names of limits on the chart', () => {
  it('stand once, though a motor has each limit on both sides of zero', () => {
    const labels = placeLabels([{ name: 'flag above 8 A', yPx: 40, widthPx: 90 }, { name: 'flag above 8 A', yPx: 260, widthPx: 90 }], PLOT, 12, nothing);
    expect(labels).toMatchObject([{ text: 'flag above 8 A', beyond: null, baselinePx: 38 }]);
  });

  it('tell at the edge which way a limit lies that does not set the scale', () => {
    const labels = placeLabels([{ name: 'fuse 15 A', yPx: -900, widthPx: 60 }, { name: 'limit 50 mA', yPx: 900, widthPx: 70 }], PLOT, 12, nothing);
    expect(labels).toMatchObject([{ text: 'fuse 15 A, higher up', beyond: 'above' }, { text: 'limit 50 mA, lower down', beyond: 'below' }]);
    for (const { baselinePx } of labels) {
      expect(baselinePx).toBeGreaterThan(12);
      expect(baselinePx).toBeLessThanOrEqual(300);
    }
  });

  it('keep clear of the trace where there is a place, and inside the plot', () => {
    // the trace fills the height everywhere but between 200 and 400 px
    const occupied = (fromPx: number, toPx: number): readonly [number, number] | null => (toPx < 200 || fromPx > 400 || fromPx < 200 || toPx > 400 ? [0, 300] : null);
    const [label] = placeLabels([{ name: 'runs up to 5 A', yPx: 150, widthPx: 100 }], PLOT, 12, occupied);
    expect(label!.leftPx).toBeGreaterThanOrEqual(200);
    expect(label!.leftPx + 100).toBeLessThanOrEqual(400);
  });

  it('stand under their line where the trace leaves no place over it', () => {
    // a current that rests just above its limit: 10 px from the line, all the way
    const [label] = placeLabels([{ name: 'limit 50 mA', yPx: 260, widthPx: 70 }], PLOT, 12, () => [245, 252]);
    expect(label).toMatchObject({ beyond: null, baselinePx: 260 + 12 + 2 });
    // under the line there is no room: over it, on the trace
    expect(placeLabels([{ name: 'limit 50 mA', yPx: 295, widthPx: 70 }], PLOT, 12, () => [280, 288])).toMatchObject([{ baselinePx: 293 }]);
  });

  it('do not lie on each other at the same height', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 20, max: 60 }), { minLength: 2, maxLength: 4 }), (heights) => {
        const labels = placeLabels(heights.map((yPx, i) => ({ name: `limit ${i}`, yPx, widthPx: 100 })), PLOT, 12, nothing);
        for (const [i, a] of labels.entries()) for (const b of labels.slice(i + 1)) if (Math.abs(a.baselinePx - b.baselinePx) < 12) expect(Math.abs(a.leftPx - b.leftPx)).toBeGreaterThanOrEqual(100);
      }),
    );
  });
});
