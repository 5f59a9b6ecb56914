import { analyseDrain } from '../../../analyse.ts';
import type { DrainOptions } from '../../../../src/core/analysis/options.ts';
import type { DrainResult } from '../../../../src/core/analysis/results.ts';
import type { Gap, Mark, Trace } from '../../../../src/core/trace.ts';
import { Dice } from '../../../score/drain/dice.ts';

/** A trace of `rateHz` that follows `levelA(timeS)` with normal noise. */
export function recording(lengthS: number, rateHz: number, noiseA: number, levelA: (timeS: number) => number, seed = 1): Trace {
  const dice = new Dice(seed);
  const count = Math.floor(lengthS * rateHz);
  const timeS = Float64Array.from({ length: count }, (_, i) => i / rateHz);
  const currentA = Float32Array.from(timeS, (atS) => levelA(atS) + noiseA * dice.normal());
  return { timeS, currentA, voltageV: null, gaps: [] };
}

export function read(trace: Trace, marks: readonly Mark[] = [], options: DrainOptions = {}): DrainResult {
  return analyseDrain(trace, marks, options);
}

/** The same recording without what lies inside the given stretches; each becomes a gap between the samples around it. */
export function withGaps(trace: Trace, lost: readonly (readonly [startS: number, endS: number])[]): Trace {
  const kept: number[] = [];
  for (let i = 0; i < trace.timeS.length; i++) {
    if (!lost.some(([startS, endS]) => trace.timeS[i] >= startS && trace.timeS[i] < endS)) kept.push(i);
  }
  const timeS = Float64Array.from(kept, (i) => trace.timeS[i]);
  const currentA = Float32Array.from(kept, (i) => trace.currentA[i]);
  const gaps: Gap[] = lost.map(([startS, endS]) => ({ startS: timeS.findLast((atS) => atS < startS) ?? 0, endS: timeS.find((atS) => atS >= endS) ?? endS }));
  return { timeS, currentA, voltageV: null, gaps };
}
