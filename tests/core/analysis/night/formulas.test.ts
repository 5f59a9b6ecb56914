import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { DrainOptions } from '../../../../src/core/analysis/options.ts';
import type { Pull, WakeUp } from '../../../../src/core/analysis/results.ts';
import { batteryOutlook } from '../../../../src/core/analysis/night/outlook/outlook.ts';
import { agreed, type Change } from '../../../../src/core/analysis/night/pulls/fuse-change.ts';
import { ownChangeA } from '../../../../src/core/analysis/night/pulls/own-change.ts';
import { sharedDrain, unexplainedCurrent } from '../../../../src/core/analysis/night/pulls/shares.ts';
import { averageBetween, medianBetween } from '../../../../src/core/analysis/night/rest/average.ts';
import { sensorHalfWidthA, stepUncertainty } from '../../../../src/core/analysis/night/rest/level-estimate.ts';
import type { Readings } from '../../../../src/core/analysis/night/types.ts';
import { isOnBeat, wakePeriod } from '../../../../src/core/analysis/night/wake-ups/wake-period.ts';

/** Each formula of the night by itself, against figures worked out by hand. */

const options = (some: Partial<DrainOptions>): DrainOptions => some as DrainOptions;

describe('what a drain means for the battery', () => {
  it('is its capacity over the current', () => {
    // 60 Ah / 0.05 A = 1200 h = 50 days; 120 min of reserve at 25 A are 50 Ah
    expect(batteryOutlook(options({ batteryAh: 60 }), 0.05)).toMatchObject({ capacity_ah: 60, capacity_basis: 'stated', days_to_half: 25, days_to_empty: 50, soc: null, days_from_now: null });
    expect(batteryOutlook(options({ reserveCapacityMin: 120 }), 0.05)).toMatchObject({ capacity_ah: 50, capacity_basis: 'reserve', days_to_half: expect.closeTo(20.8333, 4) });
    expect(batteryOutlook(options({ reserveCapacityMin: 120, batteryAh: 60 }), 0.05)).toMatchObject({ capacity_ah: 60, capacity_basis: 'stated' });
    expect([batteryOutlook(options({}), 0.05), batteryOutlook(options({ batteryAh: 0 }), 0.05)]).toEqual([null, null]);
    // without a drain: ten years, not for ever
    expect(batteryOutlook(options({ batteryAh: 60 }), 0)).toMatchObject({ days_to_half: 3650, days_to_empty: 3650 });
  });

  it('is less from a charge that the rested volts show, down to half', () => {
    // 12.50 V +- 0.02: the three tables give 78.57 to 90 %; above half lie 28.57 and 40 % of 60 Ah
    const charged = batteryOutlook(options({ batteryAh: 60, restedV: 12.5 }), 0.05)!;
    expect(charged.soc).toEqual({ low_percent: expect.closeTo(78.5714, 3), high_percent: expect.closeTo(90, 9) });
    expect(charged.days_from_now).toEqual({ low: expect.closeTo(14.2857, 3), high: expect.closeTo(20, 9) });
    // 12.24 V: 36.67 to 61.52 %, of which the lower is below half already
    expect(batteryOutlook(options({ batteryAh: 60, restedV: 12.24 }), 0.05)!.days_from_now).toEqual({ low: 0, high: expect.closeTo(5.7576, 3) });
  });

  it('comes with its self-discharge, which doubles with ten degrees', () => {
    const selfAt = (temperatureC?: number): unknown => batteryOutlook(options({ batteryAh: 60, ...(temperatureC === undefined ? {} : { temperatureC }) }), 0.05)!.self_discharge_percent_per_month;
    expect([selfAt(), selfAt(25), selfAt(35), selfAt(15)]).toEqual([{ low: 3, high: 20 }, { low: 3, high: 20 }, { low: 6, high: 40 }, { low: 1.5, high: 10 }]);
  });
});

const pull = (label: string, changeA: number, carries: boolean | null = true, lowA = changeA): Pull => ({ label, change_a: changeA, low_a: lowA, carries }) as Pull;

describe('the current of a drain that no fuse explains', () => {
  it('is what is left when the part of each fuse is taken away, of one pulled twice the mean', () => {
    expect(unexplainedCurrent(0.1, [pull('F1', -0.04), pull('F1', -0.06), pull('F2', -0.02), pull('F3', -0.001, false)])).toBeCloseTo(0.03, 12);
    expect([unexplainedCurrent(null, [pull('F1', -0.04)]), unexplainedCurrent(0.1, [])]).toEqual([null, null]);
  });

  it('is not known where a fuse that was not measured may carry more than half of it', () => {
    expect(unexplainedCurrent(0.1, [pull('F1', -0.02), pull('F2', 0, null, -0.06)])).toBeNull();
    expect(unexplainedCurrent(0.1, [pull('F1', -0.02), pull('F2', 0, null, -0.05)])).toBeCloseTo(0.08, 12);
    // measured at another pull
    expect(unexplainedCurrent(0.1, [pull('F2', -0.02), pull('F2', 0, null, -0.06)])).toBeCloseTo(0.08, 12);
  });
});

describe('a drain that fuses share', () => {
  const shared = (levelA: number, ...partsA: number[]): string => sharedDrain(partsA.map((partA, i) => pull(`F${i + 1}`, -partA)), levelA, 0.05).join(' ');
  it('is named by those that carry half as much as the largest, largest first', () => {
    expect(shared(0.2, 0.06, 0.08, 0.039)).toBe('F2 F1');
    expect(shared(0.2, 0.06, 0.08, 0.04)).toBe('F2 F1 F3');
    expect(sharedDrain([pull('F1', -0.06), pull('F2', -0.08), pull('F3', -0.06, false)], 0.2, 0.05)).toEqual(['F2', 'F1']);
  });

  it('is none below the limit, with one fuse, or where the largest alone brings it under the limit beside a normal draw', () => {
    expect([shared(0.05, 0.03, 0.02), shared(0.2, 0.15), sharedDrain([pull('F1', -0.1), pull('F2', -0.1)], null, 0.05).join()]).toEqual(['', '', '']);
    // 0.1 - 0.04 A are still too much; 0.1 - 0.05 A are not, and 25 mA are half the limit
    expect([shared(0.1, 0.04, 0.024), shared(0.1, 0.05, 0.024), shared(0.1, 0.05, 0.025)]).toEqual(['F1 F2', '', 'F1 F2']);
  });

  it('is none where all of them together are less than half of what is too much', () => {
    // 0.3 A: 0.25 A too much
    expect([shared(0.3, 0.0625, 0.0625), shared(0.3, 0.062, 0.062)]).toEqual(['F1 F2', '']);
  });
});

describe('what a pull and its refit say together', () => {
  const change = (changeA: number, errorA: number, some: Partial<Change> = {}): Change => ({ changeA, errorA, inErrorA: errorA, outErrorA: 0, outS: 1, roundingA: 0, clear: true, ...some });

  it('is their weighted mean (JCGM 100:2008, H.5: weights by the reciprocal variances)', () => {
    // variances 1 and 4: four fifths of the one, a fifth of the other; error 1/sqrt(1 + 1/4) mA
    const both = agreed(change(-0.05, 0.001), change(0.053, 0.002, { outS: 2 }));
    expect([both.changeA, both.errorA]).toEqual([expect.closeTo(-0.0506, 9), expect.closeTo(0.000894427, 9)]);
  });

  it('is their plain mean where neither scatters, as in a file that holds one value over and over', () => {
    // no two readings are known better than to a hundredth of a milliampere, two of them by the root of two
    const both = agreed(change(-0.05, 0), change(0.052, 0));
    expect([both.changeA, both.errorA]).toEqual([expect.closeTo(-0.051, 9), expect.closeTo(1e-5 / Math.SQRT2, 12)]);
  });

  it('keeps the error of a level that both share', () => {
    // inside 0.6 and 1.2 mA: weight 0.8, error 0.6/sqrt(1.25) = 0.53666 mA; with the common 0.8 mA 0.96333 mA
    const both = agreed(change(-0.05, 0.001, { inErrorA: 0.0006, outErrorA: 0.0008 }), change(0.053, 0.00144, { inErrorA: 0.0012, outErrorA: 0.0008 }));
    expect([both.changeA, both.errorA]).toEqual([expect.closeTo(-0.0506, 9), expect.closeTo(0.00096333, 8)]);
  });

  it('is nothing where they contradict each other: by four errors and the rounding, a tenth of the change, and 1.5 mA', () => {
    const clear = (own: Change, back: Change): boolean => agreed(own, back).clear;
    // errors of 3 and 4 mA: 20 mA
    expect([clear(change(-0.05, 0.003), change(0.0699, 0.004)), clear(change(-0.05, 0.003), change(0.0701, 0.004))]).toEqual([true, false]);
    expect([clear(change(-0.05, 1e-5), change(0.0549, 1e-5)), clear(change(-0.05, 1e-5), change(0.0552, 1e-5))]).toEqual([true, false]);
    expect([clear(change(-0.001, 1e-5), change(0.0024, 1e-5)), clear(change(-0.001, 1e-5), change(0.0026, 1e-5))]).toEqual([true, false]);
    expect(clear(change(-0.05, 1e-5, { roundingA: 0.003 }), change(0.0558, 1e-5, { roundingA: 0.003 }))).toBe(true);
  });

  it('is that of the one that was at rest where the other was not', () => {
    const own = change(-0.05, 0.001);
    const back = change(0.07, 0.001);
    const not = { clear: false };
    expect(agreed(own, null)).toBe(own);
    expect(agreed(own, { ...back, ...not })).toBe(own);
    expect(agreed({ ...own, ...not }, back)).toEqual({ ...back, changeA: -0.07 });
    expect(agreed({ ...own, ...not }, { ...back, ...not })).toEqual({ ...own, ...not });
  });
});

/** Blocks of a second with these means, in one segment; from block `gapAt` on a minute later. */
function blocksOf(meanA: readonly number[], gapAt = Infinity): Readings {
  const startS = Float64Array.from(meanA, (_, i) => i + (i >= gapAt ? 60 : 0));
  const blocks = { length: meanA.length, startS, widthS: 1, meanA: Float64Array.from(meanA) };
  return { blocks, segments: [{ startS: 0, endS: startS.at(-1)! + 1, startBlock: 0, endBlock: meanA.length }] } as unknown as Readings;
}

describe('how far the mean of some blocks wanders by itself', () => {
  /** Windows of two blocks with these means, behind the first block, which is left out as an edge; two more at the end. */
  const windows = (...meansA: number[]): number[] => [9, ...meansA.flatMap((meanA) => [meanA - 0.1, meanA + 0.1]), 9];

  it('is told by the differences of neighbouring windows', () => {
    // six differences of +-1: sqrt(6/5/2) = 0.774597, times Student 2.570582 for five degrees over 1.959964
    expect(ownChangeA(blocksOf(windows(0, 1, 0, 1, 0, 1, 0)), 0, 100, 2)).toBeCloseTo(1.015923, 5);
    // a common drift is none of it
    expect(ownChangeA(blocksOf(windows(0, 1.3, 0.6, 1.9, 1.2, 2.5, 1.8)), 0, 100, 2)).toBeCloseTo(1.015923, 5);
  });

  it('holds what is far out to three deviations', () => {
    // differences 1 -1 1 -1 1 -1 60: their median 1 lies by 0, 2, 0, 2, 0, 2, 59 from them; deviation 1.482602 x 2, bound 8.895613.
    // squares 4 + 4 + 4 + 79.131933 = 91.131933; sqrt(91.131933/6/2) = 2.755782; Student 2.446912 for six degrees over 1.959964
    expect(ownChangeA(blocksOf(windows(0, 1, 0, 1, 0, 1, 0, 60)), 0, 100, 2)).toBeCloseTo((2.755782 * 2.446912) / 1.959964, 4);
  });

  it('is not known from four differences, nor from blocks outside the time asked for, nor across a gap', () => {
    expect(ownChangeA(blocksOf(windows(0, 1, 0, 1, 0)), 0, 100, 2)).toBeNull();
    expect(ownChangeA(blocksOf(windows(0, 1, 0, 1, 0, 1)), 0, 100, 2)).not.toBeNull();
    const long = blocksOf(windows(0, 1, 0, 1, 0, 1, 0));
    // the sixth window of two ends at 13 s
    expect([ownChangeA(long, 0, 13, 2) === null, ownChangeA(long, 0, 12.9, 2) === null]).toEqual([false, true]);
    expect([ownChangeA(long, 3, 100, 2) === null, ownChangeA(long, 5, 100, 2) === null]).toEqual([false, true]);
    expect([ownChangeA(long, 16, 100, 2), ownChangeA(long, -9, 0, 2)]).toEqual([null, null]);
    // the window across the gap makes two differences less
    expect(ownChangeA(blocksOf(windows(0, 1, 0, 1, 0, 1, 0), 8), 0, 100, 2)).toBeNull();
  });
});

describe('the middle of a stretch', () => {
  it('is the median of the blocks that lie in it whole', () => {
    const readings = blocksOf([9, 1, 5, 2, 9]);
    expect([medianBetween(readings, 1, 4), medianBetween(readings, 0.5, 4.5), medianBetween(readings, 1, 3.9), medianBetween(readings, 4.5, 9)]).toEqual([2, 2, 3, null]);
  });
});

describe('the average of a stretch', () => {
  /** Half a minute of 0.1 A, ten seconds of 0.9 A, half a minute of 0.2 A, as many seconds as blocks, a reading each. */
  const means = [...Array.from({ length: 30 }, () => 0.1), ...Array.from({ length: 10 }, () => 0.9), ...Array.from({ length: 30 }, () => 0.2)];
  const night = (meansA: readonly number[] = means, counts: readonly number[] = meansA.map(() => 1)): Readings => {
    const readings = blocksOf(meansA);
    return {
      ...readings, belowZeroA: 0.006, bins: { sumA: Float64Array.from(meansA, (meanA, i) => meanA * counts[i]!) }, blocks: { ...readings.blocks, count: Float64Array.from(counts), firstBin: Int32Array.from([...meansA.keys(), meansA.length]) },
      segments: [...meansA.keys()].map((i) => ({ startS: i, endS: i + 1, startBlock: i, endBlock: i + 1, meanA: meansA[i], varianceA2: 0 })),
    } as unknown as Readings;
  };
  const wake = (start_s: number, end_s: number, cause: WakeUp['cause']): WakeUp => ({ start_s, end_s, cause }) as WakeUp;

  it('is that of the blocks that lie in it whole', () => {
    // (3 + 9 + 6)/70
    expect([averageBetween(night(), 0, 70, []), averageBetween(night(), 0.5, 40.5, []), averageBetween(night(), 30, 40, [])]).toEqual([expect.closeTo(18 / 70, 12), expect.closeTo(11.9 / 39, 12), expect.closeTo(0.9, 12)]);
    // nothing in it: the last there is
    expect([averageBetween(night(), 80, 90, []), averageBetween(night([]), 0, 10, [])]).toEqual([0.2, 0]);
  });

  it('leaves out what a person woke, and that alone', () => {
    expect(averageBetween(night(), 0, 70, [wake(30, 40, 'person')])).toBeCloseTo(9 / 60, 12);
    expect(averageBetween(night(), 0, 70, [wake(30, 40, null)])).toBeCloseTo(18 / 70, 12);
    // a block of which some was woken is none
    expect(averageBetween(night(), 0, 70, [wake(10, 20, null), wake(30.5, 39.5, 'person'), wake(60, 61, 'person')])).toBeCloseTo(8.8 / 59, 12);
  });

  it('gives each half minute of 64 blocks the same weight, and each reading in it', () => {
    // 64 blocks of 1 A, of which every other holds three readings, then 64 of 2 A with one each
    const long = [...Array.from({ length: 64 }, (_, i) => (i % 2 === 0 ? 1 : 3)), ...Array.from({ length: 64 }, () => 2)];
    expect(averageBetween(night(long, long.map((_, i) => (i < 64 && i % 2 === 0 ? 3 : 1))), 0, 128, [])).toBeCloseTo((1.5 + 2) / 2, 12);
  });

  it('leaves out what flows into the battery only at rest', () => {
    const fed = [0.1, 0.1, -0.5, 0.1];
    expect([averageBetween(night(fed), 0, 4, []), averageBetween(night(fed), 0, 4, [], false)]).toEqual([expect.closeTo(0.1, 12), expect.closeTo(-0.05, 12)]);
  });
});

describe('what rounding to steps hides of a level', () => {
  /** A reading a second on these steps of 2 mA, all of it at rest. */
  const hidden = (steps: readonly number[], stepA = 0.002): number =>
    stepUncertainty({ stepA, picked: { timeS: Float64Array.from(steps, (_, i) => i), valueA: Float64Array.from(steps, (step) => 0.05 + step * 0.002) } } as unknown as Readings, [{ startS: 0, endS: 1000 }]) / 0.002;
  const many = (...pattern: number[]): number[] => Array.from({ length: 41 }, (_, i) => pattern[i % pattern.length]!);

  it('is half a step where the readings never hop, or are few', () => {
    expect([hidden(many(0)), hidden([0, 1, 0, 1])]).toEqual([0.5, 0.5]);
    expect(hidden(many(0), 0)).toBe(0);
    // 24 of them, each with one before it, are enough: half of these are on the upper step
    expect([hidden(many(0, 1).slice(0, 25)), hidden(many(0, 1).slice(0, 24))]).toEqual([expect.closeTo(0, 9), 0.5]);
  });

  it('is how far their mean lies from the edge between two', () => {
    expect(hidden(many(0, 0, 0, 1))).toBeCloseTo(0.25, 9);
    expect(hidden(many(0, 0, 0, 0, 1))).toBeCloseTo(0.3, 9);
    expect(hidden(many(1, 1, 1, 0))).toBeCloseTo(0.25, 9);
  });

  it('dies away with noise over more of them (Widrow and Kollar 2008)', () => {
    // 0 1 2 1: differences of one step, so sigma^2 = 1/2 - 1/12 = 0.41667; at 0.8 of sigma exp(-2 pi^2 x 0.64 x 0.41667)/pi = 0.0016475
    expect(hidden(many(0, 1, 2, 1))).toBeCloseTo(0.0016475, 6);
  });

  it('is taken from rest alone', () => {
    const steps = many(0, 0, 0, 1);
    const readings = { stepA: 1, picked: { timeS: Float64Array.from([...steps, ...steps], (_, i) => i), valueA: Float64Array.from([...steps, ...many(7, 3)]) } } as unknown as Readings;
    expect(stepUncertainty(readings, [{ startS: 0, endS: 41 }])).toBeCloseTo(0.25, 9);
    // 0 to 40 s and from 60 s on: more than two steps, far apart
    expect(stepUncertainty(readings, [{ startS: 0, endS: 41 }, { startS: 60, endS: 90 }])).toBeLessThan(0.01);
  });
});

describe('what the sensor may add to a level', () => {
  const half = (some: Partial<DrainOptions>, levelA = 0.1, readingSigmaA = 0.001): number => sensorHalfWidthA({ recordedFromS: 100, readingSigmaA } as unknown as Readings, options(some), levelA, 7300);

  it('is zero, drift since, warmth and scale in squares, times 1.96', () => {
    // 1 mA; two hours at 2 mA, and 1.96 mA at 95 %; 3 mA; 1 % of 100 mA: sqrt(1 + 16 + 1 + 9 + 1) = 5.2915 mA
    const all = { zeroUncertaintyA: 0.001, zeroDriftAPerHour: 0.002, zeroDriftA: 0.001959964, zeroTemperatureA: 0.003, gainUncertaintyPercent: 1 };
    expect(half(all)).toBeCloseTo(1.959964 * 5.2915e-3, 7);
    expect(half(all, -0.1)).toBe(half(all));
    expect(half({ zeroUncertaintyA: 0 })).toBe(0);
  });

  it('has a zero of its kind where nobody said how it was set', () => {
    expect(half({})).toBeGreaterThan(0);
    expect(half({}, 0.1, 0.0101)).toBeGreaterThan(half({}, 0.1, 0.0099));
    expect(half({}, 0.1, 0.0099)).toBe(half({}, 0.1, 0.001));
  });
});

const wakes = (...starts: number[]): WakeUp[] => starts.map((start_s) => ({ start_s }) as WakeUp);

describe('the period of wake-ups', () => {
  it('of sleeps that have a length each has the bounds of their mean', () => {
    // sleeps 100 101 99, read to a thousandth: a scatter of 1 s over the root of three; Student 4.302653 for two degrees
    expect(wakePeriod(wakes(0, 100, 201, 300), 0.001)).toEqual({ period_s: 100, low_s: expect.closeTo(100 - 4.302653 / Math.sqrt(3), 5), high_s: expect.closeTo(100 + 4.302653 / Math.sqrt(3), 5), regular: true });
    // of 100 201 99 102 the second is two: 100.4 each, apart by 0.4, 0.2 over two, 1.4 and 1.6; 4.7 in squares; Student 3.182446 for three, over the root of five
    expect(wakePeriod(wakes(0, 100, 301, 400, 502), 0.001)).toMatchObject({ period_s: 100.4, high_s: expect.closeTo(100.4 + 3.182446 * Math.sqrt(4.7 / 3 / 5), 5) });
  });

  it('read no better than it scatters has the bounds of its two ends', () => {
    // a reading every 2 s: the end of a triangle from -2 to 2 s that leaves 2.5 % (scipy.stats.triang), over three sleeps
    expect(wakePeriod(wakes(0, 100, 201, 300), 2)).toMatchObject({ period_s: 100, low_s: expect.closeTo(100 - (2 * 0.7763932) / 3, 6) });
    // restricted likelihoods of the full covariance matrices, the best variance, Welch and Satterthwaite by NumPy and SciPy: rounding alone is the better
    // explanation from a reading every 1.287 s on; before that the sleeps' own scatter counts beside two readings
    const halfS = (spacingS: number): number => wakePeriod(wakes(0, 100, 201, 300), spacingS)!.high_s - 100;
    expect([halfS(1.28), halfS(1.29)]).toEqual([expect.closeTo(1.571744, 5), expect.closeTo((1.29 * 0.7763932) / 3, 6)]);
    // all alike, as every whole period is rounded the same way
    expect(wakePeriod(wakes(0, 100, 200, 300), 2)).toMatchObject({ high_s: expect.closeTo(100 + (2 * 0.7763932) / 3, 6) });
  });

  it('of a clock that jitters is the slope of a line through the starts, once thirteen sleeps speak for it at 150 to 1', () => {
    const jittered = (sleeps: number): readonly [number, number] => {
      const { period_s: periodS, high_s: highS } = wakePeriod(wakes(...Array.from({ length: sleeps + 1 }, (_, k) => 100 * k + (k % 2))), 1e-6)!;
      return [periodS, highS - periodS];
    };
    // scipy.stats.linregress: slope and its standard error; Student 2.178813 and 2.068658
    expect(jittered(13)).toEqual([expect.closeTo(100.0153846, 6), expect.closeTo(2.178813 * 0.0355292473, 6)]);
    expect(jittered(24)).toEqual([expect.closeTo(100, 6), expect.closeTo(2.068658 * 0.0144463024, 6)]);
    // twelve (the ratio is e^4.575): a scatter of 12/11 in squares over the root of twelve, Student 2.200985
    expect(jittered(12)).toEqual([100, expect.closeTo(2.200985 * Math.sqrt(12 / 11 / 12), 6)]);
  });

  it('whose sleeps drift one way is that of the whole recording', () => {
    const starts = [0];
    for (let k = 0; k < 12; k++) starts.push(starts.at(-1)! + 90 + k);
    const rhythm = wakePeriod(wakes(...starts), 1)!;
    expect([rhythm.period_s, rhythm.high_s - rhythm.period_s]).toEqual([95.5, expect.closeTo(0.7763932 / 12, 6)]);
  });

  it('whose sleeps change once drifts as far as readings can show it, and has a scatter of its own beside them', () => {
    // ten sleeps of 100 s, ten of 101 s
    const starts = [0];
    for (let k = 0; k < 20; k++) starts.push(starts.at(-1)! + (k < 10 ? 100 : 101));
    const halfS = (spacingS: number): number => wakePeriod(wakes(...starts), spacingS)!.high_s - 100.5;
    // by NumPy and SciPy as above: a drift is more likely by e^5.37 with readings 1.2 s apart, by e^2.90 with 1.5 s
    expect(halfS(1.2)).toBeCloseTo((1.2 * 0.7763932) / 20, 6);
    expect(halfS(1.5)).toBeCloseTo(0.299133, 5);
    expect(halfS(2)).toBeCloseTo(0.32031, 5);
  });

  it('is the same whenever the night began, in whatever unit its time is told, and from its end to its beginning', () => {
    const night = fc.record({ sleeps: fc.array(fc.double({ min: 90, max: 110, noNaN: true }), { minLength: 2, maxLength: 30 }), laterS: fc.integer({ min: -5000, max: 5000 }), unit: fc.constantFrom(0.25, 2, 64), spacingS: fc.constantFrom(0.01, 1, 8) });
    fc.assert(
      fc.property(night, ({ sleeps, laterS, unit, spacingS }) => {
        const starts = [0];
        for (const sleep of sleeps) starts.push(starts.at(-1)! + sleep);
        const bounds = (times: readonly number[], spacing: number, of: number): number[] => {
          const { period_s: periodS, low_s: lowS, high_s: highS } = wakePeriod(wakes(...times), spacing)!;
          return [periodS / of, (highS - lowS) / of];
        };
        const own = bounds(starts, spacingS, 1).map((value) => expect.closeTo(value, 5) as number);
        expect(bounds(starts.map((atS) => atS + laterS), spacingS, 1)).toEqual(own);
        expect(bounds(starts.map((atS) => atS * unit), spacingS * unit, unit)).toEqual(own);
        expect(bounds(starts.map((atS) => -atS).toReversed(), spacingS, 1)).toEqual(own);
      }),
    );
  });

  it('counts a wake-up that was missed, and none that somebody caused', () => {
    expect(wakePeriod(wakes(0, 100, 300, 400), 1)).toMatchObject({ period_s: 100, regular: true });
    const visited = [...wakes(0, 100), { start_s: 130, cause: 'person' } as WakeUp, ...wakes(200, 300)];
    expect(wakePeriod(visited, 1)).toMatchObject({ period_s: 100, regular: true });
    expect(wakePeriod(wakes(0, 100), 1)).toBeNull();
    expect(wakePeriod(wakes(0, 100, 200), 1)).not.toBeNull();
  });

  it('is none where they scatter by more than a quarter of it, or come at random', () => {
    const around = (apart: number): boolean => {
      const starts = [0];
      for (let k = 0; k < 40; k++) starts.push(starts.at(-1)! + 100 + (k % 4 < 2 ? apart : -apart));
      return wakePeriod(wakes(...starts), 0.1)!.regular;
    };
    expect([around(24), around(26)]).toEqual([true, false]);
    expect(wakePeriod(wakes(0, 10, 300, 330, 900), 0.1)!.regular).toBe(false);
  });

  it('has a start on its beat an eighth of a sleep early or late', () => {
    expect([212, 213, 88, 87, 250, 10, -212].map((startS) => isOnBeat(startS, 0, 100))).toEqual([true, false, true, false, false, false, true]);
  });
});
