import { describe, expect, it } from 'vitest';
import { localVariance, longRunFactor, memoryFactor } from '../../../../src/core/analysis/night/levels/noise.ts';
import { goesOn } from '../../../../src/core/analysis/night/levels/pattern.ts';
import { changeInsideBinS, edgeBlocks, meanErrorA } from '../../../../src/core/analysis/night/levels/segments.ts';
import { joinedRests } from '../../../../src/core/analysis/night/rest/joined.ts';
import { findSettling, settledS } from '../../../../src/core/analysis/night/rest/settling.ts';
import type { Bins, Excursion, Readings, RestStretch, Segment } from '../../../../src/core/analysis/night/types.ts';
import { blocksOf, blocksTouched, findFlashes, isFlashing, isOneOfMany } from '../../../../src/core/analysis/night/wake-ups/flashes.ts';
import { findPulses } from '../../../../src/core/analysis/night/wake-ups/pulses.ts';
import { swayA } from '../../../../src/core/analysis/night/wake-ups/sways.ts';
import { seededRandom } from '../../../../src/core/random.ts';

/** What a recording looks like where it is not level: noise with a memory, creep, pulses, flashes and sways, each made by its own formula. */

/** Normal values (Box and Muller 1958) of which each keeps `phi` of the one before. */
function autoregressive(count: number, phi: number, sigma: number, seed = 7): Float64Array {
  const unit = seededRandom(seed);
  const normal = (): number => Math.sqrt(-2 * Math.log(1 - unit())) * Math.cos(2 * Math.PI * unit());
  let value = 0;
  return Float64Array.from({ length: count }, () => (value = phi * value + sigma * normal()));
}

describe('the noise of a recording', () => {
  const variances = (values: Float64Array, floorA2 = 0) => localVariance(values, floorA2);
  const meanOf = (values: Float64Array): number => values.reduce((sum, value) => sum + value, 0) / values.length;

  it('has the variance of its values, whatever their level and rare steps among them', () => {
    const noise = autoregressive(20_000, 0, 0.002);
    // the square of an estimate from 63 differences is a tenth high in the mean
    expect(Math.abs(meanOf(variances(noise)) / 4e-6 - 1)).toBeLessThan(0.12);
    expect(Math.abs(meanOf(variances(noise.map((value, i) => value + (i % 1000 < 500 ? 0.05 : 0.02)))) / 4e-6 - 1)).toBeLessThan(0.12);
    // twice the noise is four times the variance
    expect(meanOf(variances(noise.map((value) => 2 * value))) / meanOf(variances(noise))).toBeCloseTo(4, 9);
  });

  it('is no less than rounding leaves, and more by 0.6 % of what lies above 80 mA', () => {
    const still = (levelA: number): number => variances(new Float64Array(500).fill(levelA), 1e-8)[250]!;
    expect([still(0.05), still(0.08), still(-0.05)]).toEqual([1e-8, 1e-8, 1e-8]);
    // 0.006 x (5 - 0.08) A = 29.52 mA
    expect([still(5), still(-5)]).toEqual([expect.closeTo(1e-8 + 0.02952 ** 2, 12), expect.closeTo(1e-8 + 0.02952 ** 2, 12)]);
    expect(variances(Float64Array.of(0.05), 1e-8)).toEqual(Float64Array.of(1e-8));
  });

  it('without a memory is its own in the long run; a first-order one multiplies it by (1 + phi)/(1 - phi)^2', () => {
    const factors = (phi: number): number[] => {
      const values = autoregressive(60_000, phi, 0.002);
      // by neighbours, half their mean squared difference: sigma squared over 1 + phi; in the long run sigma squared over (1 - phi) squared
      const variance = new Float64Array(values.length).fill(4e-6 / (1 + phi));
      return [memoryFactor(values, variance), longRunFactor(values, variance, [0, values.length], 64)];
    };
    const [ofNone, runOfNone] = factors(0);
    expect([ofNone, runOfNone!]).toEqual([1, expect.closeTo(1, 0)]);
    // 1.6/0.16 = 10
    const [memory, run] = factors(0.6);
    // its estimate rests on the difference of two nearly alike
    expect(Math.abs(memory! / 10 - 1)).toBeLessThan(0.3);
    expect(Math.abs(run! / 10 - 1)).toBeLessThan(0.25);
    // too few values tell none
    expect(memoryFactor(autoregressive(127, 0.9, 1), new Float64Array(127).fill(1))).toBe(1);
  });
});

describe('events', () => {
  it('go on where at least 24 fill more than twelve of 24 equal parts', () => {
    const at = (count: number, parts: number): number[] => Array.from({ length: count }, (_, i) => 1000 + (i % parts) * 10 + 5);
    expect([goesOn(at(24, 13), 1000, 1240), goesOn(at(23, 13), 1000, 1240), goesOn(at(24, 12), 1000, 1240), goesOn(at(200, 12), 1000, 1240)]).toEqual([true, false, false, false]);
  });

  it('short ones that go on are flashes, known by their height', () => {
    const runs = (count: number, lastsS: number): Excursion[] => Array.from({ length: count }, (_, i) => ({ startS: 10 * i, endS: 10 * i + lastsS, restA: 0 }));
    const flashes = findFlashes(runs(40, 1), 0, 400, ({ startS }) => 0.1 + startS / 1e6);
    expect(flashes.peakASorted).toHaveLength(40);
    expect([findFlashes(runs(40, 1.5), 0, 400, () => 1).peakASorted.length, findFlashes(runs(23, 1), 0, 230, () => 1).peakASorted.length]).toEqual([0, 0]);
    // within a fifth
    expect([0.1, 0.119, 0.13, 0.085, 0.08].map((peakA) => isFlashing(flashes, peakA))).toEqual([true, true, false, true, false]);
    expect([isOneOfMany(flashes, runs(1, 1.4)[0]!), isOneOfMany(flashes, runs(1, 1.5)[0]!), isOneOfMany({ peakASorted: [] }, runs(1, 1)[0]!)]).toEqual([true, false, false]);
  });

  it('fill these blocks: all that hold some of them, or the nearest edges', () => {
    const readings = { blocks: { startS: Float64Array.of(0, 1, 2, 3, 4), widthS: 1, length: 5 } } as unknown as Readings;
    const run = (startS: number, endS: number): Excursion => ({ startS, endS, restA: 0 });
    expect([blocksTouched(readings, run(1.4, 2.6)), blocksTouched(readings, run(1, 3)), blocksTouched(readings, run(-5, 0))]).toEqual([{ startBlock: 1, endBlock: 3 }, { startBlock: 1, endBlock: 3 }, { startBlock: 0, endBlock: 0 }]);
    expect([blocksOf(readings, run(1.4, 2.6)), blocksOf(readings, run(1.6, 2.4)), blocksOf(readings, run(1.6, 1.7))]).toEqual([{ startBlock: 1, endBlock: 3 }, { startBlock: 2, endBlock: 2 }, { startBlock: 2, endBlock: 2 }]);
  });

  it('to both sides are a sway, as far as twice the lowest', () => {
    const rest = (startS: number): Segment => ({ startS, endS: startS + 60, meanA: 0.05, startBlock: 0, endBlock: 60, varianceA2: 1e-8 });
    const swaying = (...apartA: number[]): Readings => {
      const segments = [rest(0)];
      for (const one of apartA) {
        const { endS } = segments.at(-1)!;
        segments.push({ ...rest(endS), endS: endS + 5, meanA: 0.05 + one, endBlock: 5 }, rest(endS + 5));
      }
      return { segments } as unknown as Readings;
    };
    expect(swayA(swaying(0.01, -0.01, 0.012, -0.02, 0.01, -0.01), 0, [])).toBeCloseTo(0.04, 9);
    // three of each, and four times as many of one at most
    expect(swayA(swaying(0.01, -0.01, 0.012, -0.02), 0, [])).toBeNull();
    expect(swayA(swaying(...new Array<number>(3).fill(-0.01), ...new Array<number>(12).fill(0.01)), 0, [])).toBeCloseTo(0.02, 9);
    expect(swayA(swaying(...new Array<number>(3).fill(-0.01), ...new Array<number>(13).fill(0.01)), 0, [])).toBeNull();
    // what is higher is something else, what is less than 3 mA nothing, and what lies by a mark of a fuse is the hand's
    expect(swayA(swaying(0.021, -0.01, 0.021, -0.01, 0.021, -0.01), 0, [])).toBeNull();
    expect(swayA(swaying(0.0029, -0.0029, 0.0029, -0.0029, 0.0029, -0.0029), 0, [])).toBeNull();
    const marked = [60, 125].map((atS) => ({ atS, markS: atS }) as never);
    expect([swayA(swaying(0.01, -0.01, 0.01, -0.01, 0.01, -0.01), 0, marked), swayA(swaying(0.01, -0.01, 0.01, -0.01, 0.01, -0.01), 130, [])]).toEqual([null, null]);
  });
});

describe('levels', () => {
  it('are left out at their ends where they hold more than four blocks, and are good to their scatter over the root of these', () => {
    expect([edgeBlocks(4), edgeBlocks(5)]).toEqual([0, 1]);
    const segment = { startBlock: 10, endBlock: 35, varianceA2: 4e-6 } as Segment;
    expect([meanErrorA(segment), meanErrorA(segment, 4), meanErrorA(segment, 0)]).toEqual([expect.closeTo(0.0004, 12), expect.closeTo(0.001, 12), expect.closeTo(0.002, 12)]);
  });

  it('change inside a bin by the share of either level in it', () => {
    // a bin of half a second from 5 s on with a quarter of 4 A and three of 0 A, behind one that is all at 4 A
    const bins = (sums: number[], counts: number[], keys = [9, 10, 11]): Bins => ({ length: 3, widthS: 0.5, key: Float64Array.from(keys), sumA: Float64Array.from(sums), count: Float64Array.from(counts) }) as unknown as Bins;
    expect(changeInsideBinS(bins([16, 4, 0], [4, 4, 4]), 1, 4, 0)).toBeCloseTo(5.125, 9);
    // half of the bin before is at the new level already
    expect(changeInsideBinS(bins([8, 0, 0], [4, 4, 4]), 1, 4, 0)).toBeCloseTo(4.75, 9);
    // single readings, the first bin and one behind a hole tell no more than their edge
    expect([changeInsideBinS(bins([4, 1, 0], [1, 1, 1]), 1, 4, 0), changeInsideBinS(bins([4, 0, 0], [4, 4, 4]), 0, 4, 0), changeInsideBinS(bins([16, 4, 0], [4, 4, 4], [8, 10, 11]), 1, 4, 0)]).toEqual([5, 4.5, 5]);
    // behind the last is its end
    expect(changeInsideBinS(bins([16, 16, 16], [4, 4, 4]), 3, 4, 0)).toBe(6);
  });

  it('of rest that follow each other are one', () => {
    const rests = (...ranges: [number, number][]) => ranges.map(([startBlock, endBlock]) => ({ startBlock, endBlock }) as RestStretch);
    expect(joinedRests(rests([10, 20], [0, 10], [21, 30], [22, 25]))).toEqual([{ startBlock: 0, endBlock: 20 }, { startBlock: 21, endBlock: 30 }]);
  });
});

describe('a creep at rest', () => {
  const creep = (levelAt: (s: number) => number, count = 2000) => {
    const startS = Float64Array.from({ length: count }, (_, i) => 100 + i);
    const readings = { blocks: { length: count, widthS: 1, startS, meanA: Float64Array.from(startS, (s) => levelAt(s + 0.5)) } } as unknown as Readings;
    return findSettling(readings, [{ startBlock: 0, endBlock: count } as RestStretch]);
  };
  const dying = (amplitudeA: number, tauS: number) => (s: number) => 0.05 + amplitudeA * Math.exp(-(s - 100) / tauS);

  it('has floor, height and time constant of an exponential', () => {
    for (const amplitudeA of [0.02, -0.02]) {
      const settling = creep(dying(amplitudeA, 200))!;
      expect(settling.floorA).toBeCloseTo(0.05, 3);
      expect(settling.amplitudeA / amplitudeA).toBeCloseTo(1, 1);
      // tried in steps of 16 %
      expect(Math.abs(settling.tauS / 200 - 1)).toBeLessThan(0.09);
      expect(settling.fromS).toBeCloseTo(100, -1);
    }
  });

  it('is none where the level holds, drifts evenly or swings, moves by less than 3 mA, or is not seen to its end', () => {
    expect([creep(() => 0.05), creep((s) => 0.05 - s * 1e-5), creep((s) => 0.05 + 0.02 * Math.sin(s / 150)), creep(dying(0.0028, 200)), creep(dying(0.02, 200), 23)]).toEqual([null, null, null, null, null]);
    expect(creep(dying(0.0035, 200))).not.toBeNull();
    expect(creep(dying(0.02, 4000))).toBeNull();
  });

  it('has settled when so much is left', () => {
    const settling = { fromS: 100, floorA: 0, amplitudeA: -0.02, tauS: 200 };
    // 200 s x ln 10, and at once where there was no more
    expect([settledS(settling, 0.002), settledS(settling, 0.03)]).toEqual([expect.closeTo(100 + 200 * Math.LN10, 9), 100]);
  });
});

describe('the pulses of a busy feed', () => {
  /** Bins of an eighth of a second from 100 s on, ten readings in each. */
  const binned = (levelAt: (k: number) => number, count = 800): Bins => ({
    length: count, widthS: 0.125, key: Float64Array.from({ length: count }, (_, k) => 800 + k), count: new Float64Array(count).fill(10),
    sumA: Float64Array.from({ length: count }, (_, k) => 10 * levelAt(k)), minA: new Float32Array(count), maxA: new Float32Array(count),
  });

  it('have floor, height, share of the time, mean and period', () => {
    // two of eight bins at 0.15 A: 0.05 + 0.1/4 A in the mean
    expect(findPulses(binned((k) => (k % 8 < 2 ? 0.15 : 0.05)), 100, 200)).toEqual({ floor_a: 0.05, pulse_a: expect.closeTo(0.1, 9), duty: 0.25, mean_a: expect.closeTo(0.075, 9), period_s: 1 });
    // in a part of the time asked for
    expect(findPulses(binned((k) => (k % 8 < 2 ? 0.15 : 0.05)), 150, 200)?.duty).toBeCloseTo(0.25, 9);
  });

  it('are none where they are lower than 10 mA, few, rarer than twice a minute, or seen too briefly', () => {
    const pulses = (heightA: number, every: number, count = 800, endS = 1e9) => findPulses(binned((k) => 0.05 + (k % every < 1 ? heightA : 0), count), 100, endS) !== null;
    expect([pulses(0.0095, 8), pulses(0.0105, 8)]).toEqual([false, true]);
    expect([pulses(0.1, 35), pulses(0.1, 33)]).toEqual([false, true]);
    expect([pulses(0.1, 248, 8000), pulses(0.1, 232, 8000)]).toEqual([false, true]);
    // 64 bins
    expect([pulses(0.1, 2, 800, 107.8), pulses(0.1, 2, 800, 107.9)]).toEqual([false, true]);
    expect(findPulses(binned(() => 0.05), 100, 200)).toBeNull();
  });
});
