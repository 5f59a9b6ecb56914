import { describe, expect, it } from 'vitest';
import { settle } from '../../../../../src/core/analysis/motor/motion/settling.ts';
import { analyseActuation } from '../../../../analyse.ts';
import { draw, noise, press } from '../traces.ts';

const CELL_S = 0.005;
const TAU_S = 0.04;

/** A switch-on that falls from 12 A to its run of 4 A, recorded for so long. */
function fallFor(lastsS: number): Parameters<typeof settle>[0] {
  const cells = Math.round(lastsS / CELL_S);
  const levelA = Float64Array.from({ length: cells }, (_value, k) => 4 + 8 * Math.exp(-(k * CELL_S) / TAU_S));
  return { step: 5, stepS: CELL_S, cells, startIndex: 0, levelA, rippleVarianceA2: new Float64Array(cells) };
}

describe('the end of a switch-on', () => {
  // e^(-4.8) = 0.8 %: 4.8 time constants are 0.19 s
  it('is where less than a hundredth of the fall is left', () => {
    const envelope = fallFor(1);
    const { cell } = settle(envelope, 0, 0, envelope.cells, 0);
    expect(envelope.levelA[cell] - 4).toBeLessThan(0.015 * 8);
    expect(cell * CELL_S).toBeLessThan(6 * TAU_S);
  });

  // two time constants: a seventh of the fall is left, 1.1 A above the run
  it('is not seen in a press that ends before', () => {
    const envelope = fallFor(2 * TAU_S);
    expect(settle(envelope, 0, 0, envelope.cells, 0).cell).toBe(envelope.cells);
  });

  // after four time constants 1.8 % of 8 A are left, and the mean of the last one lies a quarter of an ampere above the run
  it('that a tap does not reach leaves no running level', () => {
    const n = noise(0.02);
    const { actuations } = analyseActuation(draw(5000, 3, (t) => press(t, 1, 1.16, 12, 4, TAU_S) + n()), {});
    expect(actuations.map(({ run, finding }) => [run, finding])).toEqual([[null, 'normal']]);
  });
});
