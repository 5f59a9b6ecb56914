import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { fitModel, type Model } from '../../../src/core/analysis/fit.ts';

/** NIST StRD nonlinear regression files: data from line 61, response first. */
function load(name: string): { x: number[]; y: number[] } {
  const lines = readFileSync(new URL(`../../reference/data/nist-${name}.dat`, import.meta.url), 'utf8').split(/\r?\n/).slice(60);
  const pairs = lines.map((line) => line.trim().split(/\s+/).map(Number)).filter((row) => row.length === 2 && row.every(Number.isFinite));
  return { y: pairs.map((row) => row[0] as number), x: pairs.map((row) => row[1] as number) };
}

const rising: Model = ([b1, b2]) => (x) => (b1 as number) * (1 - Math.exp(-(b2 as number) * x));
const twoFalls: Model = ([b1, b2, b3, b4, b5]) => (x) => (b1 as number) + (b2 as number) * Math.exp(-x * (b4 as number)) + (b3 as number) * Math.exp(-x * (b5 as number));

describe('fitting a curve', () => {
  // certified values of NIST StRD, in the header of each file
  it.each([
    { name: 'Misra1a', model: rising, start: [250, 0.0005], certified: [238.94212918, 5.5015643181e-4], squares: 0.12455138894, deviations: [2.7070075241, 7.2668688436e-6] },
    { name: 'BoxBOD', model: rising, start: [100, 0.75], certified: [213.80940889, 0.54723748542], squares: 1168.0088766, deviations: [12.354515176, 0.10455993237] },
    { name: 'MGH17', model: twoFalls, start: [0.5, 1.5, -1, 0.01, 0.02], certified: [0.37541005211, 1.9358469127, -1.4646871366, 0.01286753464, 0.022122699662], squares: 5.4648946975e-5, deviations: [2.0723153551e-3, 0.22031669222, 0.22175707739, 4.4861358114e-4, 8.9471996575e-4] },
  ])('gives the certified values of $name to nine digits', ({ name, model, start, certified, squares, deviations }) => {
    const { x, y } = load(name);
    const fit = fitModel(model, x, y, start);
    expect(fit).not.toBeNull();
    for (const [p, value] of certified.entries()) expect(Math.abs((fit?.parameters[p] as number) / value - 1)).toBeLessThan(1e-9);
    expect(Math.abs((fit?.squares as number) / squares - 1)).toBeLessThan(1e-9);
    for (const [p, value] of deviations.entries()) expect(Math.abs((fit?.deviations[p] as number) / value - 1)).toBeLessThan(1e-5);
  });

  it('says nothing when there are no more points than parameters', () => {
    expect(fitModel(rising, [1, 2], [1, 2], [1, 1])).toBeNull();
  });

  it('is the line of least squares where the curve is one, from a near start too', () => {
    // x 0 to 3, y 1, 3, 4, 8: slope 11/5 = 2.2, offset 0.7, squares 0.09 + 0.01 + 1.21 + 0.49 = 1.8; variance 0.9, of the slope 0.9/5, of the offset 0.9 (1/4 + 1.5^2/5)
    const line: Model = ([offset, slope]) => (x) => offset! + slope! * x;
    for (const near of [false, true]) {
      const fit = fitModel(line, [0, 1, 2, 3], [1, 3, 4, 8], [1, 1], near)!;
      expect(fit.parameters[0]).toBeCloseTo(0.7, 6);
      expect(fit.parameters[1]).toBeCloseTo(2.2, 6);
      expect(fit.squares).toBeCloseTo(1.8, 9);
      expect(fit.deviations[1]).toBeCloseTo(Math.sqrt(0.18), 6);
      expect(fit.deviations[0]).toBeCloseTo(Math.sqrt(0.9 * 0.7), 6);
      // the mean of x times the variance of the slope, turned round
      expect(fit.covariance[0]![1]).toBeCloseTo(-1.5 * 0.18, 6);
    }
  });

  it('is none where two parameters do the same, or nothing finite comes of it', () => {
    const twice: Model = ([a, b]) => () => a! + b!;
    expect(fitModel(twice, [0, 1, 2, 3], [1, 3, 4, 8], [1, 1], true)).toBeNull();
    expect(fitModel(() => () => Number.NaN, [0, 1, 2], [1, 3, 4], [1], true)).toBeNull();
    expect(fitModel(([a]) => () => a!, [0, 1], [1, 3], [1])!.parameters[0]).toBeCloseTo(2, 9);
  });
});
