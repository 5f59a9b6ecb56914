import { describe, expect, it } from 'vitest';
import { budgetOf, ofLimits, ofStep } from '../../../../src/core/analysis/uncertainty/budget.ts';
import { normalQuantile } from '../../../../src/core/analysis/uncertainty/distributions.ts';
import { seededRandom } from '../../../../src/core/random.ts';

describe('uncertainty budget', () => {
  it('gives the 32 nm of the end gauge of GUM H.1, with the parts of its table H.1', () => {
    // JCGM 100:2008, H.1; inputs as in a public transcription (gtc.readthedocs.io, GUM H.1). Lengths in nm.
    const standard = 5.0000623e7;
    const inputs = [
      { source: 'standard', value: standard, uncertainty: 25 },
      { source: 'difference', value: 215, uncertainty: Math.hypot(5.8, 3.9, 6.7) },
      { source: 'expansion of the standard', value: 11.5e-6, uncertainty: ofLimits(2e-6) },
      { source: 'temperature', value: -0.1, uncertainty: Math.hypot(0.2, 0.5 / Math.SQRT2) },
      { source: 'expansion difference', value: 0, uncertainty: ofLimits(1e-6) },
      { source: 'temperature difference', value: 0, uncertainty: ofLimits(0.05) },
    ];
    const { value, uncertainty, parts } = budgetOf(([ls, d, alpha, theta, dAlpha, dTheta]) => ls + d - ls * (dAlpha * theta + alpha * dTheta), inputs);
    const part = (source: string): number => parts.find((one) => one.source === source)!.contribution;
    expect(value).toBeCloseTo(50_000_838, 0);
    expect(Math.round(uncertainty)).toBe(32);
    expect(part('standard')).toBeCloseTo(25, 1);
    expect(part('difference')).toBeCloseTo(9.7, 1);
    expect(part('expansion difference')).toBeCloseTo(2.9, 1);
    expect(part('temperature difference')).toBeCloseTo(16.6, 1);
    expect(parts.slice(0, 4).map(({ source }) => source)).toEqual(['standard', 'temperature difference', 'difference', 'expansion difference']);
  });

  it('gives the 0.089 m2 of the circle in a NIST lecture', () => {
    // A. Possolo, NIST, "Uncertainty Evaluation in a Nutshell", 2013: R = 2.8461 m, u = 0.005 m, A = 25.447 m2, u = 0.089 m2
    const { value, uncertainty } = budgetOf(([r]) => Math.PI * r * r, [{ source: 'radius', value: 2.8461, uncertainty: 0.005 }]);
    expect(value).toBeCloseTo(25.447, 2);
    expect(uncertainty).toBeCloseTo(0.089, 3);
  });

  it('counts a correlation: what is common to two readings cancels in their difference and doubles in their sum', () => {
    const inputs = [
      { source: 'gain', value: 4, uncertainty: 0.1 },
      { source: 'gain', value: 4, uncertainty: 0.1 },
    ];
    const common = [{ a: 0, b: 1, r: 1 }];
    expect(budgetOf(([a, b]) => b - a, inputs, common).uncertainty).toBeCloseTo(0, 9);
    expect(budgetOf(([a, b]) => a + b, inputs, common).uncertainty).toBeCloseTo(0.2, 9);
    expect(budgetOf(([a, b]) => b - a, inputs).uncertainty).toBeCloseTo(0.1 * Math.SQRT2, 9);
  });

  it('agrees with a propagation of distributions (JCGM 101:2008) for a source resistance', () => {
    // (open - run) / current, gains and zeros in: 20,000 normal draws
    const inputs = [
      { source: 'open', value: 12.6, uncertainty: 0.02 },
      { source: 'run', value: 12.1, uncertainty: 0.02 },
      { source: 'current', value: 8, uncertainty: 0.16 },
    ];
    const worked = ([open, run, current]: readonly number[]): number => (open - run) / current;
    const { uncertainty } = budgetOf(worked, inputs, [{ a: 0, b: 1, r: 0.8 }]);
    const random = seededRandom(7);
    const normal = (): number => normalQuantile(Math.min(Math.max(random(), 1e-9), 1 - 1e-9));
    let sum = 0;
    let squares = 0;
    const draws = 20_000;
    for (let i = 0; i < draws; i++) {
      const [first, second, third] = [normal(), normal(), normal()];
      const value = worked([12.6 + 0.02 * first, 12.1 + 0.02 * (0.8 * first + 0.6 * second), 8 + 0.16 * third]);
      sum += value;
      squares += value * value;
    }
    const drawn = Math.sqrt(squares / draws - (sum / draws) ** 2);
    // the standard deviation of 20,000 draws is known to 0.5 %; three of those
    expect(Math.abs(drawn / uncertainty - 1)).toBeLessThan(0.015);
  });

  it('takes a limit over the root of three, and half a step as such a limit', () => {
    expect(ofLimits(3)).toBeCloseTo(Math.sqrt(3), 12);
    // JCGM 100:2008, F.2.2.1: a step of dx leaves 0.29 dx
    expect(ofStep(1)).toBeCloseTo(0.29, 2);
  });
});
