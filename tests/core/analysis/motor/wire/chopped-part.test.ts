import { describe, expect, it } from 'vitest';
import { averaged, dutyOf, findChopping, type Chopping } from '../../../../../src/core/analysis/motor/wire/chopping.ts';
import { readWire } from '../../../../../src/core/analysis/motor/wire/wire.ts';
import { sampledAt } from '../ripple/columns.ts';

const RATE_HZ = 10_000;
const within = (i: number, from: number, to: number): boolean => i >= from && i < to;
/** Pulses of `on` in `period` readings, from reading 5000 to 15,000 unless said otherwise, down to so much of 6 A. */
const pulses = (period: number, on: number, { from = 5000, to = 15_000, left = 0 } = {}) => (i: number): number => (!within(i, from, to) ? 0 : (i - from) % period < on ? 6 : 6 * left);
const sized = (at: (i: number) => number, count = 20_000): Float32Array => Float32Array.from({ length: count }, (_value, i) => at(i));
const find = (at: (i: number) => number, rateHz = RATE_HZ): Chopping | null => findChopping(sized(at), sampledAt(rateHz, 20_000));

describe('a chopped supply', () => {
  it('has a frequency of 50 Hz to 1 kHz, with five readings a period at the least', () => {
    expect([find(pulses(50, 20))?.frequencyHz, find(pulses(100, 50))?.frequencyHz, find(pulses(11, 5))?.frequencyHz]).toEqual([200, 100, 909].map((hz) => expect.closeTo(hz, 0)));
    expect(find(pulses(50, 20))?.samples).toBeCloseTo(50, 6);
    expect(find(pulses(9, 4))).toBeNull();
    // fewer than five: the mean over two mains periods, 400 readings
    expect(find(pulses(4, 2))).toEqual({ frequencyHz: null, samples: 400, part: null });
  });

  it('may leave up to half of its current, all along', () => {
    expect([find(pulses(50, 20, { left: 0.48 })) !== null, find(pulses(50, 20, { left: 0.52 }))]).toEqual([true, null]);
  });

  it('may be a part of the current, a quarter of it at the least, where it leaves nothing between its pulses', () => {
    // chopped up to 10,000, then on
    const part = (until: number, left = 0) => find((i) => (within(i, 5000, until) ? pulses(50, 20, { left })(i) : within(i, until, 15_000) ? 6 : 0));
    const half = part(10_000)?.part;
    // from half a period before the first pulse to two behind the last
    expect([half?.startIndex, half?.endIndex]).toEqual([4975, 10_050]);
    expect([part(8000) !== null, part(6400), part(10_000, 0.2)]).toEqual([true, null, null]);
    expect(part(14_800)?.part).toBeNull();
  });

  it('needs twenty pulses, evenly spaced', () => {
    const so = (many: number) => find(pulses(100, 50, { to: 5000 + 100 * many }));
    expect([so(24) !== null, so(16)]).toEqual([true, null]);
    // every other gap half as long again
    const uneven = (place: number): boolean => place < 20 || within(place, 60, 80);
    expect(find((i) => (within(i, 5000, 15_000) && uneven((i - 5000) % 150) ? 6 : 0))).toBeNull();
  });

  it('is none of a supply that never swings so deep, nor of nothing', () => {
    expect([find(() => 12), find((i) => 12 - 5 * Number(i % 50 < 20)), find(() => 0), findChopping(new Float32Array(0), sampledAt(RATE_HZ, 2))]).toEqual([null, null, null, null]);
  });
});

describe('a mean over a period', () => {
  it('is that of so many readings about each, a fraction of the outermost included', () => {
    const values = Float32Array.of(0, 0, 0, 8, 0, 0, 0);
    expect([...averaged(values, 1)]).toEqual([0, 0, 0, 8, 0, 0, 0]);
    // two readings are one whole and a half on either side
    expect([...averaged(values, 2)]).toEqual([0, 0, 2, 4, 2, 0, 0]);
    // and as many at the ends, where they are those nearest to it: one reading alone would be as noisy as it was read
    expect([...averaged(values, 5)].map((value) => Number(value.toFixed(6)))).toEqual([1.6, 1.6, 1.6, 1.6, 1.6, 1.6, 1.6]);
    expect([...averaged(values, 100)].map((value) => Number(value.toFixed(4)))).toEqual(Array.from({ length: 7 }, () => 1.1429));
  });

  it('keeps a straight line, and the mean of whole periods', () => {
    for (const [i, value] of averaged(sized((k) => 0.5 * k, 60), 7.5).subarray(4, 56).entries()) expect(value).toBeCloseTo(0.5 * (i + 4), 4);
    for (const value of averaged(sized((k) => (k % 10 < 3 ? 10 : 0), 200), 10)) expect(value).toBeCloseTo(3, 4);
  });
});

describe('the share of the time that a chopped supply is on', () => {
  it('is told only where it falls at once', () => {
    const duty = (fallReadings: number) => dutyOf(sized((i) => (i % 50 < 20 ? 6 : Math.max(0, 6 - (6 / (fallReadings + 1)) * ((i % 50) - 19))), 5000), 0, 5000);
    expect([duty(0), duty(2), duty(3)]).toEqual([0.4, expect.closeTo(0.44, 2), null]);
    expect([dutyOf(new Float32Array(100).fill(6), 0, 100), dutyOf(sized((i) => (i % 2 === 0 ? 6 : 0), 5), 0, 5), dutyOf(sized((i) => (i % 2 === 0 ? 6 : 0), 5), 0, 4)]).toEqual([null, 0.6, null]);
  });
});

describe('what is on the wire', () => {
  const wire = (at: (i: number) => number, volts: ((i: number) => number) | null = null) => {
    const timeS = Float64Array.from({ length: 20_000 }, (_value, i) => i / RATE_HZ);
    const recorded = { timeS, currentA: sized(at), voltageV: volts === null ? null : sized(volts), gaps: [] };
    return { recorded, ...readWire(recorded, sampledAt(RATE_HZ, 20_000)) };
  };

  it('is the recording itself where nothing is to be taken out', () => {
    const { recorded, trace, spikes, chopping, coupling, choppedSizes } = wire((i) => (within(i, 5000, 15_000) ? 6 : 0));
    expect([trace.currentA, spikes.length, chopping, coupling, choppedSizes]).toEqual([recorded.currentA, 0, null, null, null]);
  });

  it('is the mean of a chopped current, with its volts, and as it was beside the chopped part', () => {
    const { trace, choppedSizes, recorded, chopping } = wire((i) => -pulses(50, 20)(i), pulses(50, 20));
    expect([trace.currentA[10_000], trace.voltageV?.[10_000]]).toEqual([expect.closeTo(-2.4, 5), expect.closeTo(2.4, 5)]);
    expect([...choppedSizes!.subarray(5000, 5100)]).toEqual([...recorded.currentA.subarray(5000, 5100)].map(Math.abs));
    expect(chopping?.part).toBeNull();
    const half = wire((i) => (within(i, 5000, 10_000) ? pulses(50, 20)(i) : within(i, 10_000, 15_000) ? 6 : 0));
    expect([half.trace.currentA[7500], half.trace.currentA[12_500], half.trace.currentA[10_060]]).toEqual([expect.closeTo(2.4, 5), 6, 6]);
  });

  it('is chopped by its volts where the current does not show it', () => {
    const { trace, choppedSizes, chopping } = wire((i) => (within(i, 5000, 15_000) ? 2.4 : 0), pulses(50, 20));
    expect(chopping?.frequencyHz).toBeCloseTo(200, 3);
    expect([trace.voltageV?.[10_000], choppedSizes?.[5000], choppedSizes?.[5030]]).toEqual([expect.closeTo(2.4, 5), 6, 0]);
  });
});
