import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../../../analyse.ts';
import { createLiveActuation } from '../../../../src/core/present/documents/document-motor.ts';
import { generateTrace } from '../../../score/actuation/generate.ts';
import type { ActuationResult } from '../../../../src/core/analysis/results.ts';
import type { Trace } from '../../../../src/core/trace.ts';
import type { ActuationOptions } from '../../../../src/core/analysis/options.ts';

function feed(trace: Trace, options: ActuationOptions, sizes: readonly number[], windowSamples?: number): ActuationResult {
  const live = createLiveActuation(options, windowSamples);
  let gap = 0;
  for (let from = 0, s = 0; from < trace.timeS.length; s++) {
    const to = Math.min(trace.timeS.length, from + (sizes[s % sizes.length] as number));
    while (gap < trace.gaps.length && (trace.gaps[gap]?.startS ?? 0) <= (trace.timeS[to - 1] as number)) live.gap(trace.gaps[gap++] as never);
    live.push({ timeS: trace.timeS.slice(from, to), currentA: trace.currentA.slice(from, to), voltageV: trace.voltageV?.slice(from, to) ?? null });
    from = to;
  }
  return live.result();
}

describe('the analysis while recording', () => {
  it('says the same as that of the whole trace, whatever the sizes of the blocks', () => {
    fc.assert(
      fc.property(fc.integer({ min: 500_000, max: 500_300 }), fc.array(fc.integer({ min: 1, max: 5000 }), { minLength: 1, maxLength: 8 }), (seed, sizes) => {
        const { trace, options } = generateTrace(seed);
        fc.pre(trace.timeS.length < 20_000);
        expect(feed(trace, options, sizes.map((size) => Math.max(20, size)))).toEqual(analyseActuation(trace, options));
      }),
      { numRuns: 12 },
    );
  });

  it('does not depend on the sizes of the blocks when the recording is longer than the window', () => {
    fc.assert(
      fc.property(fc.integer({ min: 600_000, max: 600_100 }), fc.integer({ min: 50, max: 4000 }), (seed, size) => {
        const { trace, options } = generateTrace(seed, 'normal');
        fc.pre(trace.timeS.length < 20_000);
        const window = Math.max(400, Math.floor(trace.timeS.length / 3));
        expect(feed(trace, options, [size], window)).toEqual(feed(trace, options, [997, 64], window));
      }),
      { numRuns: 6 },
    );
  });
});
