import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { clampView, followView, MIN_SPAN_S, panBy, pinch, zoomAt } from '../../web/chart/view.ts';
import { currentRange, movedRange, voltageRange, zoomedRange } from '../../web/chart/plot/axis-range.ts';
import { roundStep } from '../../src/core/picture/axis.ts';

const extent = { startS: 0, endS: 259_200 };

describe('view of time', () => {
  it('keeps the moment under the pointer where it is while zooming in', () => {
    const view = zoomAt({ fromS: 100, toS: 200 }, 130, 0.5, extent);
    expect(view.toS - view.fromS).toBeCloseTo(50, 9);
    expect((130 - view.fromS) / (view.toS - view.fromS)).toBeCloseTo(0.3, 9);
  });

  it('goes from three days to one commutation and never leaves the trace', () => {
    let view = { fromS: 0, toS: 259_200 };
    for (let i = 0; i < 100; i++) view = zoomAt(view, 3600, 0.7, extent);
    expect(view.toS - view.fromS).toBeCloseTo(MIN_SPAN_S, 9);
    for (let i = 0; i < 200; i++) view = zoomAt(view, 3600, 1.5, extent);
    expect(view).toEqual({ fromS: 0, toS: 259_200 });
  });

  it('stays inside the trace whatever is done to it', () => {
    fc.assert(
      fc.property(fc.double({ min: -1e6, max: 1e6, noNaN: true }), fc.double({ min: 0.01, max: 1000, noNaN: true }), (byS, spanS) => {
        const view = panBy(clampView({ fromS: 50, toS: 50 + spanS }, extent), byS, extent);
        expect(view.fromS).toBeGreaterThanOrEqual(0);
        expect(view.toS).toBeLessThanOrEqual(259_200 + 1e-6);
        expect(view.toS - view.fromS).toBeCloseTo(spanS, 6);
      }),
    );
  });

  it('puts both fingers back on the moments they landed on', () => {
    const view = pinch(10, 20, 0.2, 0.8, extent);
    const at = (share: number): number => view.fromS + share * (view.toS - view.fromS);
    expect(at(0.2)).toBeCloseTo(10, 9);
    expect(at(0.8)).toBeCloseTo(20, 9);
  });

  it('follows in whole pixel columns, so that samples keep their column', () => {
    const columnS = 10 / 800;
    for (const nowS of [12.3456, 12.3501, 99.00001]) {
      const view = followView(nowS, 10, 800);
      expect(view.toS).toBeGreaterThanOrEqual(nowS);
      expect(view.toS - nowS).toBeLessThanOrEqual(columnS * 1.001);
      expect(Math.abs(view.toS / columnS - Math.round(view.toS / columnS))).toBeLessThan(1e-6);
    }
  });
});

describe('vertical scales', () => {
  it('hold still while the reading fits and uses more than half of them', () => {
    const first = currentRange(0, 10, null);
    expect(currentRange(0, 9, first)).toBe(first);
    expect(currentRange(0, 2, first)).not.toBe(first);
    expect(currentRange(0, 20, first)[1]).toBeGreaterThan(20);
  });

  it('always show zero current, and are set by the readings alone', () => {
    const [low, high] = currentRange(5, 6, null);
    expect(low).toBeLessThanOrEqual(0);
    expect(high).toBeLessThan(10);
  });

  it('set by hand keep the place under the pointer and their height when moved', () => {
    const zoomed = zoomedRange([-5, 15], 0.25, 0.5);
    expect(zoomed).toEqual([-2.5, 7.5]);
    expect(movedRange(zoomed, 0.1)).toEqual([-1.5, 8.5]);
    expect(zoomedRange([0, 1], 0.5, 1e-9)[1]).toBeGreaterThan(0.5);
  });

  it('stand level at zero when the voltage comes down to it, and cover it', () => {
    const a = currentRange(-5, 14, null);
    const v = voltageRange(-12, 12.5, null, a);
    expect(-v[0] / (v[1] - v[0])).toBeCloseTo(-a[0] / (a[1] - a[0]), 9);
    expect(v[0]).toBeLessThan(-12);
    expect(v[1]).toBeGreaterThan(12.5);
  });

  it('keep a battery voltage in the upper half', () => {
    const v = voltageRange(11.9, 12.6, null, [0, 10]);
    expect((11.9 - v[0]) / (v[1] - v[0])).toBeGreaterThan(0.5);
    expect(v[1]).toBeGreaterThan(12.6);
  });

  it('step in 1, 2 and 5', () => {
    expect([0.3, 1, 1.2, 2.1, 6, 11].map(roundStep)).toEqual([0.5, 1, 2, 5, 10, 20]);
  });
});
