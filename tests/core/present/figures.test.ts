import { describe, expect, it } from 'vitest';
import { tellingActuation } from '../../../src/core/present/figures.ts';
import { actuation, actuationResult } from '../report/examples.ts';

describe('the actuation shown as proof', () => {
  const stalled = (startS: number, durationS: number) =>
    actuation({ start_s: startS, stalls: [{ start_s: startS, end_s: startS + durationS, level_a: 13, at: 'travel' }], finding: 'stalled' });

  it('is the longest stall, not the short one in which the recording stopped', () => {
    expect(tellingActuation(actuationResult([stalled(1, 1.6), stalled(9, 0.08), actuation({ start_s: 12 })]))!.start_s).toBe(1);
  });

  it('is the last of equals, and the last at all when none carries the finding', () => {
    expect(tellingActuation(actuationResult([stalled(1, 1), stalled(9, 1)]))!.start_s).toBe(9);
    expect(tellingActuation(actuationResult([actuation({ start_s: 3 }), actuation({ start_s: 7 })]))!.start_s).toBe(7);
    expect(tellingActuation(actuationResult([]))).toBeNull();
  });
});
