import { lowerBound, type Gap, type Trace } from '../../src/core/trace.ts';

/** The part of a trace in `[startS, endS)`, as views on the same memory (nothing is copied), with the gaps that touch it, clipped to it. */
export function traceWindow(trace: Trace, startS: number, endS: number): Trace {
  const startIndex = lowerBound(trace.timeS, startS);
  const endIndex = lowerBound(trace.timeS, endS, startIndex);
  const gaps: Gap[] = [];
  for (const gap of trace.gaps) {
    if (gap.endS > startS && gap.startS < endS) gaps.push({ startS: Math.max(gap.startS, startS), endS: Math.min(gap.endS, endS) });
  }
  return {
    timeS: trace.timeS.subarray(startIndex, endIndex),
    currentA: trace.currentA.subarray(startIndex, endIndex),
    voltageV: trace.voltageV === null ? null : trace.voltageV.subarray(startIndex, endIndex),
    gaps,
  };
}
