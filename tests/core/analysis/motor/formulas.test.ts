import { describe, expect, it } from 'vitest';
import type { Run } from '../../../../src/core/analysis/results.ts';
import type { InrushReading } from '../../../../src/core/analysis/motor/codes.ts';
import { findBeat } from '../../../../src/core/analysis/motor/motion/beat.ts';
import { findPeak } from '../../../../src/core/analysis/motor/motion/peak.ts';
import type { PressView } from '../../../../src/core/analysis/motor/motion/press-view.ts';
import { batchError } from '../../../../src/core/analysis/motor/motion/run.ts';
import { clampSpeed, bandwidthOf } from '../../../../src/core/analysis/motor/presses/clamp-speed.ts';
import type { Press } from '../../../../src/core/analysis/motor/presses/presses.ts';
import { peakBand } from '../../../../src/core/analysis/motor/quantities/inrush/peak-band.ts';
import { findLimitCrossings } from '../../../../src/core/analysis/motor/quantities/limit-crossings.ts';
import { sensorParts, withSensor } from '../../../../src/core/analysis/motor/quantities/sensor-bounds.ts';
import { fitRobust } from '../../../../src/core/analysis/motor/quantities/supply/feed-line.ts';
import type { Baseline } from '../../../../src/core/analysis/motor/sensor/baseline.ts';
import { removeHum } from '../../../../src/core/analysis/motor/sensor/hum.ts';
import type { Sampling } from '../../../../src/core/analysis/motor/sensor/sampling.ts';
import { zeroUncertainty } from '../../../../src/core/analysis/motor/sensor/zero-uncertainty.ts';
import { clearOf } from '../../../../src/core/analysis/motor/signal/decision-levels.ts';
import { meanOf, smoothed, topOf } from '../../../../src/core/analysis/motor/signal/levels.ts';

/** Each formula of a motor test by itself, against figures worked out by hand, or by NumPy and SciPy. */

const sampled = (rateHz: number): Sampling => ({ rateHz, periodS: 1 / rateHz, jitterShare: 0, isSteady: true, holes: new Int32Array(0), gaps: [] });
const baseline = (some: Partial<Baseline>): Baseline => ({ found: true, nodeS: [], nodeA: [], noiseA: 0, currentA: 0, stepA: 0, hum: null, ...some }) as Baseline;
const pressed = (startIndex: number, endIndex: number, some: Partial<Press> = {}): Press => ({ startIndex, endIndex, sign: 1, startsMidway: false, endsMidway: false, cut: null, fromRest: true, dropouts: [], ...some });
const amps = (count: number, at: (i: number) => number): Float32Array => Float32Array.from({ length: count }, (_, i) => at(i));
const seconds = (count: number, rateHz: number): Float64Array => Float64Array.from({ length: count }, (_, i) => i / rateHz);

describe('levels', () => {
  it('are the highest and the mean along the current, and the mean of so many about each', () => {
    const values = Float32Array.of(9, -1, 4, -7, 2, 9);
    expect([topOf(values, 1, 5, 1), topOf(values, 1, 5, -1), topOf(values, 3, 4, 1)]).toEqual([4, 7, 0]);
    expect([meanOf(values, 1, 5), meanOf(values, 2, 2)]).toEqual([-0.5, Infinity]);
    // three about each, two at the ends
    expect([...smoothed(values, 1, 5, -1, 3)].map((value) => Number(value.toFixed(9)))).toEqual([-1.5, 1.333333333, 0.333333333, 2.5]);
    expect([...smoothed(values, 1, 5, 1, 2)]).toEqual([-1, 1.5, -1.5, -2.5]);
    expect(smoothed(values, 5, 2, 1, 3)).toHaveLength(0);
  });

  it('of so many readings of noise are all within this but once in a thousand times', () => {
    // Python 3.11, statistics.NormalDist().inv_cdf(1 - 0.001 / (2 * count))
    expect([clearOf(1_000_000), clearOf(1000), clearOf(), clearOf(0)].map((multiple) => Number(multiple.toFixed(6)))).toEqual([6.109410, 4.891638, 3.290527, 3.290527]);
  });
});

describe('a peak in noise', () => {
  it('is that of parabolas through its neighbours (Savitzky and Golay 1964)', () => {
    // a lopsided hump with noise of 0.6 A; numpy.polyfit of degree 2 over 12 readings on either side, those of the hump alone, is highest at reading 48
    const hump = (i: number): number => 10 - 4 * ((i - 50) / 20) ** 2 + 0.4 * ((i - 50) / 20) ** 3 + 0.6 * Math.sin(12.9898 * i);
    const peakOf = (sign: 1 | -1) => findPeak(pressed(10, 120, { sign }), baseline({ deviationA: amps(120, (i) => sign * hump(i)), noiseA: 0.5 }), sampled(1000));
    expect(peakOf(1)).toEqual({ index: 48, peakA: expect.closeTo(10.0805467, 5) });
    expect(peakOf(-1)).toEqual({ index: 48, peakA: expect.closeTo(10.0805467, 5) });
  });

  it('is the highest reading where the clamp is quiet, or the peak is narrow, within 0.15 s of the switch-on', () => {
    const spiked = (noiseA: number, more: (i: number) => number = () => 0) => findPeak(pressed(10, 400), baseline({ deviationA: amps(400, (i) => (i === 60 ? 10 : 3) + more(i)), noiseA }), sampled(1000));
    expect([spiked(0), spiked(0.5)]).toEqual([{ index: 60, peakA: 10 }, { index: 60, peakA: 10 }]);
    // 150 readings from the tenth on
    expect(spiked(0, (i) => (i === 159 ? 20 : 0))).toEqual({ index: 159, peakA: 23 });
    expect(spiked(0, (i) => (i === 160 ? 20 : 0))).toEqual({ index: 60, peakA: 10 });
  });

  it('narrow against the time between readings lies below its fall followed back', () => {
    // 15 A above the run, after three readings 15/e: a reading and a half before the first it was 15 e^(1/2) at most, 29.73 A
    const deviationA = amps(100, (i) => (i < 20 ? 0 : 5 + 15 * Math.exp(-(i - 20) / 3)));
    const view = (some: Partial<Press> = {}) => ({ press: pressed(20, 100, some), peak: { index: 20, peakA: 20 } }) as PressView;
    const bandOf = (inrush: Partial<InrushReading>, noiseA = 0, some: Partial<Press> = {}, runA: number | null = 5) => peakBand(inrush as InrushReading, runA, view(some), baseline({ deviationA, noiseA }), sampled(100));
    expect(bandOf({})).toEqual({ lowA: 20, highA: expect.closeTo(5 + 15 * Math.exp(0.5), 5) });
    // noise is put on either side, as far as the standing current would let it go
    expect(bandOf({ fit: { high_standstill_a: 25 } as never }, 0.5)).toEqual({ lowA: 19, highA: 25.5 });
    // a band of 3 % says nothing
    expect([bandOf({ fit: { high_standstill_a: 20.5 } as never }), bandOf({ fit: { high_standstill_a: 20.7 } as never })?.highA]).toEqual([null, 20.7]);
    // cut off, still turning, without a run, above the range, bounded already, or no higher than the run
    expect([bandOf({}, 0, { startsMidway: true }), bandOf({}, 0, { fromRest: false }), bandOf({}, 0, {}, null), bandOf({ peak_at_least: true }), bandOf({ low_peak_a: 19 }), bandOf({}, 0, {}, 20)]).toEqual([null, null, null, null, null, null]);
  });
});

describe('a limit that is passed', () => {
  /** Readings a millisecond apart; the limit is 5 A. */
  const crossings = (at: (i: number) => number, holdS = 0) => findLimitCrossings(seconds(400, 1000), baseline({ deviationA: amps(400, at) }), 5, holdS).map(({ start_s, end_s, peak_a }) => [start_s, end_s, peak_a]);
  it('is told with its stretch and its highest, either way', () => {
    expect(crossings((i) => (i >= 100 && i < 110 ? (i === 104 ? -9 : -6) : 5))).toEqual([[0.1, 0.11, 9]]);
    expect(crossings((i) => (i >= 390 ? 6 : 0))).toEqual([[0.39, 0.399, 6]]);
  });

  it('is one where it comes again within 40 ms', () => {
    const twice = (apart: number) => crossings((i) => (i === 100 || i === 101 + apart ? 6 : 0)).length;
    expect([twice(39), twice(41)]).toEqual([1, 2]);
  });

  it('counts only when it is held longer than was asked for', () => {
    const held = (samples: number) => crossings((i) => (i >= 100 && i < 100 + samples ? 6 : 0), 0.0505).length;
    expect([held(50), held(51)]).toEqual([0, 1]);
  });
});

describe('what the sensor adds to a level', () => {
  const sensor = { zeroUncertaintyA: 0.02, zeroTemperatureA: 0.03, gainUncertaintyPercent: 2, zeroDriftAPerHour: 0.36 };
  const parts = (some: Partial<Baseline>) => Object.fromEntries(sensorParts({ startS: 20, endS: 60, levelA: 5 }, sensor, baseline(some)).map(({ source, contribution }) => [source, Number(contribution.toFixed(9))]));

  it('is its scale, and its drift since it was last seen at rest; its zero only where it was never seen so', () => {
    // 2 % of 5 A; the middle, 40 s, lies 30 s from 10 s: 0.36 A/h x 30 s = 3 mA
    expect(parts({ nodeS: [10, 80], nodeA: [0, 0] })).toEqual({ gain: 0.1, 'zero-drift': 0.003 });
    expect(parts({ found: false })).toEqual({ gain: 0.1, zero: 0.02, temperature: 0.03 });
    expect(parts({})).toEqual({ gain: 0.1 });
  });

  it('widens its bounds in squares', () => {
    // 1.959964 x 0.1 A beside 0.1 A below and 0.2 A above
    const run = { start_s: 20, end_s: 60, median_a: 5, low_a: 4.9, high_a: 5.2 } as Run;
    expect(withSensor(run, { gainUncertaintyPercent: 2 }, baseline({}))).toMatchObject({ low_a: expect.closeTo(5 - 0.220035, 5), high_a: expect.closeTo(5 + 0.280026, 5) });
    expect(withSensor(null, sensor, baseline({}))).toBeNull();
  });

  it('counts how far the resting level may have moved under a press', () => {
    const moved = (startS: number, endS: number) => zeroUncertainty(baseline({ nodeS: [10, 20, 40], nodeA: [0, 0.1, 0.3] }), startS, endS);
    // half the difference of the levels around it
    expect([moved(12, 18), moved(10, 20), moved(12, 30)].map((a) => Number(a.toFixed(9)))).toEqual([0.05, 0.05, 0.15]);
    // carried on by 20 s: 0.3 A moved in 30 s, 0.2 A in 20 s; by 10 s half of that; before the first by 6 s 0.06 A
    expect([moved(50, 60), moved(45, 50), moved(4, 8)].map((a) => Number(a.toFixed(9)))).toEqual([0.2, 0.1, 0.06]);
    // from 20 s on nothing is seen until 50 s: 30 s on from 0.1 A
    expect(moved(25, 50)).toBeCloseTo(0.2, 9);
    expect([zeroUncertainty(baseline({}), 1, 2), zeroUncertainty(baseline({ nodeS: [1], nodeA: [3] }), 1, 2)]).toEqual([0, 0]);
  });
});

describe('the error of a median by batches', () => {
  /** Batches of eight readings that are all alike. */
  const batches = (...medians: number[]): number => batchError(Float64Array.from(medians.flatMap((value) => new Array<number>(8).fill(value))));
  it('is the scatter of their medians over the root of their number, those alike counted as fewer', () => {
    // 0 1 0 1 ...: squares 8/4, no likeness; Student 2.364624 for seven degrees x sqrt(2/7/8)
    expect(batches(0, 1, 0, 1, 0, 1, 0, 1)).toBeCloseTo(2.364624 * Math.sqrt(2 / 7 / 8), 6);
    // 0 0 1 1 ...: likeness 0.25/2 + 1/8 = 1/4, so 8 x 0.75/1.25 = 4.8 of them; Student 2.776445 for four degrees
    expect(batches(0, 0, 1, 1, 0, 0, 1, 1)).toBeCloseTo(2.776445 * Math.sqrt(2 / 7 / 4.8), 6);
    // a ramp: likeness held to a half, 8/3 of them; Student 4.302653 for two degrees, squares 42
    expect(batches(0, 1, 2, 3, 4, 5, 6, 7)).toBeCloseTo(4.302653 * Math.sqrt(42 / 7 / (8 / 3)), 5);
    expect(batches(3, 3, 3, 3)).toBe(0);
  });
});

describe('the line of volts over amps', () => {
  const cells = (count: number, ampsAt: (k: number) => number, offV: (k: number) => number = () => 0, offA: (k: number) => number = () => 0) => ({
    currentA: Float64Array.from({ length: count }, (_, k) => ampsAt(k) + offA(k)),
    voltageV: Float64Array.from({ length: count }, (_, k) => 12 - 0.1 * ampsAt(k) + offV(k)),
  });
  const switchedOn = (k: number): number => (k < 8 ? 20 - 2 * k : 4);
  /** V; noise that hardly is any */
  const faint = (k: number): number => 1e-7 * Math.sin(1.7 * k * k);

  it('is exact where the readings nearly are', () => {
    const line = fitRobust(cells(40, switchedOn, faint))!;
    expect([line.slope, line.intercept, line.error, line.scatterV]).toEqual([expect.closeTo(-0.1, 6), expect.closeTo(12, 6), expect.closeTo(0, 6), expect.closeTo(0, 6)]);
  });

  it('has both axes uncertain, each by its own noise (Deming 1943)', () => {
    // scipy.odr with the noise of second differences gives -0.0992911 and 11.9955769; least squares in volts would give -0.0992746
    const line = fitRobust(cells(40, switchedOn, (k) => 0.01 * Math.sin(1.7 * k * k + 1), (k) => 0.1 * Math.sin(2.3 * k * k)))!;
    expect([line.slope, line.intercept]).toEqual([expect.closeTo(-0.0992911, 6), expect.closeTo(11.9955769, 5)]);
  });

  it('leaves out cells far off it, and needs five cells, and a second level of half as many', () => {
    const spoilt = fitRobust(cells(40, switchedOn, (k) => (k === 20 ? -3 : faint(k))))!;
    expect([spoilt.slope, spoilt.intercept]).toEqual([expect.closeTo(-0.1, 5), expect.closeTo(12, 5)]);
    const few = (count: number, away: number) => fitRobust(cells(count, (k) => (k < away ? 10 : 4), faint)) !== null;
    expect([few(12, 3), few(4, 2), few(40, 3), few(40, 2)]).toEqual([true, false, true, false]);
    // a tenth of the usual current is a step, less is not
    const step = (sizeA: number) => fitRobust(cells(40, (k) => (k < 4 ? 4 + sizeA : 4), faint)) !== null;
    expect([step(0.41), step(0.39)]).toEqual([true, false]);
    expect(fitRobust(cells(40, () => 4))).toBeNull();
  });
});

describe('mains hum', () => {
  const RATE_HZ = 1000;
  const timeS = seconds(6000, RATE_HZ);
  const hummed = (hz: number, amplitudeA: number, some: { noiseA?: number; idle?: number[]; rateHz?: number; count?: number } = {}) => {
    const deviationA = amps(6000, (i) => amplitudeA * Math.cos(2 * Math.PI * hz * timeS[i]! + 0.7));
    const hum = removeHum(timeS, deviationA, Int32Array.from(some.idle ?? [0, 5000]), sampled(some.rateHz ?? RATE_HZ), some.noiseA ?? 0.01);
    return { hum, leftA: deviationA.reduce((most, value) => Math.max(most, Math.abs(value)), 0) };
  };

  it('is found by its frequency and size in idle time, and taken out of all', () => {
    // beside a quiet clamp as well: of 60 Hz a hundredth is read at 50 Hz too
    for (const [hz, noiseA] of [50, 49.83, 50.2, 60, 59.9, 60.2].flatMap((hz) => [0.1, 0.01, 0.001].map((noiseA) => [hz, noiseA] as const))) {
      const { hum, leftA } = hummed(hz, 0.3, { noiseA });
      expect(hum!.frequencyHz, String(hz)).toBeCloseTo(hz, 3);
      expect(hum!.amplitudeA, String(hz)).toBeCloseTo(0.3, 2);
      expect(leftA, String(hz)).toBeLessThan(0.01);
    }
  });

  it('is none at another frequency, far below the noise, with half a second of idle time or a slow logger', () => {
    expect([hummed(55, 0.3).hum, hummed(50, 0.3, { noiseA: 1.3 }).hum, hummed(50, 0.3, { idle: [0, 499] }).hum, hummed(50, 0.3, { rateHz: 120 }).hum]).toEqual([null, null, null, null]);
    expect([hummed(50, 0.3, { noiseA: 1.19 }).hum, hummed(50, 0.3, { idle: [0, 500] }).hum, hummed(50, 0.3, { idle: [0, 250, 300, 600] }).hum].map((hum) => hum !== null)).toEqual([true, true, true]);
    expect(hummed(50, 0.3, { idle: [0, 199, 300, 499, 700, 899, 1000, 1199] }).hum).toBeNull();
    // a clamp that shows nothing at all hums at no frequency
    expect(hummed(50, 0, { noiseA: 0 }).hum).toBeNull();
    // what was not found stays where it was
    expect(hummed(55, 0.3).leftA).toBeCloseTo(0.3, 2);
  });
});

describe('a beat', () => {
  /** Ten seconds of cells of 10 ms at 5 A with a swing of this size, the whole of it a run. */
  const beatOf = (levelAt: (s: number) => number, cells = 1000) => {
    const envelope = { startIndex: 0, step: 10, stepS: 0.01, cells, levelA: Float64Array.from({ length: cells }, (_, k) => levelAt(k / 100)), rippleVarianceA2: new Float64Array(cells) };
    return findBeat({ envelope } as unknown as PressView, [{ startIndex: 0, endIndex: 200 }, { startIndex: 0, endIndex: 10 * cells }]);
  };
  const swing = (periodS: number, sizeA: number) => (s: number) => 5 + sizeA * Math.sin((2 * Math.PI * s) / periodS);

  it('has its period, and its depth from top to bottom', () => {
    const beat = beatOf(swing(0.7, 0.5))!;
    expect(beat.period_s).toBeCloseTo(0.7, 3);
    // bins of a twenty-fourth of the period take up to (1 - sinc) of the top: 0.3 %
    expect(beat.depth_a).toBeCloseTo(1, 1);
    expect(beat.low_a).toBeLessThanOrEqual(beat.depth_a);
    expect(beat.depth_a - beat.low_a).toBeCloseTo(beat.high_a - beat.depth_a, 9);
    expect(beat.depth_a - beat.low_a).toBeLessThan(0.05);
    // a winding that warms changes neither
    const warm = beatOf((s) => swing(0.7, 0.5)(s) - 0.1 * s)!;
    expect([warm.period_s, warm.depth_a]).toEqual([expect.closeTo(0.7, 2), expect.closeTo(1, 1)]);
  });

  it('is none below a tenth of the level, faster than eight turns a second, or seen fewer than four times', () => {
    expect([beatOf(swing(0.7, 0.24)), beatOf(swing(0.7, 0.27))].map((beat) => beat !== null)).toEqual([false, true]);
    expect([beatOf(swing(0.11, 0.5)), beatOf(swing(0.15, 0.5))].map((beat) => beat !== null)).toEqual([false, true]);
    expect([beatOf(swing(3.2, 0.5)), beatOf(swing(2.2, 0.5))].map((beat) => beat !== null)).toEqual([false, true]);
    expect(beatOf(() => 5)).toBeNull();
    expect(findBeat({ envelope: { cells: 0 } } as unknown as PressView, [])).toBeNull();
  });
});

describe('how fast the clamp follows', () => {
  const speed = (tauS: number, some: Partial<Press> = {}, beyondA = 0, noiseA = 0.01) => {
    // 5 A until the switch opens at reading 500, a reading a millisecond
    const deviationA = amps(1500, (i) => (i < 100 ? 0 : i < 500 ? 5 : (5 + beyondA) * Math.exp(-(i - 499) / 1000 / tauS) - (i < 600 ? beyondA : 0)));
    return clampSpeed([pressed(100, 500, some)], baseline({ deviationA, noiseA }), sampled(1000), {} as never);
  };

  it('is the time constant of the fall after the switch-off', () => {
    expect(speed(0.01)).toEqual({ followS: expect.closeTo(0.01, 4), atMostS: expect.closeTo(0.01, 4), known: false });
    // a reversed current falls as fast
    expect(speed(0.02).followS).toBeCloseTo(0.02, 4);
  });

  it('is within a sample where the fall is, and not known where it is cut off, brief or hidden', () => {
    expect(speed(0.0001)).toMatchObject({ followS: 0, atMostS: 0.0005 });
    const unknown = { followS: 0, atMostS: null, known: false };
    expect([speed(0.01, { endsMidway: true }), speed(0.01, { startIndex: 493 }), speed(0.01, {}, 0, 0.26)]).toEqual([unknown, unknown, unknown]);
    expect([speed(0.01, { startIndex: 492 }).atMostS, speed(0.01, {}, 0, 0.24).atMostS].every((known) => known !== null)).toBe(true);
  });

  it('heads past zero where a motor is braked, and passes its levels sooner', () => {
    // from 0.8 to 0.15 of 5 A on the way to -1 A: ln(1/0.35) = 1.05 time constants
    expect(speed(0.02, {}, 1).followS).toBeCloseTo(0.02, 2);
  });

  it('is that of its bandwidth where that is known', () => {
    const known = clampSpeed([], baseline({}), sampled(1000), { sensorBandwidthHz: 100 } as never);
    // 1/(2 pi 100 Hz)
    expect(known).toEqual({ followS: expect.closeTo(0.00159155, 8), atMostS: expect.closeTo(0.00159155, 8), known: true });
    expect([bandwidthOf(known), bandwidthOf({ followS: 0, atMostS: null, known: false })]).toEqual([expect.closeTo(100, 9), Infinity]);
  });
});
