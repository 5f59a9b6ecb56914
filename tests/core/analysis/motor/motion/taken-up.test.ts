import { describe, expect, it } from 'vitest';
import { viewPress } from '../../../../../src/core/analysis/motor/motion/press-view.ts';
import type { StepSeen } from '../../../../../src/core/analysis/motor/motion/steps.ts';
import { findTakenUp } from '../../../../../src/core/analysis/motor/motion/taken-up.ts';
import { analyseActuation } from '../../../../analyse.ts';
import { pressOf, readBy, sampledAt } from '../ripple/columns.ts';
import { draw, noise } from '../traces.ts';

const RATE_HZ = 1000;

/** A run of 4 s, of which so much counts as running, s. */
function find(runA: (atS: number) => number, { sign = 1 as 1 | -1, runsS = [0, 4] as readonly [number, number] } = {}): StepSeen | null {
  const count = 4 * RATE_HZ;
  const jitter = noise(0.02, 9);
  const deviationA = Float32Array.from({ length: count }, (_value, i) => sign * runA(i / RATE_HZ) + jitter());
  const sampling = sampledAt(RATE_HZ, count);
  const view = viewPress(pressOf(0, count, sign), readBy(deviationA), sampling);
  return findTakenUp(view, [{ startIndex: runsS[0] * RATE_HZ, endIndex: runsS[1] * RATE_HZ }], Float64Array.from({ length: count }, (_value, i) => i / RATE_HZ));
}

/** From 10 A to this at 2 s, as a motor loses speed with this time constant. */
const takesUp = (toA: number, slowsS = 0.06, atS = 2) => (timeS: number): number => 10 + (timeS < atS ? 0 : (toA - 10) * (1 - Math.exp(-(timeS - atS) / slowsS)));

describe('a load that a motor takes up for good', () => {
  it.each([1, -1] as const)('is where the current began to climb from one level to the other, either way (%i)', (sign) => {
    const step = find(takesUp(16), { sign });
    expect(Math.abs((step?.at_s ?? 0) - 2)).toBeLessThan(0.02);
    expect(step?.change_a).toBeCloseTo(6, 0);
    expect(step).toMatchObject({ isJam: false, stands: false });
    expect((step?.low_a ?? 7) < 6 && (step?.high_a ?? 0) > 5.9).toBe(true);
    expect(step?.cell).toBeCloseTo(400, -1);
  });

  it('is clearly higher, by more than a quarter', () => {
    expect([find(takesUp(12.4)), find(takesUp(12.7))].map((step) => step !== null)).toEqual([false, true]);
  });

  it('is taken up within 0.4 s, and stays as long to the end of the run', () => {
    // within a twentieth of 16 A the climb of 6 A is after two time constants
    expect([0.03, 0.15, 0.3].map((slowsS) => find(takesUp(16, slowsS)) !== null)).toEqual([true, true, false]);
    expect([3.3, 3.6].map((atS) => find(takesUp(16, 0.03, atS)) !== null)).toEqual([true, false]);
    expect(find((timeS) => (timeS < 3 ? takesUp(16)(timeS) : 10))).toBeNull();
  });

  it('shows behind a start whose current falls slowly, and from a level that held for 0.2 s', () => {
    expect(find((timeS) => takesUp(16)(timeS) + 10 * Math.exp(-timeS / 0.3))).not.toBeNull();
    expect([0.15, 0.4].map((forS) => find((timeS) => (timeS < 2 - forS ? 12 : takesUp(16)(timeS))) !== null)).toEqual([false, true]);
  });

  it('is none where a mechanism asks for more and for less again on the way', () => {
    expect(find((timeS) => takesUp(16)(timeS) + (timeS > 0.8 && timeS < 1.2 ? 4 : 0))).toBeNull();
    expect(find((timeS) => 12 - 3 * Math.cos(2 * Math.PI * timeS / 1.6))).toBeNull();
  });

  it('is none where the current only comes back, as after a clamp was opened for a while', () => {
    expect(find((timeS) => (timeS > 1.65 && timeS < 2 ? 1 : 16) - (timeS < 2 ? 0 : 15 * Math.exp(-(timeS - 2) / 0.02)))).toBeNull();
  });

  it('is none outside of the run, nor in one too short for both levels', () => {
    expect(find(takesUp(16), { runsS: [0, 1.9] })).toBeNull();
    expect(find(takesUp(16), { runsS: [1.75, 2.5] })).toBeNull();
    expect(find(takesUp(16), { runsS: [1.5, 3] })).not.toBeNull();
  });
});

it('is a step of a winch whose rope tightens, and none of a heater that is turned up', () => {
  const stepsOf = (startA: number, ripple: number): readonly unknown[] => {
    const jitter = noise(0.02, 4);
    return analyseActuation(draw(4000, 5, (atS) => (atS > 0.5 && atS < 4.5 ? takesUp(14, 0.06, 2.5)(atS) + startA * Math.exp(-(atS - 0.5) / 0.04) + ripple * Math.sin(2 * Math.PI * 210 * atS) : 0) + jitter()), {}).actuations.flatMap(({ steps }) => steps ?? []);
  };
  expect(stepsOf(30, 0.2)).toHaveLength(1);
  expect(stepsOf(0, 0)).toHaveLength(0);
});
