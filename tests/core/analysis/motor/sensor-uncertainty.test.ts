import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../../../analyse.ts';
import { draw, noise, press } from './traces.ts';

/** JCGM 100:2008: independent contributions join as root of squares, 95 % is 1.96 standard uncertainties. */
describe('what is known of the sensor', () => {
  const n = noise(0.01, 5);
  const trace = draw(1000, 6, (t) => press(t, 1, 5, 20, 5) + n());
  const halfWidth = (options: Parameters<typeof analyseActuation>[1]): number => {
    const run = analyseActuation(trace, options).actuations[0]?.run;
    return ((run?.high_a ?? 0) - (run?.low_a ?? 0)) / 2;
  };

  it('widens the bounds of a level by the scale, and by the zero only where no idle moment shows it', () => {
    const plain = halfWidth({});
    expect(halfWidth({ gainUncertaintyPercent: 2 })).toBeCloseTo(Math.hypot(plain, 1.96 * 0.02 * 5), 2);
    expect(halfWidth({ zeroUncertaintyA: 0.2 })).toBeCloseTo(plain, 6);
    expect(halfWidth({ zeroDriftAPerHour: 360 })).toBeGreaterThan(plain);
  });
});
