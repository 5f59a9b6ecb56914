import { describe, expect, it } from 'vitest';
import type { DrainOptions } from '../../../../src/core/analysis/options.ts';
import type { DrainResult } from '../../../../src/core/analysis/results.ts';
import { read, recording } from './recording.ts';

const NOISE_A = 0.002;
const RATE_HZ = 2;
const LENGTH_S = 4 * 3600;
/** lamps and modules until 600 s, then 20 mA */
const parkedA = (atS: number): number => 0.02 + (atS < 60 ? 2.5 : atS < 600 ? 0.4 : 0);

function asleepOf(levelA: (atS: number) => number, options: DrainOptions = {}, seed = 1): NonNullable<DrainResult['asleep']> {
  const { asleep } = read(recording(LENGTH_S, RATE_HZ, NOISE_A, levelA, seed), [], options);
  if (asleep === null) throw new Error('no rest');
  return asleep;
}

const partOf = (asleep: NonNullable<DrainResult['asleep']>, source: string): number => asleep.uncertainty?.find((part) => part.source === source)?.contribution ?? 0;

describe('the bounds of the level asleep', () => {
  it('hold as much noise as the mean of so many readings has, and no more: sigma over the root of their number', () => {
    const trueA = NOISE_A / Math.sqrt((LENGTH_S - 600) * RATE_HZ);
    const parts = Array.from({ length: 8 }, (_, k) => partOf(asleepOf(parkedA, {}, k + 1), 'noise'));
    const mean = parts.reduce((sum, one) => sum + one, 0) / parts.length;
    // Student's t for 24 batches over the normal factor: 2.069 / 1.960 = 1.056; the mean of eight such estimates scatters by 5 %
    expect(mean / trueA).toBeGreaterThan(1.056 * 0.85);
    expect(mean / trueA).toBeLessThan(1.056 * 1.15);
  });

  it('count a stated drift once: what is seen of it is no further uncertainty', () => {
    // 1.5 mA an hour, as stated; the level is read over the ten minutes from 600 s on, a quarter of an hour after the zero was set
    const driftA = (atS: number): number => (0.0015 * atS) / 3600;
    const asleep = asleepOf((atS) => parkedA(atS) + driftA(atS), { zeroUncertaintyA: 0.0001, zeroDriftAPerHour: 0.0015 });
    expect(partOf(asleep, 'zero-drift')).toBeCloseTo(0.0015 / 4, 5);
    expect(asleep.low_a).toBeLessThan(0.02);
    expect(asleep.high_a).toBeGreaterThan(0.02);
  });

  it('reach as far as the level goes at rest where nobody stated a drift', () => {
    // a zero that creeps by 12 mA; which end of it is right nobody knows
    const creepA = (atS: number): number => -0.012 * (1 - Math.exp(-atS / 1500));
    const asleep = asleepOf((atS) => parkedA(atS) + 0.012 + creepA(atS));
    const withoutZeroA = 1.96 * Math.hypot(...(asleep.uncertainty ?? []).filter(({ source }) => source !== 'zero-unknown').map(({ contribution }) => contribution));
    expect(Math.abs(asleep.level_a - 0.02)).toBeLessThan(withoutZeroA);
  });
});
