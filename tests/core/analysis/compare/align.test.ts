import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { alignEdges, type EdgeWindow } from '../../../../src/core/analysis/compare/align.ts';

/** Current of a motor switched on at `onS`: rises with the electrical, decays with the mechanical time constant (two-pole form). */
function switchedOn(onS: number, rateHz: number, startS: number, noiseA = 0): EdgeWindow {
  const count = Math.round(0.6 * rateHz);
  const timeS = Float64Array.from({ length: count }, (_, i) => startS + i / rateHz);
  const currentA = Float32Array.from(timeS, (atS, i) => {
    const t = atS - onS;
    return (t <= 0 ? 0 : 4 * (1 - Math.exp(-t / 0.004)) + 12 * (Math.exp(-t / 0.04) - Math.exp(-t / 0.004))) + noiseA * Math.sin(i * 12.9898);
  });
  return { timeS, currentA };
}

describe('laying two traces on the same switch edge', () => {
  it('finds shifts of a tenth of a sample to within five hundredths of one', () => {
    const rateHz = 1000;
    for (let tenth = -20; tenth <= 20; tenth++) {
      const shiftS = tenth / 10 / rateHz;
      const a = switchedOn(0.2, rateHz, 0);
      const b = switchedOn(0.2 + shiftS, rateHz, 0);
      expect(Math.abs(alignEdges(a, 0.2, b, 0.2) + shiftS) * rateHz).toBeLessThan(0.05);
    }
  });

  it('works between different rates and starts, with noise and with edges found a few milliseconds off', () => {
    fc.assert(
      fc.property(fc.double({ min: -0.01, max: 0.01, noNaN: true }), fc.double({ min: 10, max: 5000, noNaN: true }), (edgeErrorS, startS) => {
        const a = switchedOn(0.2, 1000, 0, 0.02);
        const b = switchedOn(startS + 0.25, 2500, startS, 0.02);
        const offsetS = alignEdges(a, 0.2, b, startS + 0.25 + edgeErrorS);
        expect(Math.abs(offsetS - (0.2 - 0.25 - startS))).toBeLessThan(0.0004);
      }),
      { numRuns: 30 },
    );
  });

  it('falls back to the edges as found when there is nothing to correlate', () => {
    const flat = { timeS: Float64Array.from({ length: 100 }, (_, i) => i / 100), currentA: new Float32Array(100) };
    expect(alignEdges(flat, 0.5, flat, 0.3)).toBeCloseTo(0.2, 12);
    expect(alignEdges({ timeS: new Float64Array(0), currentA: new Float32Array(0) }, 1, flat, 0.5)).toBe(0.5);
  });
});
