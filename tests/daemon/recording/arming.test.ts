import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { language } from '../../../src/core/present/language.ts';
import type { SampleBlock } from '../../../src/core/trace.ts';
import type { ArmSettings } from '../../../src/core/wire/messages.ts';
import { StartWatch } from '../../../src/daemon/recording/arming.ts';
import { seeded, slice } from '../store/kit.ts';

const words = language.daemon.running.arming;
const NOW = new Date('2026-11-25T21:00:00Z');

/** Normal noise (Box and Muller 1958) of one standard deviation. */
function normal(random: () => number): number {
  return Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}

function trace(seconds: number, valueA: (timeS: number) => number, noiseA = 0, rateHz = 1000, seed = 1): SampleBlock {
  const random = seeded(seed);
  const timeS = Float64Array.from({ length: seconds * rateHz }, (_, i) => i / rateHz);
  return { timeS, currentA: Float32Array.from(timeS, (at) => valueA(at) + noiseA * normal(random)), voltageV: null };
}

/** Time at which the watch starts, fed in blocks of `rows`. */
function startOf(startOn: ArmSettings['startOn'], block: SampleBlock, rows = 100): number | null {
  const watch = new StartWatch(startOn);
  for (let at = 0; at < block.timeS.length; at += rows) {
    const startS = watch.samples(slice(block, at, at + rows), NOW);
    if (startS !== null) return startS;
  }
  return null;
}

const step = (toA: number, atS = 5, fromA = 0) => (timeS: number): number => (timeS < atS ? fromA : toA);

describe('a start on a level', () => {
  const level = { kind: 'level', levelA: 5 } as const;

  it('comes with the first sample past it, in either direction; below zero, in the reverse direction alone', () => {
    expect(startOf(level, trace(8, step(5)))).toBe(5);
    expect(startOf(level, trace(8, step(-5.1)))).toBe(5);
    expect(startOf(level, trace(8, step(4.999)))).toBeNull();
    expect(startOf({ kind: 'level', levelA: -5 }, trace(8, step(9)))).toBeNull();
    expect(startOf({ kind: 'level', levelA: -5 }, trace(8, step(-9)))).toBe(5);
  });

  it('does not come at once when the current is past it already: it must fall below first, and the words say so', () => {
    const running = trace(8, (timeS) => (timeS < 3 ? 7 : timeS < 6 ? 1 : 7));
    expect(startOf(level, running)).toBe(6);
    const watch = new StartWatch(level);
    expect(watch.text).toBe('Armed: starts when the current passes 5.00 A.');
    watch.samples(slice(running, 0, 1000), NOW);
    expect(watch.text).toMatch(/is past 5\.00 A already\. It must fall below first/);
    watch.samples(slice(running, 1000, 4000), NOW);
    expect(watch.text).toBe('Armed: starts when the current passes 5.00 A.');
  });

  it('comes at once where the person asked for that', () => {
    expect(startOf({ ...level, evenIfPassed: true }, trace(8, () => 7))).toBe(0);
  });

  it('is not made of noise about the level: 60 s of a current just past it, with noise across it, never start', () => {
    // 5.05 A ± 0.05 A: 16 % of the samples lie below 5 A, none of them as far as 5 % or three standard deviations
    expect(startOf(level, trace(60, () => 5.05, 0.05))).toBeNull();
  });

  it('counts as fallen below by 5 % of the level, or by three standard deviations of noise that is larger, and always by half of it', () => {
    const levels = (...steps: readonly [samples: number, at: (i: number) => number][]): SampleBlock => {
      const values = steps.flatMap(([samples, at]) => Array.from({ length: samples }, (_, i) => at(i)));
      return { timeS: Float64Array.from(values, (_, i) => i / 1000), currentA: Float32Array.from(values), voltageV: null };
    };
    const flat = (valueA: number) => (): number => valueA;
    // 5 % below 5 A is 4.75 A
    expect(startOf(level, levels([99, flat(6)], [100, flat(4.76)], [99, flat(6)]))).toBeNull();
    expect(startOf(level, levels([99, flat(6)], [100, flat(4.74)], [99, flat(6)]))).toBe(0.199);
    // steps of 0.4 A from sample to sample are noise of 1.4826 x 0.4 / sqrt 2 = 0.419 A, three times that is 1.26 A: 3.74 A
    const noisy = (lowA: number) => (i: number): number => lowA + (i % 2) * 0.4;
    expect(startOf(level, levels([100, noisy(6)], [100, noisy(3.8)], [100, noisy(6)]))).toBeNull();
    expect(startOf(level, levels([100, noisy(6)], [100, noisy(3.7)], [100, noisy(6)]))).toBe(0.2);
    // noise of 0.21 A, three times that is more than the level of 0.5 A: below 0.25 A is below
    const restless = (lowA: number) => (i: number): number => lowA + (i % 2) * 0.2;
    expect(startOf({ kind: 'level', levelA: 0.5 }, levels([100, restless(0.6)], [100, restless(0.26)], [100, restless(0.6)]))).toBeNull();
    expect(startOf({ kind: 'level', levelA: 0.5 }, levels([100, restless(0.6)], [100, restless(0.24)], [100, restless(0.6)]))).toBe(0.2);
  });

  it('is not made of a single wild sample', () => {
    expect(startOf(level, trace(8, (timeS) => (timeS === 4 ? 80 : 0.2), 0.02))).toBeNull();
  });
});

describe('a start on a slope', () => {
  it('comes with the first sample of a step, at 10 Hz as at 50 kHz', () => {
    for (const rateHz of [10, 1000, 50_000]) {
      const startS = startOf({ kind: 'slope', slopeAPerS: 11 * rateHz }, trace(8, step(12), 0.02, rateHz));
      expect(startS, `${rateHz} Hz`).not.toBeNull();
      // a median of three sees a step with its second sample
      expect(Math.abs(startS! - 5)).toBeLessThan(1.5 / rateHz);
    }
  });

  it('is not made of noise, however small the slope that was set: ten minutes of noise at 1 kS/s', () => {
    // single samples of this noise change by 100 A/s and more all the time
    expect(startOf({ kind: 'slope', slopeAPerS: 1 }, trace(600, () => 3, 0.1))).toBeNull();
  });

  it('is not made of a single wild sample, nor of missing time', () => {
    expect(startOf({ kind: 'slope', slopeAPerS: 100 }, trace(8, (timeS) => (timeS === 4 ? 80 : 0.2), 0.02))).toBeNull();
    const watch = new StartWatch({ kind: 'slope', slopeAPerS: 100 });
    expect(watch.samples(trace(1, () => 0), NOW)).toBeNull();
    watch.gap();
    const later = trace(1, () => 9);
    expect(watch.samples({ ...later, timeS: later.timeS.map((timeS) => timeS + 1.001) }, NOW)).toBeNull();
  });

  it('below zero comes with a fall alone', () => {
    expect(startOf({ kind: 'slope', slopeAPerS: -500 }, trace(8, step(9)))).toBeNull();
    expect(startOf({ kind: 'slope', slopeAPerS: -500 }, trace(8, step(0, 5, 9)))).toBeCloseTo(5, 2);
  });

  it('needs the slope that was set, and a change of seven standard deviations of a difference of two medians', () => {
    // one sample a second, so that the step is its slope to the last digit; no noise
    const atOnceAPerS = (slopeAPerS: number): number | null => startOf({ kind: 'slope', slopeAPerS }, trace(40, step(9, 30), 0, 1));
    expect(atOnceAPerS(9)).toBe(30);
    expect(atOnceAPerS(9.001)).toBeNull();
    // steps of 1 A: noise of 1.4826 / sqrt 2 = 1.048 A, of the difference 0.947 times that, seven times: 6.95 A; the noise itself adds up to 1 A to the step
    const among = (stepA: number): SampleBlock => trace(1, (timeS) => (Math.round(timeS * 1000) % 2) + (timeS < 0.5 ? 0 : stepA));
    expect(startOf({ kind: 'slope', slopeAPerS: 1 }, among(5.9))).toBeNull();
    expect(startOf({ kind: 'slope', slopeAPerS: 1 }, among(7))).toBeCloseTo(0.5, 2);
  });

  it('waits until the noise is known: sixteen steps', () => {
    // with the sample of 16 s they are known: a step at 13 s is then still between two medians, one at 12 s no longer
    expect(startOf({ kind: 'slope', slopeAPerS: 1 }, trace(40, step(9, 12), 0, 1))).toBeNull();
    expect(startOf({ kind: 'slope', slopeAPerS: 1 }, trace(40, step(9, 13), 0, 1))).toBe(15);
  });

  it('is seen in the rise of a motor’s inrush over 10 ms', () => {
    expect(startOf({ kind: 'slope', slopeAPerS: 500 }, trace(8, (timeS) => Math.min(20, Math.max(0, timeS - 5) * 2000), 0.05))).toBeCloseTo(5, 2);
  });
});

describe('any start', () => {
  it('does not depend on the pieces the samples come in', () => {
    const block = trace(12, (timeS) => (timeS < 2 ? 8 : timeS < 5 ? 1 : 6), 0.05);
    for (const startOn of [{ kind: 'level', levelA: 5 }, { kind: 'slope', slopeAPerS: 200 }] as const) {
      const whole = startOf(startOn, block, 12_000);
      expect(whole).not.toBeNull();
      fc.assert(
        fc.property(fc.integer({ min: 1, max: 3000 }), (rows) => {
          expect(startOf(startOn, block, rows)).toBe(whole);
        }),
        { numRuns: 20 },
      );
    }
  });

  it('by the clock comes with the first samples at or after its time, by a mark with none', () => {
    const block = trace(1, () => 9);
    const at = new StartWatch({ kind: 'time', at: '2026-11-25T22:00:00+01:00' });
    expect(at.samples(block, new Date('2026-11-25T20:59:59.999Z'))).toBeNull();
    expect(at.samples(block, new Date('2026-11-25T21:00:00Z'))).toBe(0);
    const mark = new StartWatch({ kind: 'mark' });
    expect(mark.samples(block, NOW)).toBeNull();
    expect(mark.mark()).toBe(true);
    expect(at.mark()).toBe(false);
    expect(new StartWatch({ kind: 'now' }).samples(block, NOW)).toBe(0);
  });

  it('is said as what is waited for', () => {
    const textOf = (startOn: ArmSettings['startOn']): string => new StartWatch(startOn).text;
    expect(textOf({ kind: 'now' })).toBe(words.armedStartsWithThe);
    expect(textOf({ kind: 'time', at: '2026-11-25T22:00:00+01:00' })).toBe(words.armedStartsAt('2026-11-25T22:00:00+01:00'));
    expect(textOf({ kind: 'mark' })).toBe(words.armedStartsAtThe);
    expect(textOf({ kind: 'slope', slopeAPerS: -200 })).toBe(words.armedStartsWhenTheCurrent(200));
  });
});
