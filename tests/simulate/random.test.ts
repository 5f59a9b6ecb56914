import { expect, test } from 'vitest';
import { Random } from '../../src/simulate/random.ts';

test('xoshiro128++ started with 1, 2, 3, 4 gives the published sequence', () => {
  // vector of the rand_xoshiro package's tests, made with the authors' C code (prng.di.unimi.it/xoshiro128plusplus.c)
  const random = Random.fromWords([1, 2, 3, 4]);
  const words = Array.from({ length: 10 }, () => random.word());
  expect(words).toEqual([641, 1573767, 3222811527, 3517856514, 836907274, 4247214768, 3867114732, 1355841295, 495546011, 621204420]);
});

test('uniform and normal numbers have the mean and spread of their distributions', () => {
  const random = new Random(7);
  const count = 200_000;
  let sum = 0;
  let sumSquares = 0;
  let tail = 0;
  let uniformSum = 0;
  for (let i = 0; i < count; i++) {
    const value = random.gaussian();
    sum += value;
    sumSquares += value * value;
    if (Math.abs(value) > 1.959964) tail += 1;
    uniformSum += random.between(-1, 3);
  }
  // five standard errors
  expect(Math.abs(sum / count)).toBeLessThan(5 / Math.sqrt(count));
  expect(Math.abs(sumSquares / count - 1)).toBeLessThan(5 * Math.sqrt(2 / count));
  expect(Math.abs(tail / count - 0.05)).toBeLessThan(5 * Math.sqrt((0.05 * 0.95) / count));
  expect(Math.abs(uniformSum / count - 1)).toBeLessThan((5 * 4) / Math.sqrt(12 * count));
});

test('streams of one seed, and seeds beside each other, do not resemble each other', () => {
  const of = (seed: number, stream: number): number[] => {
    const random = new Random(seed, stream);
    return Array.from({ length: 2000 }, () => random.gaussian());
  };
  const series = [of(1, 0), of(1, 1), of(2, 0), of(2, 1)];
  for (let a = 0; a < series.length; a++) {
    for (let b = 0; b < a; b++) {
      const correlation = series[a].reduce((total, value, index) => total + value * series[b][index], 0) / 2000;
      expect(Math.abs(correlation)).toBeLessThan(5 / Math.sqrt(2000));
    }
  }
});
