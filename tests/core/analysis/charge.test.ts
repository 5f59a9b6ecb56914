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
});
