import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../../../../analyse.ts';
import type { ActuationResult } from '../../../../../src/core/analysis/results.ts';
import { draw, noise, press } from '../traces.ts';

/** A commutator's ripple of 0.1 A, 210 a second: ten segments at 21 turns a second. */
const ripple = (atS: number): number => 0.1 * Math.sin(2 * Math.PI * 210 * atS);
/** A press of a motor that starts at 16 A and runs at 4 A. */
const motor = (atS: number, onS: number, offS: number): number => (atS >= onS && atS < offS ? press(atS, onS, offS, 16, 4) + ripple(atS) : 0);

function read(durationS: number, currentA: (atS: number) => number): ActuationResult {
  const hiss = noise(0.02, 3);
  return analyseActuation(draw(2000, durationS, (atS) => currentA(atS) + hiss()), {});
}

const told = ({ actuations }: ActuationResult): unknown[] => actuations.map(({ start_s: startS, end_s: endS, cut, steps }) => [Math.round(startS * 50) / 50, Math.round(endS * 50) / 50, cut ?? 'whole', steps?.length ?? 0]);

describe('what is there beside the motor', () => {
  it('does not keep a press going once the motor\'s own current has ended: 0.3 A that an open-loop clamp keeps of its peak', () => {
    expect(told(read(5, (atS) => motor(atS, 1, 3.5) + (atS >= 3.5 ? 0.3 : 0)))).toEqual([[1, 3.5, 'whole', 0]]);
  });

  it('stays a step where a load joined in, and is no part of the press where it flows on after the release', () => {
    expect(told(read(6, (atS) => motor(atS, 1, 4) + (atS >= 2.5 ? 1.7 : 0)))).toEqual([[1, 4, 'whole', 1]]);
  });

  it('is taken off where it was on before the first press and went before the second: both run at 4 A', () => {
    const result = read(7, (atS) => motor(atS, 1, 3) + motor(atS, 4.5, 6.5) + (atS < 3.6 ? 1.8 : 0));
    expect(told(result)).toEqual([[1, 3, 'whole', 0], [4.5, 6.5, 'whole', 0]]);
    for (const { run } of result.actuations) expect(run?.median_a).toBeCloseTo(4, 1);
  });

  it('is a zero that moved where the wire rests below it by as much as the run stepped down: no load and no press back', () => {
    expect(told(read(6, (atS) => motor(atS, 1, 4) - (atS >= 2.5 ? 0.6 : 0)))).toEqual([[1, 4, 'whole', 0]]);
  });

  it('is nothing where the motor itself runs on to the end, or ran from the beginning', () => {
    expect(told(read(5, (atS) => motor(atS, 1, 9)))).toEqual([[1, 5, 'end', 0]]);
    expect(told(read(5, (atS) => (atS < 2.5 ? 4 + ripple(atS) : 0)))).toEqual([[0, 2.5, 'start', 0]]);
  });

  it('leaves a stall that lasts to the end in its press: it draws more than the run, not less', () => {
    expect(told(read(5, (atS) => (atS < 3.5 ? motor(atS, 1, 3.5) : 13)))).toEqual([[1, 5, 'end', 0]]);
    // the winding warms and takes a twelfth less
    const hiss = noise(0.005, 3);
    const warming = analyseActuation(draw(500, 4.2, (atS) => (atS < 2.5 ? press(atS, 0.6, 2.5, 3.4, 0.72) + ripple(atS) / 4 : 3.6 - 0.08 * (atS - 2.5) * 2) + hiss()), {});
    expect(told(warming)).toEqual([[0.6, 4.2, 'end', 0]]);
  });

  // a clamp that is noisier than the commutator ripples
  it('is taken off as well where the motor shows no ripple: it stops at once, and what was there before is there again', () => {
    const still = (atS: number, onS: number, offS: number): number => press(atS, onS, offS, 16, 4);
    const result = read(7, (atS) => still(atS, 1, 3) + still(atS, 4.5, 6.5) + (atS < 3.6 ? 1.8 : 0));
    expect(told(result)).toEqual([[1, 3, 'whole', 0], [4.5, 6.5, 'whole', 0]]);
    // a motor that is set to a higher speed and back again slows down without current first
    const slowed = (atS: number): number => 2 + press(atS, 1, 3, 14, 2) - press(atS, 3, 9, 2, 0, 0.1);
    expect(told(read(6, (atS) => (atS < 4 ? slowed(atS) : 0)))[0]).toEqual([0, 4, 'start', 2]);
  });

  it('is a lamp that joined in during the run and flows on, where the motor shows no ripple: it stepped up by what is left', () => {
    const lamp = (atS: number): number => (atS >= 2.5 ? 1.7 * (1 + 9 * Math.exp(-(atS - 2.5) / 0.025)) : 0);
    expect(told(read(6, (atS) => press(atS, 1, 4, 16, 4) + lamp(atS)))).toEqual([[1, 4, 'whole', 1]]);
    // one of two motors stops, the other runs on
    expect(told(read(6, (atS) => press(atS, 1, 4, 16, 4) + press(atS, 1, 9, 7, 1.7)))).toEqual([[1, 6, 'end', 1]]);
  });
});
