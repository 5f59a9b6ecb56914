import { describe, expect, it } from 'vitest';
import { envelopeBetween, type Envelope } from '../../../../../src/core/analysis/motor/signal/envelope.ts';
import { quietScatter } from '../../../../../src/core/analysis/motor/signal/levels.ts';
import { seededRandom } from '../../../../../src/core/random.ts';

/** At 1000 Hz a cell is 5 readings, a quarter of a mains period, and a mean reaches 10 of them to either side. */
const at = (values: readonly number[], rateHz = 1000, startIndex = 0, sign = 1): Envelope => envelopeBetween(startIndex, values.length, sign, Float32Array.from(values), { rateHz, periodS: 1 / rateHz });
const many = (count: number, value: (i: number) => number): number[] => Array.from({ length: count }, (_, i) => value(i));

describe('the envelope of a press', () => {
  it('has cells of a quarter of a mains period, the last of which holds what is left', () => {
    const { step, stepS, cells, levelA, rippleVarianceA2 } = at(many(23, () => 4));
    expect([step, stepS, cells, [...levelA], [...rippleVarianceA2]]).toEqual([5, 0.005, 4, [4, 4, 4, 4], [0, 0, 0, 0]]);
    expect([at(many(24, () => 4)).cells, at(many(25, () => 4)).cells, at(many(3, () => 4)).cells, at(many(50, () => 4), 50).step, at(many(50, () => 4), 2000).step]).toEqual([4, 5, 1, 1, 10]);
  });

  it('keeps a slope where it is, up to both ends', () => {
    // middles of 0 to 5, 5 to 10 ... and of 55 to 63; A a reading
    expect([...at(many(63, (i) => 0.5 * i)).levelA]).toEqual([2, 7, 12, 17, 22, 27, 32, 37, 42, 47, 52, 59].map((middle) => 0.5 * middle));
    expect([...at(many(63, (i) => 0.5 * i)).rippleVarianceA2]).toEqual(many(12, () => 0));
  });

  it('has the power of what the mean over a mains period takes away', () => {
    // readings of +1 and -1 A in turn: the mean of 21 of them is a 21st of the middle one, so 20/21 of it is left
    const { levelA, rippleVarianceA2 } = at(many(100, (i) => 3 + (-1) ** i));
    expect(rippleVarianceA2[10]).toBeCloseTo((20 / 21) ** 2, 6);
    // cell 10 is read about reading 52
    expect(levelA[10]).toBeCloseTo(3 + 1 / 21, 6);
    // mains hum of 2 A: half its square, and next to none of it in the level
    const hum = at(many(200, (i) => 3 + 2 * Math.sin(2 * Math.PI * 50 * (i / 1000))));
    expect(Math.abs(hum.levelA[20]! - 3)).toBeLessThan(2 / 21);
    const power = hum.rippleVarianceA2.slice(16, 24).reduce((sum, value) => sum + value, 0) / 8;
    expect(Math.abs(power / 2 - 1)).toBeLessThan(0.1);
  });

  it('is the same of a part by itself, and of the other sign turned over', () => {
    const press = many(60, (i) => Math.sqrt(i) + (i % 3));
    const { levelA, rippleVarianceA2, startIndex } = at([...many(7, () => 99), ...press], 1000, 7);
    expect([startIndex, levelA, rippleVarianceA2]).toEqual([7, at(press).levelA, at(press).rippleVarianceA2]);
    expect(at(press.map((value) => -value), 1000, 0, -1).levelA).toEqual(levelA);
  });
});

describe('a level', () => {
  it('scatters as its quieter steps say: of normal readings by their deviation, whatever steps lie among them', () => {
    // every step is 1: the lowest quarter of normal differences reaches to 0.318639 of their deviation, which is the root of two of that of a reading
    expect(quietScatter(Float64Array.of(0, 1, 0, 1, 0))).toBeCloseTo(1 / (0.318639 * Math.SQRT2), 5);
    const unit = seededRandom(5);
    const normal = Float64Array.from({ length: 20_000 }, (_, i) => 0.2 * Math.sqrt(-2 * Math.log(1 - unit())) * Math.cos(2 * Math.PI * unit()) + (i % 40 < 20 ? 0 : 5));
    expect(Math.abs(quietScatter(normal) / 0.2 - 1)).toBeLessThan(0.12);
    expect([quietScatter(Float64Array.of(5)), quietScatter(Float64Array.of(5, 5, 5))]).toEqual([0, 0]);
  });
});
