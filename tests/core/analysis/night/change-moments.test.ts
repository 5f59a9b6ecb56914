import { describe, expect, it } from 'vitest';
import { BinTable } from '../../../../src/core/analysis/night/levels/bins.ts';
import type { Trace } from '../../../../src/core/trace.ts';
import { Dice } from '../../../score/drain/dice.ts';
import { read, recording } from './recording.ts';

/** The sample before which the first level explains the raw samples best and after which the second does: least squares over all splits. */
function bestSplitS(trace: Trace, aboutS: number, beforeA: number, afterA: number): number {
  const from = trace.timeS.findIndex((atS) => atS >= aboutS - 3);
  const to = trace.timeS.findIndex((atS) => atS >= aboutS + 3);
  let best = from;
  let lowest = Infinity;
  for (let split = from; split <= to; split++) {
    let cost = 0;
    for (let i = from; i < to; i++) cost += (trace.currentA[i] - (i < split ? beforeA : afterA)) ** 2;
    if (cost < lowest) {
      lowest = cost;
      best = split;
    }
  }
  return trace.timeS[best];
}

describe('the moments of changes in a night too long to keep every sample', () => {
  const rateHz = 20;
  const lengthS = 12 * 3600;
  const dice = new Dice(3);
  // five wake-ups at moments that no bin or block knows of
  const starts = [5000, 11_000, 20_000, 29_000, 38_000].map((atS) => atS + dice.between(0, 60));
  const levelA = (atS: number): number => 0.02 + (atS < 1200.37 ? 0.2 : 0) + (starts.some((startS) => atS >= startS && atS < startS + 45.4) ? 0.12 : 0);
  const trace = recording(lengthS, rateHz, 0.01, levelA);

  it('lie in bins five samples wide', () => {
    const bins = new BinTable();
    bins.push(trace);
    expect(bins.widthS).toBe(0.25);
  });

  it('are within one sample of where the raw samples put them', () => {
    const result = read(trace);
    expect(result.wakeups).toHaveLength(5);
    expect(Math.abs((result.asleep?.at_s ?? 0) - bestSplitS(trace, 1200.37, 0.22, 0.02))).toBeLessThanOrEqual(1 / rateHz + 1e-9);
    result.wakeups.forEach((wake, index) => {
      expect(Math.abs(wake.start_s - bestSplitS(trace, starts[index], 0.02, 0.14))).toBeLessThanOrEqual(1 / rateHz + 1e-9);
      expect(Math.abs(wake.end_s - bestSplitS(trace, starts[index] + 45.4, 0.14, 0.02))).toBeLessThanOrEqual(1 / rateHz + 1e-9);
    });
  });

  it('take the charge of a wake-up from every sample in it', () => {
    const result = read(trace);
    for (const wake of result.wakeups) expect(Math.abs(wake.charge_c - 0.14 * 45.4)).toBeLessThan(0.02 * 0.14 * 45.4);
  });
});
