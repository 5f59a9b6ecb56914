import { describe, expect, it } from 'vitest';
import { withoutOverflow } from '../../../../../src/core/analysis/motor/sensor/overflow.ts';
import { noise, press } from '../traces.ts';
import { sampledAt } from '../ripple/columns.ts';

const RATE_HZ = 2000;
const RANGE_A = 10;

/** Two seconds of a motor that starts at 0.5 s with 16 A and runs at 4 A. */
function started(way: 1 | -1, seed: number): Float32Array {
  const hiss = noise(0.05, seed);
  return Float32Array.from({ length: 2 * RATE_HZ }, (_value, i) => way * (press(i / RATE_HZ, 0.5, 1.8, 16, 4) + 0.2 * Math.sin(i / 3)) + hiss());
}

/** As a converter of two's complement reads what is beyond its range. */
const wrapped = (values: Float32Array): Float32Array => values.map((value) => (value > RANGE_A ? value - 2 * RANGE_A : value < -RANGE_A ? value + 2 * RANGE_A : value));
const put = (values: Float32Array): Float32Array => withoutOverflow(values, sampledAt(RATE_HZ, values.length));

describe('tips that came out at the other end of the range', () => {
  it.each([[1, 1], [1, 2], [-1, 3]] as const)('are put back, way %i: within a hundredth of what flowed', (way, seed) => {
    const flowed = started(way, seed);
    expect(wrapped(flowed)).not.toEqual(flowed);
    const read = wrapped(flowed);
    const back = put(read);
    expect(read).toEqual(wrapped(flowed));
    for (const [i, value] of back.entries()) expect(Math.abs(value - flowed[i])).toBeLessThan(0.01 * 2 * RANGE_A);
  });

  it('are none where the range was enough, nor where it cut them off', () => {
    const flowed = started(1, 4);
    expect(put(flowed)).toBe(flowed);
    const cut = flowed.map((value) => Math.min(RANGE_A, value));
    expect(put(cut)).toBe(cut);
  });

  it('are none where a rocker is pushed through from a stop: the motor drew its standing current one way, then the other', () => {
    const hiss = noise(0.05, 5);
    const values = Float32Array.from({ length: 2 * RATE_HZ }, (_value, i) => (i < RATE_HZ / 4 ? 0 : i < RATE_HZ ? -15 : press(i / RATE_HZ, 1, 3, 16, 4)) + hiss());
    expect(put(values)).toBe(values);
  });
});
