import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../../../analyse.ts';
import { placeEvidence } from '../../../../src/core/analysis/motor/finding/travel-evidence.ts';
import type { PressReading } from '../../../../src/core/analysis/motor/codes.ts';
import { actuation } from '../../report/examples.ts';
import type { Trace } from '../../../../src/core/trace.ts';
import { draw, noise } from './traces.ts';

/** A motor that gets up to speed with 60 ms and turns at this rate, with `perRevolution` ripples, forward and then back. Turns counted as it goes. */
function outAndBack(perRevolution: number, forwardHz: number, backHz: number, forwardS: number, backS: number): { trace: Trace; turns: [number, number] } {
  const wobble = noise(0.01);
  const turns: [number, number] = [0, 0];
  const rateHz = 4000;
  const trace = draw(rateHz, 2 + forwardS + backS, (atS) => {
    const back = atS >= 1.5 + forwardS;
    const onS = back ? 1.5 + forwardS : 0.5;
    const lastsS = back ? backS : forwardS;
    if (atS < onS || atS >= onS + lastsS) return wobble();
    const sinceS = atS - onS;
    const speed = (back ? backHz : forwardHz) * (1 - Math.exp(-sinceS / 0.06));
    turns[back ? 1 : 0] += speed / rateHz;
    const level = 4 + 11 * Math.exp(-sinceS / 0.06);
    const ripple = 0.15 * (1 - Math.exp(-sinceS / 0.06)) * Math.abs(Math.sin(Math.PI * perRevolution * (turns[back ? 1 : 0] as number)));
    return (back ? -1 : 1) * (level * (1 - Math.exp(-sinceS / 0.001)) + ripple) + wobble();
  });
  return { trace, turns };
}

describe('travel', () => {
  // a driver chip's datasheet (TI DRV8215) counts ripples for the same purpose; LCM(2 brushes, 8 segments) = 8
  it.each([[8, 45, 40, 2, 2.2], [12, 30, 30, 1.5, 1.5], [10, 20, 25, 2.5, 2]])('is counted in turns, within a fiftieth and inside its bounds: %i ripples a turn, %i and %i turns a second', (per, forwardHz, backHz, forwardS, backS) => {
    const { trace, turns } = outAndBack(per, forwardHz, backHz, forwardS, backS);
    const { actuations } = analyseActuation(trace, { commutationsPerRevolution: per });
    expect(actuations).toHaveLength(2);
    for (const [a, { travel }] of actuations.entries()) {
      expect(Math.abs((travel?.revolutions as number) / (turns[a] as number) - 1)).toBeLessThan(0.02);
      expect(travel?.low_revolutions).toBeLessThanOrEqual(turns[a] as number);
      expect(travel?.high_revolutions).toBeGreaterThanOrEqual(turns[a] as number);
      expect(travel?.ripples).toBeCloseTo((travel?.revolutions as number) * per, 6);
    }
  });

  it('says that it went further one way only when the bounds agree', () => {
    const even = analyseActuation(outAndBack(8, 45, 40, 2, 2.25).trace, { commutationsPerRevolution: 8 });
    expect(Math.abs((even.asymmetry?.travel_ratio as number) - 1)).toBeLessThan(0.02);
    expect(even.asymmetry?.low_travel_ratio).toBeLessThan(1);
    expect(even.asymmetry?.high_travel_ratio).toBeGreaterThan(1);
    expect(even.verdict.because.join(' ')).not.toMatch(/times as far/);
    const slipping = analyseActuation(outAndBack(8, 45, 45, 2, 1.5).trace, { commutationsPerRevolution: 8 });
    expect(slipping.asymmetry?.low_travel_ratio).toBeGreaterThan(1.2);
    expect(slipping.verdict.because.join(' ')).toMatch(/it turned 1\.3\d times as far forward as in reverse \(1\.\d+ to 1\.\d+\)/);
  });

  it('is reported in ripples, and compared, where the ripples per revolution are not known', () => {
    const { actuations, asymmetry } = analyseActuation(outAndBack(8, 45, 45, 2, 1.5).trace, {});
    expect(actuations[0]?.travel?.revolutions).toBeNull();
    expect(actuations[0]?.travel?.ripples).toBeGreaterThan(600);
    expect(asymmetry?.travel_ratio).toBeGreaterThan(1.2);
  });

  it('is null where no ripple shows', () => {
    const wobble = noise(0.02);
    const smooth = draw(1000, 4, (atS) => (atS > 1 && atS < 3 ? 4 + 10 * Math.exp(-(atS - 1) / 0.05) : 0) + wobble());
    expect(analyseActuation(smooth, { commutationsPerRevolution: 8 }).actuations[0]?.travel).toBeNull();
  });
});

describe('where it stood still', () => {
  const press = (turns: number, direction: 'forward' | 'reverse' = 'forward'): PressReading => ({
      ...actuation(),
      inrush: null,
      events: [],
      direction,
      stalls: [{ start_s: 3, end_s: 4, level_a: 13, at: 'travel' }],
      travel: { ripples: turns * 8, low_ripples: turns * 7.8, high_ripples: turns * 8.2, revolutions: turns, low_revolutions: turns * 0.98, high_revolutions: turns * 1.02 },
      finding: 'stalled',
    });

  // an end stop holds at the same place each time, grit or a loose object does not: common practice, no published source
  it('is one fixed place when the motor made the same way each time', () => {
    expect(placeEvidence([press(64), press(65), press(64.5)])).toMatchObject([{ code: 'stop-places', ways: [{ direction: 'forward', presses: 3, placeIs: 'same', unit: 'turns', mean: 64.5 }] }]);
  });

  it('is no end of travel when the ways differ', () => {
    expect(placeEvidence([press(30), press(64), press(85)])).toMatchObject([{ ways: [{ placeIs: 'different', low: 30, high: 85 }] }]);
  });

  it('is not said of one press, nor where the ways are neither alike nor apart', () => {
    expect(placeEvidence([press(64)])).toEqual([]);
    expect(placeEvidence([press(60), press(66)])).toEqual([]);
    expect(placeEvidence([press(60), press(60, 'reverse')])).toEqual([]);
  });
});
