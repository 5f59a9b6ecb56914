import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { analyseActuation, analyseDrain } from '../../../analyse.ts';
import type { ActuationOptions } from '../../../../src/core/analysis/options.ts';
import { compareActuation } from '../../../../src/core/present/documents/document-compare.ts';
import { combinedOf, halfWidthOf, halfWidthWithout, joinedParts, partsOf, type UncertaintyPart } from '../../../../src/core/analysis/uncertainty/parts.ts';
import { en } from '../../../../src/core/present/en/index.ts';
import { draw, noise, press } from '../motor/traces.ts';

const RATE_HZ = 1000;
/** a motor pressed forward and in reverse, with the volts at its feed: 12 V behind 0.2 ohm */
function pressed(seed: number): ReturnType<typeof draw> {
  const [a, v] = [noise(0.01, seed), noise(0.005, seed + 1)];
  const flows = (t: number): number => press(t, 1, 4, 20, 5) - press(t, 6, 9, 20, 4);
  return draw(RATE_HZ, 11, (t) => flows(t) + a(), (t) => (flows(t) === 0 ? 0 : 12 - 0.2 * Math.abs(flows(t))) + v());
}
const reading = (options: ActuationOptions): ReturnType<typeof analyseActuation> => analyseActuation(pressed(3), options);
const size = (parts: readonly UncertaintyPart[] | undefined, source: string): number => parts?.find((one) => one.source === source)?.contribution ?? 0;

describe('parts of an uncertainty', () => {
  it('join in squares, by source, the largest first (JCGM 100:2008, 5.1.2)', () => {
    const parts = joinedParts(partsOf({ noise: 3, gain: 1 }), partsOf({ noise: 4 }));
    expect(parts).toEqual([{ source: 'noise', contribution: 5 }, { source: 'gain', contribution: 1 }]);
    expect(combinedOf(parts)).toBeCloseTo(Math.sqrt(26), 12);
  });

  it('leave what is left when one of them cancels, and never less than nothing', () => {
    const size_ = fc.double({ min: 0, max: 100, noNaN: true });
    fc.assert(fc.property(size_, size_, (noiseA, gainA) => {
      const parts = partsOf({ noise: noiseA, gain: gainA });
      expect(halfWidthWithout(halfWidthOf(parts), parts, 'gain')).toBeCloseTo(halfWidthOf(partsOf({ noise: noiseA })), 4);
      expect(halfWidthWithout(0, parts, 'gain')).toBe(0);
    }));
  });
});

describe('the budget of a motor test', () => {
  const plain = reading({});
  const reported = reading({ gainUncertaintyPercent: 1, voltageGainPercent: 0.5, zeroDriftAPerHour: 0.1 });

  it('is given with every figure, and its parts make the bounds', () => {
    for (const [i, { run, inrush, supply }] of reported.actuations.entries()) {
      expect((run!.high_a - run!.low_a) / 2).toBeCloseTo(halfWidthOf(run!.uncertainty!), 3);
      expect((inrush!.high_charge_c! - inrush!.low_charge_c!) / 2).toBeCloseTo(halfWidthOf(inrush!.charge_uncertainty!), 6);
      for (const parts of [run!.uncertainty, inrush!.uncertainty, inrush!.charge_uncertainty, inrush!.i2t_uncertainty, supply!.uncertainty]) {
        expect(parts!.length).toBeGreaterThan(1);
        for (const { source } of parts!) expect(Object.keys(en.calibration.sources)).toContain(source);
      }
      // 1 % of each figure, twice that of a square (JCGM 100:2008, 5.1.6); an ohm carries both channels' scales
      expect(size(run!.uncertainty, 'gain')).toBeCloseTo(0.01 * run!.median_a, 9);
      expect(size(inrush!.uncertainty, 'gain')).toBeCloseTo(0.01 * inrush!.peak_a, 9);
      expect(size(inrush!.charge_uncertainty, 'gain')).toBeCloseTo(0.01 * inrush!.charge_c, 9);
      expect(size(inrush!.i2t_uncertainty, 'gain')).toBeCloseTo(0.02 * inrush!.i2t_a2s, 9);
      expect(size(supply!.uncertainty, 'gain')).toBeCloseTo(Math.hypot(0.01, 0.005) * supply!.source_ohm, 9);
      expect(size(plain.actuations[i]!.run!.uncertainty, 'gain')).toBe(0);
    }
  });

  it('leaves the scale out of a ratio by one sensor', () => {
    expect(size(reported.asymmetry!.uncertainty, 'gain')).toBe(0);
    const width = ({ asymmetry }: typeof reported): number => asymmetry!.high_run_ratio! - asymmetry!.low_run_ratio!;
    expect(width(reported) / width(plain)).toBeLessThan(1.05);
  });

  it('counts the scale once in what changed: with the change where one sensor recorded both, with both sides where two did', () => {
    const other = analyseActuation(pressed(9), { gainUncertaintyPercent: 5 });
    const first = reading({ gainUncertaintyPercent: 5 });
    const half = (ids: readonly [string, string]): number => {
      const sensors = [{ id: ids[0], gainUncertaintyPercent: 5 }, { id: ids[1], gainUncertaintyPercent: 5 }] as const;
      const pair = compareActuation(first, other, { sensors }).pairs.find(({ metric, direction }) => metric === 'run_a' && direction === 'forward')!;
      return (pair.high! - pair.low!) / 2;
    };
    // the same motor twice: nothing changed, so 5 % of nothing
    expect(half(['a', 'a'])).toBeLessThan(0.05);
    expect(half(['a', 'b'])).toBeCloseTo(1.96 * 0.05 * Math.hypot(5, 5), 1);
  });
});

describe('the budget of a night', () => {
  const n = noise(0.002, 4);
  const trace = draw(2, 2400, (t) => (t < 60 ? 2 : t > 1500 && t < 1900 ? 0.018 : 0.038) + n());
  const result = analyseDrain(trace, [{ timeS: 1500, kind: 'pull', label: 'F7' }, { timeS: 1900, kind: 'refit', label: 'F7' }], { zeroUncertaintyA: 0.001, gainUncertaintyPercent: 2, zeroDriftAPerHour: 0.001, zeroTemperatureA: 0.0004 });

  it('has the zero, its drift and its temperature in the level asleep, and not in what a pull changed', () => {
    const asleep = result.asleep!;
    expect(size(asleep.uncertainty, 'zero')).toBe(0.001);
    expect(size(asleep.uncertainty, 'temperature')).toBe(0.0004);
    expect(size(asleep.uncertainty, 'gain')).toBeCloseTo(0.02 * asleep.level_a, 9);
    expect(size(asleep.uncertainty, 'zero-drift')).toBeGreaterThan(0);
    expect((asleep.high_a - asleep.low_a) / 2).toBeCloseTo(halfWidthOf(asleep.uncertainty!), 6);
    const [pull] = result.pulls;
    expect(size(pull!.uncertainty, 'zero')).toBe(0);
    expect(size(pull!.uncertainty, 'gain')).toBeCloseTo(0.02 * 0.02, 4);
    expect((pull!.high_a - pull!.low_a) / 2).toBeCloseTo(halfWidthOf(pull!.uncertainty!), 5);
  });
});

describe('the budget of a load that is no motor', () => {
  it('is given with its level too, which was first read as a stalled motor', () => {
    const n = noise(0.01, 7);
    const { actuations } = analyseActuation(draw(RATE_HZ, 6, (t) => (t >= 1 && t < 5 ? 5 : 0) + n()), { gainUncertaintyPercent: 1 });
    const level = actuations[0]!.run ?? actuations[0]!.stalls[0]!;
    expect(size(level.uncertainty, 'gain')).toBeCloseTo(0.05, 3);
    expect(level.high_a! - level.low_a!).toBeGreaterThan(2 * 1.96 * 0.05 * 0.99);
  });
});
