import { describe, expect, it } from 'vitest';
import type { PressReading } from '../../../../../src/core/analysis/motor/codes.ts';
import { asymmetryOf, timeAtSpeed, travelOf } from '../../../../../src/core/analysis/motor/quantities/travel.ts';
import type { UncertaintyPart } from '../../../../../src/core/analysis/uncertainty/parts.ts';
import { press, stall } from '../finding/readings.ts';
import { pressOf } from '../ripple/columns.ts';

/** 97.5 % point of the normal distribution */
const Z = 1.959963984540054;

describe('how far it turned', () => {
  /** A press of three seconds whose ripple of 100 Hz is known to 1 Hz (k = 1). */
  const turned = (count: number, fields: Partial<PressReading> = {}): PressReading => press({ ripple: { frequency_hz: 100, low_hz: 100 - Z, high_hz: 100 + Z, revolutions_per_s: null, count }, ...fields });

  it('is the ripples that were followed and half of the time that was not, which may be all or none of it', () => {
    // 2.7 s followed, 0.3 s not: 285 ripples; 2.85 s x 1 Hz beside 100 Hz x 0.15 s in 95 % bounds: hypot(2.85 x 1.96, 15) = 16.0065
    expect(travelOf(turned(270), 10, null)).toEqual({
      ripples: expect.closeTo(285, 6), low_ripples: expect.closeTo(285 - 16.0065, 3), high_ripples: expect.closeTo(285 + 16.0065, 3),
      revolutions: expect.closeTo(28.5, 6), low_revolutions: expect.closeTo(26.89935, 4), high_revolutions: expect.closeTo(30.10065, 4),
    });
    expect(travelOf(turned(150), 10, null)?.low_ripples).toBeGreaterThanOrEqual(0);
  });

  it('is that of the time at speed where it is known, which leaves a tenth of what was not followed open', () => {
    // 2.9 s: 290 ripples; hypot(2.9 x 1.96, 100 Hz x 0.03 s) = 6.4271
    expect(travelOf(turned(270), 10, 2.9)).toMatchObject({ ripples: expect.closeTo(290, 6), low_ripples: expect.closeTo(290 - 6.4271, 3), high_ripples: expect.closeTo(290 + 6.4271, 3) });
  });

  it('counts no time standing still, and none where more than half of the rest was not followed', () => {
    expect(travelOf(turned(200, { stalls: [stall(2, 2.25, 14), stall(3.25, 4, 14)] }), 10, null)).toMatchObject({ ripples: expect.closeTo(200, 6) });
    expect([travelOf(turned(150), 10, null), travelOf(turned(149), 10, null)].map((travel) => travel === null)).toEqual([false, true]);
    // more ripples than the press is long: nothing is left that was not seen
    expect(travelOf(turned(310), 10, null)).toMatchObject({ ripples: expect.closeTo(310, 6) });
    expect([travelOf(turned(270, { run: null }), 10, null), travelOf(press(), 10, null), travelOf(turned(270, { dropouts: [{ start_s: 2, end_s: 2.1 }] }), 10, null)]).toEqual([null, null, null]);
  });

  it('is in turns only where the ripples of one are known', () => {
    for (const perRevolution of [undefined, 0]) expect(travelOf(turned(270), perRevolution, null)).toMatchObject({ revolutions: null, low_revolutions: null, high_revolutions: null });
  });
});

describe('the time at running speed', () => {
  // standing at 16 A and running at 4 A, 10 A are half the speed: 0, 0, 0.5, 1, 1 over 1, 1, 1, 2 s by trapezes: 0 + 0.25 + 0.75 + 2
  const timeS = Float64Array.of(0, 1, 2, 3, 5, 6);
  const read = (...amps: number[]): Float32Array => Float32Array.from(amps);
  it('falls in a straight line from the run to nothing at the standing current', () => {
    expect(timeAtSpeed(pressOf(0, 5), 4, 16, timeS, read(16, 16, 10, 4, 4, 4))).toBeCloseTo(3, 9);
    expect(timeAtSpeed(pressOf(0, 5, -1), 4, 16, timeS, read(-16, -16, -10, -4, -4, -4))).toBeCloseTo(3, 9);
    // above the standing current it stands too, and the first reading is the current's own rise
    expect(timeAtSpeed(pressOf(0, 5), 4, 16, timeS, read(4, 20, 10, 4, 4, 4))).toBeCloseTo(3, 9);
    expect(timeAtSpeed(pressOf(1, 5), 4, 16, timeS, read(4, 2, 10, 4, 4, 4))).toBeCloseTo(3, 9);
  });

  it('is not known where the standing current is hardly above the run', () => {
    // a fifth above it is no peak
    const known = (standingA: number): boolean => timeAtSpeed(pressOf(0, 5), 4, standingA, timeS, read(4, 4, 4, 4, 4, 4)) !== null;
    expect([known(4.79), known(4.81)]).toEqual([false, true]);
  });
});

describe('forward over reverse', () => {
  const way = (direction: 'forward' | 'reverse', levelA: number, halfA: number, fields: Partial<PressReading> = {}, uncertainty?: UncertaintyPart[]): PressReading =>
    press({ direction, run: { start_s: 1, end_s: 4, median_a: levelA, low_a: levelA - halfA, high_a: levelA + halfA, spread_a: 0.1, slope_a_per_s: 0, ...(uncertainty === undefined ? {} : { uncertainty }) }, ...fields });
  const bounds = (...actuations: PressReading[]): number[] => {
    const { run_ratio: ratio, low_run_ratio: low, high_run_ratio: high } = asymmetryOf(actuations)!;
    return [ratio, low!, high!].map((value) => Number(value.toFixed(4)));
  };

  it('is the ratio of the running currents, with the shares of both bounds joined in squares', () => {
    // 6 and 4 A, each by 0.1 A: 1.5 x hypot(1/60, 1/40) = 0.04507
    expect(bounds(way('forward', 6, 0.1), way('reverse', 4, 0.1))).toEqual([1.5, 1.4549, 1.5451]);
    // mirrored: 2/3 x hypot(1/60, 1/40) = 0.02003
    expect(bounds(way('reverse', 6, 0.1), way('forward', 4, 0.1))).toEqual([0.6667, 0.6466, 0.6867]);
    // twice the sensor's scale is in neither
    expect(bounds(way('forward', 12, 0.2), way('reverse', 8, 0.2))).toEqual([1.5, 1.4549, 1.5451]);
  });

  it('has the scatter from press to press by Student\'s t, of two presses where it is the larger', () => {
    // 5, 6, 7 A: 1/sqrt(3) = 0.57735 A with two degrees of freedom, t 4.302653: 1.5 x 4.302653 x 0.57735/6 = 0.62103
    expect(bounds(way('forward', 5, 0.01), way('forward', 6, 0.01), way('forward', 7, 0.01), way('reverse', 4, 0))).toEqual([1.5, 0.879, 2.121]);
    // three that are alike scatter by nothing, whatever each by itself leaves open
    expect(bounds(way('forward', 6, 1), way('forward', 6.1, 1), way('forward', 5.9, 1), way('reverse', 4, 0))).toEqual([1.5, 1.4379, 1.5621]);
    // 5 and 7 A: 1 A with one degree, t 12.706205: more than all of it below
    expect(bounds(way('forward', 5, 0.1), way('forward', 7, 0.1), way('reverse', 4, 0))).toEqual([1.5, 0, 4.6766]);
    // 5.9 and 6.1 A scatter by 0.1 A; each is open by 1 A: 1.5 x (1/sqrt(2))/6 = 0.17678
    expect(bounds(way('forward', 5.9, 1), way('forward', 6.1, 1), way('reverse', 4, 0))).toEqual([1.5, 1.3232, 1.6768]);
    // both sides of three presses, 6 and 4 A with 1/60 and 1/40 each: Welch and Satterthwaite give 2 (a² + b²)²/(a⁴ + b⁴) = 3.484536 degrees (scipy.stats.t.ppf(0.975, 3.484536) = 2.946173)
    const three = (direction: 'forward' | 'reverse', levelA: number): PressReading[] => [-1, 0, 1].map((off) => way(direction, levelA + off * 0.1 * Math.sqrt(3), 0));
    expect(bounds(...three('forward', 6), ...three('reverse', 4))[2]).toBeCloseTo(1.5 + 1.5 * 2.946173 * Math.hypot(1 / 60, 1 / 40), 3);
  });

  it('leaves out the scale of the one sensor that read both', () => {
    expect(bounds(way('forward', 6, 0.1, {}, [{ source: 'gain', contribution: 0.1 / Z }]), way('reverse', 4, 0.1, {}, [{ source: 'gain', contribution: 0.1 / Z }]))).toEqual([1.5, 1.5, 1.5]);
  });

  it('is that of the middle currents, and its bounds reach it although the means lie elsewhere', () => {
    // 6, 6, 6, 6, 7 A against 4 A: the mean is 6.2, ratio 1.55
    const [ratio, low, high] = bounds(...[6, 6, 6, 6, 7].map((levelA) => way('forward', levelA, 0)), way('reverse', 4, 0));
    expect([ratio, low! <= 1.5, high! > 1.55]).toEqual([1.5, true, true]);
    expect(bounds(...[5, 6, 6, 6, 6].map((levelA) => way('forward', levelA, 0)), way('reverse', 4, 0))[2]).toBeGreaterThanOrEqual(1.5);
  });

  it('names the parts of the currents by the slope of the ratio, and what the presses differ by beyond as noise', () => {
    // 1.5/6 x 0.05 and 1.5/4 x 0.05: hypot(0.0125, 0.01875) = 0.0225347; the gain is in neither
    const parts: UncertaintyPart[] = [{ source: 'zero', contribution: 0.05 }, { source: 'gain', contribution: 1 }];
    const halfA = Z * Math.hypot(0.05, 1);
    const even = asymmetryOf([way('forward', 6, halfA, {}, parts), way('reverse', 4, halfA, {}, parts)])!;
    expect(even.uncertainty).toEqual([{ source: 'zero', contribution: expect.closeTo(0.0225347, 5) }]);
    // two presses of a side halve each: hypot(2 x 0.00625²)
    const two = asymmetryOf([way('forward', 6, halfA, {}, parts), way('forward', 6, halfA, {}, parts), way('reverse', 4, 0)])!;
    expect(two.uncertainty).toEqual([{ source: 'zero', contribution: expect.closeTo(0.00625 * Math.SQRT2, 5) }]);
    const far = asymmetryOf([way('forward', 5, 0, {}, parts), way('forward', 7, 0, {}, parts), way('reverse', 4, 0)])!;
    expect(far.uncertainty?.[0]?.source).toBe('noise');
  });

  it('compares the time under power and the ripples counted, where they were', () => {
    const counted = (ripples: number): Partial<PressReading> => ({ travel: { ripples, low_ripples: ripples - 10, high_ripples: ripples + 10, revolutions: null, low_revolutions: null, high_revolutions: null } });
    const both = asymmetryOf([way('forward', 6, 0.1, { end_s: 4, ...counted(300) }), way('reverse', 4, 0.1, { end_s: 3, ...counted(200) })])!;
    // 1.5 x hypot(1/30, 1/20) = 0.090139
    expect(both).toMatchObject({ duration_ratio: 1.5, travel_ratio: 1.5, low_travel_ratio: expect.closeTo(1.5 - 0.090139, 5), high_travel_ratio: expect.closeTo(1.5 + 0.090139, 5) });
    expect(asymmetryOf([way('forward', 6, 0.1, counted(300)), way('reverse', 4, 0.1)])).toMatchObject({ travel_ratio: null, low_travel_ratio: null, high_travel_ratio: null });
  });

  it('is none without a run both ways', () => {
    expect([asymmetryOf([way('forward', 6, 0.1)]), asymmetryOf([way('forward', 6, 0.1), press({ direction: 'reverse', run: null })]), asymmetryOf([way('forward', 6, 0.1), way('reverse', 0, 0.1)])]).toEqual([null, null, null]);
  });
});
