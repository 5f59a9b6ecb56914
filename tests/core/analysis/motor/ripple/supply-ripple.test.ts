import { describe, expect, it } from 'vitest';
import { isSuppliesOwn } from '../../../../../src/core/analysis/motor/ripple/supply-ripple.ts';
import { idleSpectra } from '../../../../../src/core/analysis/motor/sensor/idle-lines.ts';
import { noise } from '../traces.ts';
import { readBy } from './columns.ts';

const LENGTH = 256;
const BIN = 32;

/** An idle clamp with another load of 5 A whose current has a ripple of 0.05 A (one part in a hundred) on bin 32, or none. */
function judged(amplitudeA: number, { highestA = 40, backgroundA = 5, rippleA = 0.05, bin = BIN } = {}): boolean {
  const hiss = noise(0.005, 3);
  const values = Float32Array.from({ length: 16 * LENGTH }, (_value, i) => rippleA * Math.sin((2 * Math.PI * BIN * i) / LENGTH) + hiss());
  const baseline = readBy(values, Int32Array.of(0, values.length), backgroundA);
  return isSuppliesOwn(bin, LENGTH, amplitudeA, { baseline, idleOf: idleSpectra(baseline), highestA });
}

describe('a line that the supply may have made', () => {
  // 0.05 A of 5 A are a hundredth; of a standing current of at most 2 x 40 A that is 0.8 A
  it('is its own up to the share of ripple that the other load shows, of the highest standing current', () => {
    expect(judged(0.76)).toBe(true);
    expect(judged(0.84)).toBe(false);
  });

  it('goes with the standing current and against the size of the other load', () => {
    expect(judged(0.44, { highestA: 20 })).toBe(false);
    expect(judged(0.36, { highestA: 20 })).toBe(true);
    expect(judged(0.44, { backgroundA: 10 })).toBe(false);
    expect(judged(0.76, { backgroundA: -5 })).toBe(true);
  });

  it('is the motor\'s where no other load is there, where that shows no ripple, and away from its line', () => {
    expect(judged(0.1, { backgroundA: 0 })).toBe(false);
    expect(judged(0.1, { rippleA: 0 })).toBe(false);
    expect(judged(0.1, { bin: BIN + 6 })).toBe(false);
  });

  it('is found on the bins beside it, since a supply\'s frequency lies between bins', () => {
    expect(judged(0.1, { bin: BIN + 1 })).toBe(true);
    expect(judged(0.1, { bin: BIN - 1 })).toBe(true);
  });
});
