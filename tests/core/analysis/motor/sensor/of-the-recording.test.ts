import { describe, expect, it } from 'vitest';
import { backgroundOf } from '../../../../../src/core/analysis/motor/sensor/background.ts';
import { clippedAt } from '../../../../../src/core/analysis/motor/sensor/full-scale.ts';
import { isSamplersOwn } from '../../../../../src/core/analysis/motor/sensor/sampler-tone.ts';
import { readBy } from '../ripple/columns.ts';
import { noise } from '../traces.ts';

const line = (hz: number, halfHz: number) => ({ frequency_hz: hz, low_hz: hz - halfHz, high_hz: hz + halfHz, revolutions_per_s: null, count: 500 });

describe('a tone at a simple fraction of the sampling rate', () => {
  // of 2000 readings a second: 1000, 667, 500, 400, 333, 286, 250 Hz and their multiples below 1000
  it.each([250, 285.71, 333.33, 400, 500, 666.67, 750, 1000])('is the sampler\'s own at %s Hz of 2000', (hz) => {
    expect(isSamplersOwn(line(hz, 0.1), 2000)).toBe(true);
  });

  it.each([222.22, 200, 251, 310, 890])('is a speed at %s Hz', (hz) => {
    expect(isSamplersOwn(line(hz, 0.1), 2000)).toBe(false);
  });

  // 0.15 % of 250 Hz are 0.375 Hz, twice that 0.75 Hz: wide bounds alone make no tone
  it('may be off by its own bounds, and by no more than a clock is', () => {
    expect([0.3, 0.5].map((offHz) => isSamplersOwn(line(250 + offHz, 0.1), 2000))).toEqual([true, false]);
    expect([0.7, 0.8].map((offHz) => isSamplersOwn(line(250 + offHz, 5), 2000))).toEqual([true, false]);
  });
});

describe('readings at the end of the range', () => {
  const baseline = { ...readBy(new Float32Array(0)), noiseA: 0.02 };
  const n = noise(0.02);
  /** 1000 readings of a run at 8 A, with so many of 10 A in rows of so many. */
  const tipped = (tips: number, row: number): Float32Array => Float32Array.from({ length: 1000 }, (_value, i) => (i % 50 < row && Math.floor(i / 50) * row < tips ? 10 : 8 + n()));

  // tests/score/definitions.md: to be reported from 1 % of the readings
  it('are there from one in a hundred on, where five stand at one value in a row', () => {
    expect(clippedAt(tipped(10, 5), baseline, {})).toBe(10);
    expect(clippedAt(tipped(10, 4), baseline, {})).toBeNull();
    expect(clippedAt(tipped(0, 5), baseline, {})).toBeNull();
  });

  it('are none of a coarse converter, whose step below is read as often', () => {
    const steps = Float32Array.from({ length: 1000 }, (_value, i) => (i % 20 < 10 ? 10 : 9.8));
    expect(clippedAt(steps, baseline, {})).toBeNull();
  });

  it('are none of a clamp that shows nothing, and those within a hundredth of a full scale that was typed in', () => {
    expect(clippedAt(Float32Array.from({ length: 100 }, (_value, i) => (i < 20 ? 0.08 : 0)), baseline, {})).toBeNull();
    expect([9.91, 9.89].map((topA) => clippedAt(Float32Array.of(0, topA), baseline, { fullScaleA: 10 }))).toEqual([10, null]);
  });
});

describe('a level before and after every press', () => {
  /** Two seconds in blocks of a mains period. */
  const blocks = (currentA: (block: number) => number): Float64Array => Float64Array.from({ length: 100 }, (_value, b) => currentA(b));
  const within = (b: number): boolean => b >= 30 && b < 60;

  it('is the current of another load', () => {
    expect(backgroundOf(blocks((b) => (within(b) ? 10 : 2)))).toBe(2);
    expect(backgroundOf(blocks((b) => (within(b) ? -6 : 2)))).toBe(2);
  });

  // a charger gives 29 A, and for most of the time a pump takes 7 A of them, less than a quarter, behind a switch-on of 19 A
  it('is that of the ends, however long a smaller motor lifts it in between', () => {
    expect(backgroundOf(blocks((b) => (b >= 10 && b < 90 ? (b < 13 ? -10 : -22) : -29)))).toBe(-29);
  });

  it('may differ by a quarter from before to after', () => {
    expect(backgroundOf(blocks((b) => (within(b) ? 10 : b < 30 ? 2 : 2.5)))).toBeGreaterThan(1.9);
    expect(backgroundOf(blocks((b) => (within(b) ? 10 : b < 30 ? 2 : 2.6)))).toBe(0);
  });

  it('is none that a bad zero makes, that no press leaves, or that was let go of in between', () => {
    expect(backgroundOf(blocks((b) => (within(b) ? 10 : 0.2)))).toBe(0);
    expect(backgroundOf(blocks(() => 2))).toBe(0);
    expect(backgroundOf(blocks((b) => (within(b) ? 0.2 : 2)))).toBe(0);
  });

  it('is none of a motor that ran from the beginning and climbs to a stall', () => {
    expect(backgroundOf(blocks((b) => (within(b) ? 2 + 8 * (1 - Math.exp(-(b - 29) / 6)) : 2)))).toBe(0);
  });

  it('is none in less than a fifth of a second', () => {
    expect(backgroundOf(blocks((b) => (b >= 3 && b < 6 ? 10 : 2)).subarray(0, 9))).toBe(0);
    expect(backgroundOf(blocks((b) => (b >= 3 && b < 7 ? 10 : 2)).subarray(0, 10))).toBe(2);
  });
});
