import { describe, expect, it } from 'vitest';
import { turnedShare } from '../../../../../src/core/analysis/motor/motion/motion.ts';
import type { PressView } from '../../../../../src/core/analysis/motor/motion/press-view.ts';
import { analyseActuation } from '../../../../analyse.ts';
import { draw, noise } from '../traces.ts';

const RATE_HZ = 1000;
const STEP = 5;
/** of a motor that runs at 4 A: time constant of its run-up at full volts, s */
const TAU_S = 0.05;

/** 8 A for so long, then the fall of a motor to its run of 4 A. */
const levelThenRun = (levelS: number) => (atS: number): number => (atS < levelS ? 8 : 4 + 4 * Math.exp(-(atS - levelS) / TAU_S));

function shareOf(levelS: number): number {
  const currentA = levelThenRun(levelS);
  const cells = 400;
  const levelA = Float64Array.from({ length: cells }, (_value, k) => currentA(((k + 0.5) * STEP) / RATE_HZ));
  const envelope = { step: STEP, stepS: STEP / RATE_HZ, cells, startIndex: 0, levelA, rippleVarianceA2: new Float64Array(cells) };
  const endIndex = Math.round(levelS * RATE_HZ);
  return turnedShare({ envelope } as unknown as PressView, { startIndex: 0, endIndex, levelA: 8 }, { startIndex: endIndex + 300, endIndex: cells * STEP });
}

describe('the level on which a press begins before it runs', () => {
  // J dw/dt = k (i - 4) from rest to k w = R (20 - 8) at 8 A takes tau (20 - 8)/(8 - 4) = 0.15 s: a motor of 20 A that gains speed all along
  it('gives the standing current of a motor that gained speed behind a limit', () => {
    expect(shareOf(0.15)).toBeCloseTo(4 / 20, 2);
  });

  // 0.6 s of it would be a motor of 4 + 4 (1 + 0.6/0.05) = 56 A
  it('gives one that no motor works at for a rotor that stood', () => {
    expect(shareOf(0.6)).toBeCloseTo(4 / 56, 2);
  });

  it('gives none where no run, or no fall, is seen', () => {
    const envelope = { step: STEP, stepS: STEP / RATE_HZ, cells: 100, startIndex: 0, levelA: new Float64Array(100).fill(8), rippleVarianceA2: new Float64Array(100) };
    const view = { envelope } as unknown as PressView;
    const level = { startIndex: 0, endIndex: 200, levelA: 8 };
    expect(turnedShare(view, level, undefined)).toBe(Infinity);
    expect(turnedShare(view, level, { startIndex: 300, endIndex: 500 })).toBe(Infinity);
  });

  it.each([[0.6, 'stalled'], [0.15, 'unclear']] as const)('of %s s makes the press %s', (levelS, finding) => {
    const n = noise(0.01);
    const currentA = levelThenRun(levelS);
    const result = analyseActuation(draw(RATE_HZ, 4, (t) => (t < 1 || t >= 3 ? 0 : currentA(t - 1)) + n()), {});
    expect(result.actuations[0]?.finding).toBe(finding);
    expect(result.verdict.finding).toBe(finding);
  });

  it('is that of a rotor that stood where another press, too short to show its run, is at the level of one that did', () => {
    const n = noise(0.01);
    const stuck = levelThenRun(0.6);
    const amps = (t: number): number => (t >= 1 && t < 3 ? stuck(t - 1) : t >= 4 && t < 4.65 ? stuck(t - 4) : 0);
    const { actuations } = analyseActuation(draw(RATE_HZ, 6, (t) => amps(t) + n()), {});
    expect(actuations.map(({ stalls }) => stalls.length)).toEqual([1, 1]);
  });
});
