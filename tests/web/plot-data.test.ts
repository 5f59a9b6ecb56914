import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Samples } from '../../src/core/trace.ts';
import { plotData } from '../../web/chart/plot/plot-data.ts';

function ramp(count: number, rateHz: number, value: (i: number) => number, withVoltage = false): Samples {
  const timeS = Float64Array.from({ length: count }, (_, i) => i / rateHz);
  const currentA = Float32Array.from({ length: count }, (_, i) => value(i));
  return { timeS, currentA, voltageV: withVoltage ? Float32Array.from(currentA, (a) => 12 - a / 100) : null };
}

/**
 * Vertical extent that a polyline paints in each pixel column, by walking every segment: what an un-antialiased pen would do. Heights
 * are whole pixels, as on a screen.
 */
function raster(x: readonly number[], y: readonly (number | null | undefined)[], fromS: number, toS: number, columns: number): string[] {
  const painted: [number, number][] = Array.from({ length: columns }, () => [Infinity, -Infinity]);
  const columnOf = (at: number): number => Math.floor(((at - fromS) / (toS - fromS)) * columns);
  const paint = (column: number, low: number, high: number): void => {
    if (column < 0 || column >= columns) return;
    const cell = painted[column]!;
    cell[0] = Math.min(cell[0], low);
    cell[1] = Math.max(cell[1], high);
  };
  let last: [number, number] | null = null;
  x.forEach((at, i) => {
    const value = y[i];
    if (value === undefined) return;
    if (value === null) {
      last = null;
      return;
    }
    paint(columnOf(at), value, value);
    if (last !== null && columnOf(last[0]) !== columnOf(at)) {
      // columns between two points take the heights of the straight line at their middles
      for (let column = columnOf(last[0]) + 1; column < columnOf(at); column++) {
        const middle = fromS + ((column + 0.5) * (toS - fromS)) / columns;
        const height = last[1] + ((value - last[1]) * (middle - last[0])) / (at - last[0]);
        paint(column, height, height);
      }
    }
    last = [at, value];
  });
  return painted.map(([low, high]) => (low <= high ? `${Math.round(low * 10)}..${Math.round(high * 10)}` : ''));
}

describe('plotData', () => {
  it('gives each channel at most four points a pixel column', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 60 }), fc.array(fc.float({ min: -50, max: 50, noNaN: true }), { minLength: 2, maxLength: 600 }), (columns, values) => {
        const samples: Samples = {
          timeS: Float64Array.from(values, (_, i) => i / 100), currentA: Float32Array.from(values), voltageV: Float32Array.from(values, (v) => Math.sin(v * 7)),
        };
        const toS = values.length / 100;
        const data = plotData(samples, [], 0, toS, columns);
        const counts = new Map<string, number>();
        for (const [name, line] of [['current', data.currentA], ['voltage', data.voltageV!]] as const) {
          line.forEach((value, i) => {
            if (typeof value !== 'number') return;
            const key = `${name} ${Math.floor((data.x[i]! / toS) * columns)}`;
            counts.set(key, (counts.get(key) ?? 0) + 1);
          });
        }
        expect(Math.max(...counts.values())).toBeLessThanOrEqual(4);
      }),
    );
  });

  it('paints what all points would paint (Jugel et al., M4, VLDB 2014), against a brute-force raster', () => {
    fc.assert(
      fc.property(fc.integer({ min: 2, max: 40 }), fc.array(fc.float({ min: -20, max: 20, noNaN: true }), { minLength: 3, maxLength: 500 }), (columns, values) => {
        const samples: Samples = { timeS: Float64Array.from(values, (_, i) => (i + 0.5) / 64), currentA: Float32Array.from(values), voltageV: null };
        const toS = values.length / 64;
        const data = plotData(samples, [], 0, toS, columns);
        expect(raster(data.x, data.currentA, 0, toS, columns)).toEqual(raster([...samples.timeS], [...samples.currentA], 0, toS, columns));
      }),
    );
  });

  it('writes null into a gap, and nowhere else', () => {
    const whole = ramp(1000, 100, () => 1, true);
    const keep = [...whole.timeS.keys()].filter((i) => i < 300 || i >= 500);
    const samples: Samples = {
      timeS: Float64Array.from(keep, (i) => whole.timeS[i]!), currentA: Float32Array.from(keep, (i) => whole.currentA[i]!), voltageV: Float32Array.from(keep, (i) => whole.voltageV![i]!),
    };
    const data = plotData(samples, [{ startS: 2.99, endS: 5 }], 0, 10, 50);
    const holes = data.currentA.flatMap((value, i) => (value === null ? [i] : []));
    expect(holes).toHaveLength(1);
    expect(data.voltageV![holes[0]!]).toBeNull();
    expect(data.x[holes[0]!]).toBeGreaterThan(2.99);
    expect(data.x[holes[0]!]).toBeLessThan(5);
    expect(plotData(samples, [], 0, 10, 50).currentA).not.toContain(null);
  });

  it('reaches past both edges of the view by one sample, and rises strictly in time', () => {
    const samples = ramp(1000, 100, (i) => i);
    const data = plotData(samples, [], 2.003, 4.996, 30);
    expect(data.x[0]).toBeLessThanOrEqual(2.003);
    expect(data.x[data.x.length - 1]).toBeGreaterThanOrEqual(4.996);
    for (let i = 1; i < data.x.length; i++) expect(data.x[i]).toBeGreaterThan(data.x[i - 1]!);
  });

  it('draws nothing for no samples or an empty view', () => {
    expect(plotData(ramp(0, 1, () => 0), [], 0, 1, 10).x).toEqual([]);
    expect(plotData(ramp(10, 1, () => 0), [], 3, 3, 10).x).toEqual([]);
  });
});
