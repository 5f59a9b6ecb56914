import { describe, expect, it } from 'vitest';
import type { DrainOptions } from '../../../../../src/core/analysis/options.ts';
import { estimateLevel, type LevelEstimate } from '../../../../../src/core/analysis/night/rest/level-estimate.ts';
import type { Settling } from '../../../../../src/core/analysis/night/rest/settling.ts';
import type { Readings, RestStretch } from '../../../../../src/core/analysis/night/types.ts';
import { drawn, waved } from '../drawn.ts';

const rest = (startBlock: number, endBlock: number): RestStretch => ({ startS: startBlock, endS: endBlock, startBlock, endBlock, levelA: 0 });
const ZERO_SET = { zeroUncertaintyA: 0 };
const estimate = (readings: Readings, options: Partial<DrainOptions> = ZERO_SET, settling: Settling | null = null, rests = [rest(0, readings.blocks.length)]): LevelEstimate | null => estimateLevel(readings, rests, options as DrainOptions, settling);
const part = (of: LevelEstimate | null, source: string): number => of!.parts.find((one) => one.source === source)?.contribution ?? 0;

describe('the level asleep', () => {
  it('is the mean of its blocks, within what the sensor may add', () => {
    const level = estimate(drawn([[0.1, 600]]), { zeroUncertaintyA: 0.001 })!;
    const close = (value: number): number => expect.closeTo(value, 9) as number;
    expect(level).toMatchObject({ levelA: close(0.1), lowA: close(0.1 - 0.001959964), highA: close(0.1 + 0.001959964), sensorA: close(0.001959964), driftA: 0 });
    expect(estimate(drawn([[0.1, 600]]), ZERO_SET, null, [])).toBeNull();
    // blocks at either end hold some of a neighbour
    expect(estimate(drawn([[0.5, 1], [0.1, 598], [0.5, 1]]))!.levelA).toBeCloseTo(0.1, 9);
    expect(estimate(drawn([[0.5, 100], [0.1, 600], [0.5, 100]]), ZERO_SET, null, [rest(100, 700)])!.levelA).toBeCloseTo(0.1, 9);
    // of four there is none to leave out, wherever they lie
    expect(estimate(drawn([[0.5, 100], [0.2, 1], [0.1, 3]]), ZERO_SET, null, [rest(100, 104)])!.levelA).toBeCloseTo(0.125, 9);
  });

  it('gives each reading the same weight', () => {
    const even = drawn([[0.1, 602]]);
    // 100 mA and 102 mA in turn, the latter by three readings
    const mean = (i: number): number => (i % 2 === 0 ? 0.1 : 0.102);
    const count = (i: number): number => (i % 2 === 0 ? 1 : 3);
    const blocks = { ...even.blocks, meanA: even.blocks.meanA.map((_, i) => mean(i)), count: even.blocks.count.map((_, i) => count(i)) };
    const bins = { ...even.bins, count: blocks.count, sumA: even.bins.sumA.map((_, i) => mean(i) * count(i)) };
    expect(estimate({ ...even, blocks, bins })!.levelA).toBeCloseTo(0.1015, 9);
  });

  it('is as sure as the scatter of its 24 batches tells', () => {
    // 24 batches of 25 blocks, up and down by 1 mA in turn: squares 24 mA^2 over 23 and 24; Student 2.068658 for 23 degrees over 1.959964
    const batches = waved(drawn([[0.1, 602]]), (atS) => (Math.floor((atS - 1) / 25) % 2 === 0 ? 0.001 : -0.001));
    expect(part(estimate(batches), 'noise')).toBeCloseTo((2.068658 / 1.959964) * 0.001 / Math.sqrt(23), 8);
    // three blocks, less than two batches: 1 mA each
    const few = drawn([[0.1, 3]]);
    expect(part(estimate({ ...few, varianceA2: few.varianceA2.map(() => 1e-6) }), 'noise')).toBeCloseTo(0.001 / Math.sqrt(3), 9);
  });

  it('that drifts is that of its first ten minutes, and may be any it had', () => {
    const perS = 0.01 / 3000;
    const drifting = waved(drawn([[0.1, 3000]]), (atS) => perS * atS);
    const level = estimate(drifting)!;
    // 2998 blocks in twelve parts: the first has 249 of them, from 1 s on, the last 250, from 2749 s on
    const [firstS, lastS] = [125, 2873.5];
    expect(level.driftA).toBeCloseTo(perS * (lastS - firstS), 9);
    expect(level.levelA).toBeCloseTo(0.1 + perS * 300.5, 9);
    // the last part, over the time since the recording began; k = 1
    const farS = lastS - 300.5;
    expect(part(level, 'zero-drift')).toBeCloseTo((perS * farS * 2998) / 2997 / 1.959964, 9);
    // as much as was stated is none of it, and is there as stated
    const stated = estimate(drifting, { ...ZERO_SET, zeroDriftAPerHour: 0.0036 });
    const left = ((perS * farS * 2998) / 2997 / 1.959964) ** 2 - (1e-6 * 2998) ** 2;
    expect(part(stated, 'zero-drift')).toBeCloseTo(Math.sqrt(left + (1e-6 * 300.5) ** 2), 9);
    // the same downwards
    expect(estimate(waved(drawn([[0.1, 3000]]), (atS) => -perS * atS))!.driftA).toBeCloseTo(-level.driftA, 9);
  });

  it('drifts by 2 mA at least, over ten minutes, and by no more than a zero moves in a night', () => {
    // eleven twelfths of it are seen
    const drift = (overS: number, lengthS = 3000): number => estimate(waved(drawn([[0.1, lengthS]]), (atS) => (overS * atS) / lengthS))!.driftA;
    expect([drift(0.002), drift(0.0023) > 0, drift(0.02, 600), drift(0.02, 604) > 0]).toEqual([0, true, 0, true]);
    // four times 14.05 mA (Allegro ACS712, 0.26 A in 185 K, over 10 K)
    expect([drift(0.061) > 0, drift(0.062)]).toEqual([true, 0]);
  });

  it('that swings has its middle, and its drift is how far it goes', () => {
    // three whole swings of 5 mA
    const swing = waved(drawn([[0.1, 3602]]), (atS) => 0.005 * Math.sin((2 * Math.PI * 3 * (atS - 1)) / 3600));
    const level = estimate(swing)!;
    expect(level.levelA).toBeCloseTo(0.1, 5);
    // a quarter of a swing each: 5 mA x 2/pi up and down
    expect(Math.abs(level.driftA)).toBeCloseTo(2 * 0.005 * (2 / Math.PI), 5);
  });

  it('is less what is left of a creep, which is uncertain by as much', () => {
    const settling: Settling = { fromS: 0, floorA: 0.1, amplitudeA: 0.02, tauS: 300 };
    const creeping = waved(drawn([[0.1, 3002]]), (atS) => 0.02 * Math.exp(-atS / 300));
    const level = estimate(creeping, ZERO_SET, settling)!;
    expect(level.levelA).toBeCloseTo(0.1, 9);
    // the mean of 20 mA exp(-t / 300 s) at 1 to 3000 s, a geometric series, as a limit
    const ratio = Math.exp(-1 / 300);
    expect(part(level, 'model')).toBeCloseTo((0.02 * ratio * (1 - ratio ** 3000)) / (1 - ratio) / 3000 / Math.sqrt(3), 9);
    expect(part(estimate(creeping), 'model')).toBe(0);
  });
});
