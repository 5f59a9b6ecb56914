import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { chargeBetween } from '../../../src/core/analysis/charge.ts';

const timeS = Float64Array.of(0, 1, 2, 3, 4);
const trace = { timeS, currentA: Float32Array.of(0, 2, 4, 6, 8), voltageV: null, gaps: [] };

describe('charge between two moments', () => {
  it('is the area under a ramp of 2 A/s, cut between samples: from 0.5 s to 3.5 s, 12 A s', () => {
    expect(chargeBetween(trace, 0.5, 3.5)).toMatchObject({ chargeC: 12, meanA: 4, measuredS: 3 });
  });

  it('leaves gaps out instead of bridging them', () => {
    const withGap = { ...trace, gaps: [{ startS: 1, endS: 2 }] };
    expect(chargeBetween(withGap, 0, 4)).toMatchObject({ chargeC: 13, measuredS: 3 });
  });

  it('is nothing outside the trace or for a selection of no length', () => {
    expect(chargeBetween(trace, 9, 12).chargeC).toBe(0);
    expect(chargeBetween(trace, 2, 2)).toMatchObject({ chargeC: 0, meanA: 0, measuredS: 0 });
  });

  it('adds up over any cut, gaps or not, and is scaled with the current', () => {
    const level = fc.float({ min: -20, max: 20, noNaN: true });
    const gap = fc.tuple(fc.integer({ min: 0, max: 17 }), fc.integer({ min: 1, max: 3 })).map(([startS, lengthS]) => ({ startS, endS: startS + lengthS }));
    fc.assert(fc.property(fc.array(level, { minLength: 20, maxLength: 20 }), fc.option(gap), fc.double({ min: -1, max: 21, noNaN: true }), fc.double({ min: -1, max: 21, noNaN: true }), (values, hole, oneS, otherS) => {
      const whole = { timeS: Float64Array.from(values, (_, i) => i), currentA: Float32Array.from(values), voltageV: null, gaps: hole === null ? [] : [hole] };
      const [cutS, endS] = oneS < otherS ? [oneS, otherS] : [otherS, oneS];
      const [all, first, second] = [chargeBetween(whole, -1, endS), chargeBetween(whole, -1, cutS), chargeBetween(whole, cutS, endS)];
      expect(first.chargeC + second.chargeC).toBeCloseTo(all.chargeC, 6);
      expect(first.measuredS + second.measuredS).toBeCloseTo(all.measuredS, 9);
      expect(chargeBetween({ ...whole, currentA: whole.currentA.map((a) => -2 * a) }, -1, endS).chargeC).toBeCloseTo(-2 * all.chargeC, 3);
      expect(all.chargeAh).toBeCloseTo(all.chargeC / 3600, 12);
    }));
  });

  it('leaves out of several gaps each, and what lies between two samples around one', () => {
    // ramp of 2 A/s over 0 to 4 s: 16 A s, less 1 A s from 0 to 1 and 5 A s from 2 to 3
    expect(chargeBetween({ ...trace, gaps: [{ startS: 0, endS: 1 }, { startS: 2, endS: 3 }] }, 0, 4)).toMatchObject({ chargeC: 10, measuredS: 2 });
    expect(chargeBetween({ ...trace, gaps: [{ startS: 1.2, endS: 1.8 }] }, 0, 4)).toMatchObject({ chargeC: 13, measuredS: 3 });
    expect(chargeBetween(trace, 1, 2)).toMatchObject({ chargeC: 3, meanA: 3, measuredS: 1 });
    // samples 4 s apart, from 0 A to 8 A: from 1 s to 2 s the middle is 3 A
    expect(chargeBetween({ timeS: Float64Array.of(0, 4), currentA: Float32Array.of(0, 8), voltageV: null, gaps: [] }, 1, 2)).toMatchObject({ chargeC: 3, measuredS: 1 });
    // a gap that is over does not count for what follows
    expect(chargeBetween({ ...trace, gaps: [{ startS: 0, endS: 1 }] }, 1, 3)).toMatchObject({ chargeC: 8, measuredS: 2 });
  });
});
