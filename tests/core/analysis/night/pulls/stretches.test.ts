import { describe, expect, it } from 'vitest';
import { driftBefore, restBetween, restLevel } from '../../../../../src/core/analysis/night/pulls/stretches.ts';
import type { Pulses } from '../../../../../src/core/analysis/results.ts';
import type { FuseEvent, Readings, Stretch } from '../../../../../src/core/analysis/night/types.ts';
import { drawn, waved, type Drawn } from '../drawn.ts';

const noisy = (readings: Readings, varianceA2: number): Readings => ({ ...readings, segments: readings.segments.map((segment) => ({ ...segment, varianceA2 })) });
const level = (levels: readonly Drawn[], fromS = 0, toS = Infinity): Stretch => {
  const readings = drawn(levels);
  return restLevel(readings, fromS, Math.min(toS, readings.lastS));
};
const levelA = (...how: Parameters<typeof level>): number => Math.round(level(...how).levelA * 1e6) / 1e6;

describe('the level at rest of a stretch', () => {
  it('is read from the blocks inside it, without those at its edges', () => {
    // blocks 10 to 58, less one on either side: 47, from 11 to 58 s
    expect(level([[0.1, 100]], 10, 60)).toEqual({ startS: 10, endS: 60, levelA: expect.closeTo(0.1, 12), errorA: expect.closeTo(0, 12), pulsesErrorA: 0, centreS: 34.5, roundingA: 0, highestA: expect.closeTo(0.1, 12), blockCount: 47, usable: true });
    expect([level([[0.1, 100]], 10, 15).blockCount, level([[0.1, 100]], 10, 16).blockCount]).toEqual([4, 3]);
    const none = { levelA: 0, errorA: Infinity, blockCount: 0, highestA: 0, usable: false };
    expect([level([[0.1, 100]], 10, 11), level([[0.1, 100]], 200, 300)]).toEqual([expect.objectContaining({ ...none, centreS: 10.5 }), expect.objectContaining(none)]);
  });

  it('is the lowest that lasts: as long as a hand, and a tenth of the stretch', () => {
    expect([levelA([[0.1, 20], [0.05, 3], [0.2, 8]]), levelA([[0.1, 20], [0.05, 4], [0.2, 8]])]).toEqual([0.1, 0.05]);
    // of 100 blocks ten, of a low level of 12 without its edges
    expect([levelA([[0.1, 89], [0.05, 11], [0.2, 1]]), levelA([[0.1, 88], [0.05, 12], [0.2, 1]])]).toEqual([0.1, 0.05]);
    expect([levelA([[0.1, 60], [0.5, 60]]), levelA([[0.5, 60], [0.1, 60]])]).toEqual([0.1, 0.1]);
    expect(level([[0.1, 60], [0.5, 60]]).highestA).toBeCloseTo(0.5, 12);
    // a fuse that was out in between
    expect(levelA([[0.1, 300], [0.06, 60], [0.1, 300]])).toBe(0.1);
    expect(levelA([[0.1, 300], [0.06, 60], [0.1, 300]], 300, 660)).toBe(0.06);
  });

  it('is all that equals it within a milliampere, or three deviations', () => {
    // 48 and 47 blocks
    const both = level([[0.1, 50], [0.1009, 50]]);
    expect([both.blockCount, both.levelA]).toEqual([95, expect.closeTo((48 * 0.1 + 47 * 0.1009) / 95, 9)]);
    expect(level([[0.1, 50], [0.1011, 50]]).blockCount).toBe(48);
    // deviations of 10 mA: 3 x 10 mA x sqrt(1/48 + 1/47) = 6.156 mA
    const apart = (apartA: number): number => restLevel(noisy(drawn([[0.1, 50], [0.1 + apartA, 50]]), 1e-4), 0, 100).blockCount;
    expect([apart(0.00615), apart(0.00617)]).toEqual([95, 48]);
    // the middle of both, 1 to 49 and 51 to 98 s
    expect(both.centreS).toBeCloseTo((48 * 25 + 47 * 74.5) / 95, 9);
  });

  it('is as sure as its noise, the scatter of eight batches about a line, whichever is less', () => {
    // 1 mA in 29 of 32 blocks
    expect(restLevel(noisy(drawn([[0.1, 200]]), 1e-6), 10, 42).errorA).toBeCloseTo(0.001 / Math.sqrt(29), 9);
    // four blocks 1 mA up, four down: squares 8 - 16/42 mA^2 about the line, over six degrees and eight batches; Student 2.446912 over 1.959964
    const waves = (amplitudeA: number): number => restLevel(waved(noisy(drawn([[0.1, 200]]), 1e-4), (atS) => (Math.floor((atS - 11) / 4) % 2 === 0 ? amplitudeA : -amplitudeA)), 10, 45).errorA;
    expect(waves(0.001)).toBeCloseTo(0.000398410 * (2.446912 / 1.959964), 7);
    // a slope is none of it
    expect(restLevel(waved(noisy(drawn([[0.1, 200]]), 1e-4), (atS) => 1e-5 * atS), 10, 45).errorA).toBeCloseTo(0, 9);
    // 10 mA in 32 blocks: 1.7678 mA, less than batches say
    expect(waves(0.01)).toBeCloseTo(0.01 / Math.sqrt(32), 9);
  });

  it('has the pulses of a module that polls in it, where they are levels of their own', () => {
    const PULSES: Pulses = { floor_a: 0.1, pulse_a: 0.3, duty: 0.1, mean_a: 0.13, period_s: 20 };
    // two seconds of 300 mA more every 20 s, five times: each charge 0.6 C
    const readings = drawn(Array.from({ length: 5 }, (): Drawn[] => [[0.1, 18], [0.4, 2]]).flat());
    const polled = restLevel(readings, 0, 101, PULSES);
    // 16 blocks five times and ten of pulses; error by the charges, more than one pulse of 0.6 C as a limit
    expect([polled.levelA, polled.pulsesErrorA, polled.errorA]).toEqual([expect.closeTo(0.1 + (5 * 0.6) / 90, 9), expect.closeTo((0.6 * Math.sqrt(5)) / 90, 9), expect.closeTo((0.6 * Math.sqrt(5)) / 90, 9)]);
    expect(restLevel(readings, 0, 101).levelA).toBeCloseTo(0.1, 9);
    // none inside: one may have been missed, 0.6 C / sqrt(3) over 17 - 2 blocks
    expect(restLevel(readings, 0, 18, PULSES)).toMatchObject({ levelA: expect.closeTo(0.1, 9), pulsesErrorA: expect.closeTo(0.6 / Math.sqrt(3) / 15, 9) });
    // three seconds are no pulse
    const long = drawn([[0.1, 50], [0.4, 3], [0.1, 50]]);
    expect(restLevel(long, 0, 103, PULSES).levelA).toBeCloseTo(0.1, 9);
  });
});

describe('the levels between events', () => {
  const event = (kind: FuseEvent['kind'], atS: number, label = 'F1'): FuseEvent => ({ kind, label, markS: atS, atS });
  const spans = (events: readonly FuseEvent[], restS = 0, guardS = 12): number[][] => restBetween(drawn([[0.1, 1000], [0.06, 1000]]), events, restS, guardS, 0.2).map(({ startS, endS }) => [startS, endS]);

  it('keep away from the events, by a fifth of their length at most, and from what is ten minutes off', () => {
    expect(spans([event('pull', 1000)])).toEqual([[400, 988], [1012, 1600]]);
    expect(spans([event('pull', 1000)], 900)).toEqual([[900, 988], [1012, 1600]]);
    // a rest that begins later than a minute before the pull
    expect(spans([event('pull', 1000)], 950)).toEqual([[940, 988], [1012, 1600]]);
    expect(spans([event('pull', 1000), event('refit', 1040)])).toEqual([[400, 988], [1008, 1032], [1052, 1640]]);
    expect(spans([event('pull', 30)], 0, 4)).toEqual([[0, 26], [34, 630]]);
    expect(spans([event('pull', 1900)], 0, 4)).toEqual([[1300, 1896], [1904, 2000]]);
  });

  const usable = (levels: readonly Drawn[], events: readonly FuseEvent[], errorA2 = 1e-12): boolean[] => restBetween(noisy(drawn(levels), errorA2), events, 0, 12, 0.2).map((stretch) => stretch.usable);

  it('are none where they lie above what they can be: 3 mA above the level before the pull', () => {
    expect([0.1029, 0.1031].map((afterA) => usable([[0.1, 1000], [afterA, 1000]], [event('pull', 1000)]))).toEqual([[true, true], [true, false]]);
    expect([0.1029, 0.1031].map((afterA) => usable([[0.1, 1000], [0.06, 100], [afterA, 1000]], [event('pull', 1000), event('refit', 1100)]))).toEqual([[true, true, true], [true, true, false]]);
    // of a fuse that was put back without its pull nobody knows what it carries
    expect(usable([[0.1, 1000], [0.06, 100], [0.5, 1000]], [event('pull', 1000), event('refit', 1100, 'F2')])).toEqual([true, true, true]);
    expect(usable([[0.1, 1000], [0.5, 1000]], [event('refit', 1000)])).toEqual([true, true]);
  });

  it('are looked for nearer to the event where they would be none', () => {
    // something wakes ten seconds after the pull
    const woken = restBetween(drawn([[0.1, 1000], [0.06, 10], [0.5, 26], [0.1, 600]]), [event('pull', 1000), event('refit', 1036)], 0, 12, 0.2)[1]!;
    expect([woken.startS, woken.endS, woken.levelA, woken.usable]).toEqual([1004, 1032, expect.closeTo(0.06, 9), true]);
    const sooner = restBetween(drawn([[0.1, 1000], [0.06, 6], [0.5, 30], [0.1, 600]]), [event('pull', 1000), event('refit', 1036)], 0, 12, 0.2)[1]!;
    expect([sooner.startS, sooner.endS, sooner.usable]).toEqual([1001.5, 1034.5, true]);
  });

  it('are as sure as levels of that length are while nobody touches anything', () => {
    // a wave of 40 s on 100 mA, which a stretch of 27 blocks sees as a level
    const readings = waved(drawn([[0.1, 1000], [0.06, 1000]]), (atS) => 0.002 * Math.sin((2 * Math.PI * atS) / 100), 0, 900);
    const [, after] = restBetween(readings, [event('pull', 1000), event('refit', 1040), event('pull', 1100)], 0, 12, 0.2);
    expect(after!.errorA).toBeGreaterThan(0.0005);
    const [, still] = restBetween(drawn([[0.1, 1000], [0.06, 1000]]), [event('pull', 1000), event('refit', 1040), event('pull', 1100)], 0, 12, 0.2);
    expect(still!.errorA).toBeLessThan(1e-6);
  });
});

describe('the drift before the pulls', () => {
  const rising = (perS: number): Readings => waved(drawn([[0.1, 3000]]), (atS) => perS * atS);
  it('is that of the twenty minutes before them', () => {
    expect(driftBefore(rising(1e-5), 0, 2000)).toBeCloseTo(1e-5, 9);
    expect(driftBefore(rising(-1e-5), 0, 2000)).toBeCloseTo(-1e-5, 9);
    // the first ten minutes of it against the last: no rise before that counts
    expect(driftBefore(waved(drawn([[0.1, 3000]]), () => 0.01, 1400), 0, 2000)).toBeCloseTo(0.01 / 600, 8);
    expect(driftBefore(waved(drawn([[0.1, 3000]]), () => 0.01, 800), 0, 2000)).toBe(0);
    expect(driftBefore(waved(drawn([[0.1, 3000]]), () => 0.01, 800), 1000, 2000)).toBe(0);
    expect(driftBefore(waved(drawn([[0.1, 3000]]), () => 0.01, 1500), 1000, 2000)).toBeCloseTo(0.01 / 500, 8);
  });

  it('is none that four standard errors hide, or with nothing to see', () => {
    // thirty blocks, 27 of them on either side, of 1 mA: 4 x 1 mA x sqrt(2/27) = 1.0887 mA, and 0.6667 mA from batches of too few is none
    const hidden = (stepA: number): boolean => driftBefore(noisy(waved(drawn([[0.1, 3000]]), () => stepA, 1970), 1e-6), 1940, 2000) !== 0;
    expect([hidden(0.00108), hidden(0.0011)]).toEqual([false, true]);
    expect([driftBefore(rising(1e-5), 2000, 2000), driftBefore(drawn([[0.1, 100]]), 200, 300)]).toEqual([0, 0]);
  });
});
