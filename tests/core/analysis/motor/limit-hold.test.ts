import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../../../analyse.ts';
import type { Trace } from '../../../../src/core/trace.ts';

/** One press in closed form: an inrush that is past 10 A for 0.05 ln(10/6) s = 26 ms (i = 4 + 10 exp(-t / 50 ms)), a run at 4 A, a jam at 13 A for a second. */
function press(): Trace {
  const count = 8000;
  const timeS = Float64Array.from({ length: count }, (_, i) => i / 1000);
  const currentA = Float32Array.from(timeS, (at) => (at < 2 || at >= 6 ? 0 : at < 5 ? 4 + 10 * Math.exp(-(at - 2) / 0.05) : 13) + 0.004 * Math.sin(at * 977));
  return { timeS, currentA, voltageV: null, gaps: [] };
}

describe('a limit with a hold-off', () => {
  it('flags inrush and jam without one, the jam alone with one, and nothing with one longer than the jam', () => {
    const flags = (holdS?: number): number[] => analyseActuation(press(), { flagLimitA: 10, ...(holdS === undefined ? {} : { flagHoldS: holdS }) }).flags.map((flag) => Math.round(flag.start_s * 10) / 10);
    expect(flags()).toEqual([2, 5]);
    expect(flags(0)).toEqual([2, 5]);
    expect(flags(0.3)).toEqual([5]);
    expect(flags(2)).toEqual([]);
  });
});
