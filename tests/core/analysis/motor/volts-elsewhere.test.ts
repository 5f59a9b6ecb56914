import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../../../analyse.ts';
import { draw, noise, press } from './traces.ts';

/** Two presses of a motor of 12 A standing and 3.3 A running. */
const currentA = (atS: number): number => press(atS, 1, 3, 12, 3.3) + press(atS, 4, 6, 12, 3.3);

describe('volts that are not the motor\'s', () => {
  it('are left out where one lead of it is measured against ground: 12 V one way, next to nothing the other way, and the same current both ways', () => {
    const wobbleA = noise(0.02);
    const wobbleV = noise(0.01, 2);
    const oneWay = analyseActuation(draw(2000, 7, (atS) => currentA(atS) + wobbleA(), (atS) => (atS < 3.5 ? (atS >= 1 && atS < 3 ? 12.4 - 0.1 * currentA(atS) : 0) : 0.01 * currentA(atS)) + wobbleV()), {});
    expect(oneWay.verdict.finding).toBe('normal');
    expect(oneWay.actuations.map(({ supply }) => supply !== null)).toEqual([true, false]);
    expect(oneWay.problems.map(({ code }) => code)).toContain('voltage-elsewhere');
  });

  it('are the motor\'s where its current falls with them: a tenth of the volts makes a tenth of the peak', () => {
    const wobbleA = noise(0.02);
    const wobbleV = noise(0.01, 2);
    const weak = (atS: number): number => press(atS, 1, 3, 12, 3.3) + press(atS, 4, 6, 2, 1.9);
    const fed = analyseActuation(draw(2000, 7, (atS) => weak(atS) + wobbleA(), (atS) => (atS >= 1 && atS < 3 ? 12.4 - 0.1 * weak(atS) : atS >= 4 && atS < 6 ? 2 : 0) + wobbleV()), {});
    expect(fed.problems.map(({ code }) => code)).not.toContain('voltage-elsewhere');
    expect(fed.verdict.finding).toBe('starved');
  });
});

describe('a clamp that was zeroed while the motor ran', () => {
  it('makes a locked motor of no pause: it is quieter there than where no current seems to flow', () => {
    const wobbleA = noise(0.02);
    const ripple = (atS: number): number => 0.25 * Math.sin(2 * Math.PI * 310 * atS);
    const runs = (atS: number): boolean => atS < 2 || (atS >= 4 && atS < 5.5);
    const trace = draw(2000, 6, (atS) => (runs(atS) ? ripple(atS) + (atS >= 4 ? 8 * Math.exp(-(atS - 4) / 0.04) : 0) : -5) + wobbleA());
    const { verdict, problems, actuations, baseline } = analyseActuation(trace, {});
    expect(problems.map(({ code }) => code)).toContain('zeroed-under-current');
    // the pauses are nothing: it ran at 5 A, and is seen to start at 4 s
    expect(verdict.finding).toBe('normal');
    expect(baseline.current_a).toBeCloseTo(-5, 1);
    expect(actuations.map(({ cut }) => cut)).toEqual(['start', undefined]);
    expect(actuations.map(({ run }) => Math.round(run?.median_a ?? 0))).toEqual([5, 5]);
    expect(actuations[1]?.start_s).toBeCloseTo(4, 2);
    // what a plain recording never shows
    const plain = analyseActuation(draw(2000, 7, (atS) => currentA(atS) + (currentA(atS) > 0 ? ripple(atS) : 0) + wobbleA()), {});
    expect(plain.problems.map(({ code }) => code)).not.toContain('zeroed-under-current');
  });

  it('is told by the switch-on that follows each pause past zero where no ripple shows: a rotor that never turned gives nothing back', () => {
    const wobbleA = noise(0.02);
    const runs = (atS: number): boolean => atS < 2 || atS >= 4;
    const after = (startA: number): ReturnType<typeof analyseActuation> => analyseActuation(draw(2000, 6, (atS) => (runs(atS) ? 0 : -3) + (atS >= 4 ? startA * Math.exp(-(atS - 4) / 0.04) : 0) + wobbleA()), {});
    expect(after(9).verdict.finding).toBe('unclear');
    expect(after(9).problems.map(({ code }) => code)).toContain('zeroed-under-current');
    expect(after(0).problems.map(({ code }) => code)).not.toContain('zeroed-under-current');
  });
});
