import { describe, expect, it } from 'vitest';
import { recordingProblems } from '../../../../../src/core/analysis/motor/finding/plausibility.ts';
import { readingProblems } from '../../../../../src/core/analysis/motor/finding/reading-problems.ts';
import { withDetails, type PressContext } from '../../../../../src/core/analysis/motor/finding/press-details.ts';
import { viewPress } from '../../../../../src/core/analysis/motor/motion/press-view.ts';
import type { PressReading } from '../../../../../src/core/analysis/motor/codes.ts';
import type { Baseline } from '../../../../../src/core/analysis/motor/sensor/baseline.ts';
import type { Sampling } from '../../../../../src/core/analysis/motor/sensor/sampling.ts';
import type { Press } from '../../../../../src/core/analysis/motor/presses/presses.ts';
import { pressOf, readBy, sampledAt } from '../ripple/columns.ts';
import { press, stall } from './readings.ts';

interface Recorded {
  readonly count?: number;
  readonly rateHz?: number;
  readonly ampsAt?: (i: number) => number;
  readonly baseline?: Partial<Baseline>;
  readonly sampling?: Partial<Sampling>;
  readonly presses?: readonly Partial<Press>[];
  readonly aliasings?: readonly ('none' | 'open' | 'refused')[];
}
function problems({ count = 1000, rateHz = 1000, ampsAt = (i) => i % 3, baseline = {}, sampling = {}, presses = [], aliasings = [] }: Recorded = {}) {
  const currentA = Float32Array.from({ length: count }, (_value, i) => ampsAt(i));
  const trace = { timeS: Float64Array.from(currentA, (_value, i) => 5 + i / rateHz), currentA, voltageV: null, gaps: [] };
  return recordingProblems(trace, { ...readBy(currentA), ...baseline }, { presses: presses.map((some) => ({ ...pressOf(0, count), ...some })) } as never, { ...sampledAt(rateHz, count), ...sampling }, aliasings);
}
const codes = (recorded?: Recorded): string[] => problems(recorded).map(({ code }) => code);

describe('what is odd about a recording', () => {
  it('is nothing of a plain one', () => {
    expect(problems()).toEqual([]);
  });

  it('is that it holds nothing, or less than a switch-on takes: 0.15 s, ten readings', () => {
    expect(problems({ count: 0 })).toEqual([{ code: 'no-samples' }]);
    expect(problems({ count: 150 })).toEqual([{ code: 'too-short', samples: 150, durationS: expect.closeTo(0.149, 9) }]);
    expect([codes({ count: 152 }), codes({ count: 9, rateHz: 200, sampling: {} }), codes({ count: 9, rateHz: 10 }).includes('too-short'), codes({ count: 10, rateHz: 10 }).includes('too-short')]).toEqual([[], ['too-short'], true, false]);
  });

  it('is its gaps, the first by its time, and intervals of which more than a quarter are off', () => {
    expect(problems({ sampling: { gaps: [{ startS: 5.2, endS: 5.4 } as never, { startS: 5.6, endS: 5.7 } as never] } })).toEqual([{ code: 'gaps', count: 2, firstS: 5.2 }]);
    expect([codes({ sampling: { jitterShare: 0.24 } }), codes({ sampling: { jitterShare: 0.26 } })]).toEqual([[], ['uneven-rate']]);
  });

  it('is a logger that takes no reading within two time constants of a slow winding, 6 ms', () => {
    expect([codes({ rateHz: 166 }), codes({ rateHz: 167 })]).toEqual([['rate-too-low'], []]);
    expect(problems({ rateHz: 100 })).toEqual([{ code: 'rate-too-low', rateHz: expect.closeTo(100, 6) }]);
  });

  it('is a current that never changes', () => {
    expect(problems({ ampsAt: () => 2 })).toEqual([{ code: 'constant', levelA: 2 }]);
    expect(codes({ ampsAt: (i) => (i === 999 ? 2.1 : 2) })).toEqual([]);
  });

  it('is a ripple that may be folded: refused before open, with the rate that would show it', () => {
    // usual ripple up to 1000 Hz, 2.5 readings of each
    expect(problems({ aliasings: ['none', 'open', 'refused'] })).toEqual([{ code: 'aliasing', rateHz: expect.closeTo(1000, 6), refused: true, sureHz: 2500 }]);
    expect(problems({ aliasings: ['open'] })).toMatchObject([{ refused: false }]);
    expect(codes({ aliasings: ['none'] })).toEqual([]);
  });

  it('is a zero that is off, drifts, or was not seen', () => {
    // twice the 40 mA below which nothing is a press
    expect([codes({ baseline: { currentA: 0.079 } }), problems({ baseline: { currentA: -0.081 } })]).toEqual([[], [{ code: 'offset', levelA: -0.081 }]]);
    expect([codes({ baseline: { driftA: 0.079 } }), problems({ baseline: { driftA: 0.081 } })]).toEqual([[], [{ code: 'offset-drift', driftA: 0.081 }]]);
    expect(problems({ baseline: { found: false, currentA: 1, driftA: 1 } })).toEqual([{ code: 'offset', levelA: null }]);
  });

  it('is a peak of more than twice what a starter takes, either way: 300 A', () => {
    const peak = (amps: number) => codes({ baseline: { deviationA: Float32Array.of(0, amps, 1) } });
    expect([peak(299), peak(301), peak(-301)]).toEqual([[], ['implausible-unit'], ['implausible-unit']]);
  });

  it('is hum above what would be a press, and presses that the recording cuts', () => {
    const hum = (amplitudeA: number) => problems({ baseline: { hum: { frequencyHz: 50, amplitudeA } } as never });
    expect([hum(0.039), hum(0.041)]).toEqual([[], [{ code: 'hum', amplitudeA: 0.041, frequencyHz: 50 }]]);
    expect([codes({ presses: [{ startsMidway: true }, {}] }), codes({ presses: [{}, { endsMidway: true }] }), codes({ presses: [{ endsMidway: true }, { startsMidway: true }] })]).toEqual([['starts-midway'], ['ends-midway'], []]);
  });
});

describe('what a press shows by all of its figures', () => {
  const RATE_HZ = 1000;
  const COUNT = 3 * RATE_HZ;
  const contextOf = (ampsAt: (i: number) => number, change: Partial<PressContext> = {}, voltsAt?: (i: number) => number): PressContext => {
    const values = Float32Array.from({ length: COUNT }, (_value, i) => ampsAt(i));
    const trace = { timeS: Float64Array.from(values, (_value, i) => i / RATE_HZ), currentA: values, voltageV: voltsAt === undefined ? null : Float32Array.from(values, (_value, i) => voltsAt(i)), gaps: [] };
    return {
      recordedA: values, trace, baseline: { ...readBy(values), noiseA: 0 }, sampling: sampledAt(RATE_HZ, COUNT), options: {}, clamp: { followS: 0, atMostS: null, known: false }, place: null, clipA: null,
      wire: { trace, spikes: new Int32Array(0), chopping: null, coupling: null, choppedSizes: null }, ...change,
    };
  };
  const ripple = { frequency_hz: 100, low_hz: 99, high_hz: 101, revolutions_per_s: null, count: 270 };
  const travelled = (plain: PressReading, ampsAt: (i: number) => number): number => {
    const context = contextOf(ampsAt);
    const held = pressOf(0, COUNT);
    return withDetails({ ...plain, start_s: 0, end_s: 3, ripple }, viewPress(held, context.baseline, context.sampling), { stalls: [], running: [{ startIndex: 0, endIndex: COUNT }], inrushEnd: null, turned: true, certain: true }, context).travel!.ripples;
  };

  it('is its travel by the standing current of its own stall, which tells what it turned while no ripple was seen', () => {
    // 9 A of 14 A standing and 4 A running are half the speed: 0.3 s of it, and 2.7 s of the run
    const course = (i: number): number => (i < 300 ? 9 : 4);
    expect(travelled(press({ stalls: [stall(2.99, 2.99, 14)] }), course)).toBeCloseTo(100 * (2.7 + 0.15), 0);
    // 24 A standing: three quarters
    expect(travelled(press({ stalls: [stall(2.99, 2.99, 24)] }), course)).toBeCloseTo(100 * (2.7 + 0.225), 0);
    // one that is only known to be at least so much says nothing: half of the time that was not seen
    expect(travelled(press({ stalls: [stall(2.99, 2.99, 24, { at_least: true })] }), course)).toBeCloseTo(285, 6);
    expect(travelled(press({ run: { ...press().run!, at_least: true }, stalls: [stall(2.99, 2.99, 14)] }), course)).toBeCloseTo(285, 6);
  });

  it('is a slow clamp by the first press that it rounded off, not by a peak between readings or beyond the range', () => {
    const inrush = { peak_a: 10, at_s: 1, settle_s: 0.1, charge_c: 1, i2t_a2s: 1, low_peak_a: 10, high_peak_a: 13 };
    const slow = (...actuations: PressReading[]) => readingProblems(actuations, [], null, 0, contextOf(() => 4, { clamp: { followS: 0.01, atMostS: 0.01, known: true } })).filter(({ code }) => code === 'slow-sensor');
    // 1/(2 pi 10 ms)
    expect(slow(press(), press({ inrush }), press({ inrush: { ...inrush, low_peak_a: 11 } }))).toEqual([{ code: 'slow-sensor', followS: 0.01, bandwidthHz: expect.closeTo(15.9155, 3), known: true, lowPeakA: 10, highPeakA: 13 }]);
    expect([slow(press({ inrush: { ...inrush, narrow_peak: true } })), slow(press({ inrush: { ...inrush, peak_at_least: true } })), slow(press())]).toEqual([[], [], []]);
    expect(slow(press({ inrush: { ...inrush, high_peak_a: null } }))).toMatchObject([{ highPeakA: null }]);
  });

  it('is a clamp turned round only where every press says so, with a lead at the motor', () => {
    const reversed = (voltsAt: (i: number) => number, place: 'motor' | 'battery' = 'motor', signs: readonly (1 | -1)[] = [1, 1]) =>
      readingProblems([], signs.map((sign, p) => pressOf(1000 * p, 1000 * p + 900, sign)), place, 12, contextOf(() => 4, {}, voltsAt)).map(({ code }) => code);
    expect([reversed(() => -12), reversed((i) => (i < 1000 ? -12 : 12)), reversed(() => -2.9), reversed(() => -3.1), reversed(() => -12, 'battery'), reversed(() => -12, 'motor', [])]).toEqual([['reversed-clamp'], [], [], ['reversed-clamp'], [], []]);
    expect([reversed((i) => (i < 1000 ? -12 : 12), 'motor', [1, -1]), reversed((i) => (i < 1000 ? 12 : -12), 'motor', [1, -1])]).toEqual([['reversed-clamp'], []]);
  });
});
