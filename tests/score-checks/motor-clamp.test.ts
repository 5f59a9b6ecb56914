import { describe, expect, it } from 'vitest';
import { runBench, type Bench, type Looking } from '../score/situations/motor/physics/bench.ts';
import { Dice } from '../score/situations/motor/physics/dice.ts';
import { Heater } from '../score/situations/motor/physics/loads.ts';
import { Timeline } from '../score/situations/motor/physics/timeline.ts';
import { readClamp, type ClampSpec } from '../score/situations/motor/sensor/clamp.ts';

const PERFECT: ClampSpec = { sense: 1, gain: 1, offsetA: 0, driftAPerS: 0, noiseA: 0, humA: 0, humHz: 50, toneA: 0, toneShare: 0.125, highPassHz: 0, rangeA: 1000, lsbA: 0, spikesPerS: 0, spikeA: 0 };
const RATE_HZ = 10_000;

function steady(seconds: number, ampere: number): { timeS: Float64Array; feltA: Float64Array } {
  const count = seconds * RATE_HZ;
  return { timeS: Float64Array.from({ length: count }, (_, index) => index / RATE_HZ), feltA: new Float64Array(count).fill(ampere) };
}

function read(spec: Partial<ClampSpec>, ampere = 8, seconds = 1): { currentA: Float32Array; clipped: number } {
  const { timeS, feltA } = steady(seconds, ampere);
  return readClamp(timeS, feltA, { ...PERFECT, ...spec }, new Dice(3));
}

/** a 2 ohm heater on 12 V behind 0.4 ohm, switched on at 0.1 s: 5 A, 10 V left at the load, 11 V at the battery */
function bench(look: Partial<Looking>, wander: () => number = () => 0): ReturnType<typeof runBench> {
  const heater = new Heater(2, 1, 1, 12, new Timeline([{ fromS: 0.1, toS: 9, polarity: 1, brake: false }], []));
  const circuit: Bench = { feed: { openV: 12, batteryOhm: 0.2, wireOhm: 0.2, wireGrowsPerS: 0, rippleV: 0, rippleHz: 0 }, parts: [heater], motors: [] };
  return runBench(circuit, { rateHz: RATE_HZ, durationS: 0.4, bandwidthHz: 1e6, clampAt: 'feed', tap: 'battery', jitter: 0, stepS: 1e-5, ...look }, wander);
}

describe('the clamp of the situations', () => {
  it('passes a level as it is, turned round when it is put on the wrong way, and nothing beside the wire', () => {
    expect(read({}).currentA[500]).toBeCloseTo(8, 6);
    expect(read({ sense: -1 }).currentA[500]).toBeCloseTo(-8, 6);
    expect(read({ sense: 0 }).currentA[500]).toBe(0);
  });

  it('loses a level with the time constant 1/(2 pi f) when it passes no direct current', () => {
    const { timeS, feltA } = steady(2, 8);
    feltA.fill(0, 0, 100);
    const { currentA } = readClamp(timeS, feltA, { ...PERFECT, highPassHz: 0.5 }, new Dice(3));
    const tauS = 1 / (2 * Math.PI * 0.5);
    expect(currentA[50]).toBe(0);
    expect(currentA[100 + Math.round(tauS * RATE_HZ)]! / 8).toBeCloseTo(Math.exp(-1), 2);
  });

  it('stops at the end of its range and counts those readings', () => {
    const { currentA, clipped } = read({ rangeA: 5 });
    expect(currentA[10]).toBe(5);
    expect(clipped).toBe(RATE_HZ);
  });

  it('has the noise it is given, and rounding adds a twelfth of the step\'s square (uniform error, Analog Devices MT-229)', () => {
    const spread = (values: Float32Array): number => {
      const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
      return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length);
    };
    expect(spread(read({ noiseA: 0.1 }, 8, 5).currentA) / 0.1).toBeCloseTo(1, 1);
    expect(spread(read({ noiseA: 0.1, lsbA: 0.2 }, 8, 5).currentA) / Math.hypot(0.1, 0.2 / Math.sqrt(12))).toBeCloseTo(1, 1);
  });
});

describe('the bench of the situations', () => {
  it('solves the feed by Ohm\'s law: 5 A, and 11 V left at the battery', () => {
    const record = bench({});
    expect(record.feltA[3000]).toBeCloseTo(5, 3);
    expect(record.tapV![3000]).toBeCloseTo(11, 3);
    expect(record.tapV![500]).toBeCloseTo(12, 6);
  });

  it('rounds an edge with the clamp\'s bandwidth: 1 - 1/e of the step after 1/(2 pi f)', () => {
    const record = bench({ bandwidthHz: 50 });
    expect(record.feltA[Math.round((0.1 + 1 / (2 * Math.PI * 50)) * RATE_HZ)]! / 5).toBeCloseTo(1 - Math.exp(-1), 1);
    expect(record.meanA[2000]).toBeCloseTo(5, 3);
  });

  it('keeps time rising however the readings wander', () => {
    const dice = new Dice(5);
    const { timeS } = bench({ jitter: 0.3 }, () => dice.normal());
    const steps = Array.from(timeS.subarray(1), (atS, index) => (atS - timeS[index]!) * RATE_HZ);
    expect(Math.min(...steps)).toBeGreaterThan(0);
    // and they do wander: two readings of 0.3 of a period each, cut at 0.45
    expect(Math.max(...steps)).toBeGreaterThan(1.3);
  });
});
