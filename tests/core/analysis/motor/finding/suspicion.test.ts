import { describe, expect, it } from 'vitest';
import { whyUnjudged, loadShare, pressSuspicions, suspicionsOf } from '../../../../../src/core/analysis/motor/finding/suspicion.ts';
import { fitted, press, stall } from './readings.ts';

describe('what speaks against a motor that ran and stopped', () => {
  // 4 A (3.9 to 4.1) of 10 A (9.5 to 10.5): 0.4, from 3.9/10.5 = 0.3714 to 4.1/9.5 = 0.4316
  it('is judged by the share of its stall current, with the bounds of both', () => {
    const share = loadShare(fitted(10));
    expect(share?.share).toBeCloseTo(0.4, 9);
    expect(share?.low).toBeCloseTo(0.3714, 4);
    expect(share?.high).toBeCloseTo(0.4316, 4);
  });

  it('is not judged by a run that stalled, a clipped peak, or a switch-on that was not fitted', () => {
    expect(loadShare(press())).toBeNull();
    expect(loadShare(fitted(10, { stalls: [stall(3, 4, 9)] }))).toBeNull();
    const clipped = fitted(10);
    expect(loadShare({ ...clipped, inrush: { ...(clipped.inrush as NonNullable<typeof clipped.inrush>), peak_at_least: true } })).toBeNull();
  });

  it('is hard work above six tenths, hardly any load below one tenth, and neither against typed-in limits', () => {
    expect(pressSuspicions(fitted(6.6), false)).toEqual(['hard-work']);
    expect(pressSuspicions(fitted(6.7), false)).toEqual([]);
    expect(pressSuspicions(fitted(40.1), false)).toEqual(['hardly-any-load']);
    expect(pressSuspicions(fitted(39.9), false)).toEqual([]);
    expect(pressSuspicions(fitted(6), true)).toEqual([]);
  });

  it('is a beat of more than a quarter of the run, and never a press that the recording cuts', () => {
    const beating = (depthA: number): ReturnType<typeof press> => press({ beat: { period_s: 0.4, depth_a: depthA, low_a: 0, high_a: 9 } });
    expect(pressSuspicions(beating(1.01), false)).toEqual(['beat']);
    expect(pressSuspicions(beating(0.99), false)).toEqual([]);
    expect(pressSuspicions({ ...beating(2), cut: 'end' }, false)).toEqual([]);
  });

  it('counts what most presses show; a bad segment, a jam and one hard direction count alone', () => {
    const calm = press({ start_s: 6, end_s: 9 });
    expect(suspicionsOf([fitted(6), calm, calm], null, false)).toEqual([]);
    expect(suspicionsOf([fitted(6), fitted(6), calm], null, false).map(({ code }) => code)).toEqual(['hard-work']);
    expect(suspicionsOf([press({ finding: 'suspect' }), calm, calm], null, false).map(({ code }) => code)).toEqual(['jam']);
  });

  it('is one way harder from two and a half times on, mirrored for the other direction, where the bounds agree', () => {
    const both = [press(), press({ start_s: 5, end_s: 8, direction: 'reverse' })];
    const codes = (ratio: number, low = ratio, high = ratio): unknown => suspicionsOf(both, { run_ratio: ratio, low_run_ratio: low, high_run_ratio: high, duration_ratio: 1 }, false).map(({ code, presses }) => [code, presses[0]?.direction]);
    expect(codes(2.51)).toEqual([['one-way', 'forward']]);
    expect(codes(1 / 2.51)).toEqual([['one-way', 'reverse']]);
    expect(codes(2.49)).toEqual([]);
    expect(codes(2.6, 2)).toEqual([]);
    expect(codes(1 / 2.6, 0.1, 1 / 2)).toEqual([]);
  });
});

describe('a trace that can judge its motor by itself', () => {
  it('is calm: a run that scatters by more than a fortieth may hide a bad segment', () => {
    const restless = fitted(10);
    expect(whyUnjudged([{ ...restless, run: restless.run === null ? null : { ...restless.run, spread_a: 0.11 } }])).toEqual({ reason: 'unsteady', share: expect.closeTo(0.0275, 9) });
  });

  it('shows a load from a tenth to four tenths of the stall current, in the middle of its whole presses', () => {
    expect(whyUnjudged([fitted(10)])).toBeNull();
    expect(whyUnjudged([fitted(9.9)])).toEqual({ reason: 'load', share: expect.closeTo(4 / 9.9, 9) });
    expect(whyUnjudged([fitted(40)])).toBeNull();
    expect(whyUnjudged([fitted(41)])).toEqual({ reason: 'load', share: expect.closeTo(4 / 41, 9) });
    expect(whyUnjudged([press()])).toEqual({ reason: 'no-stall-current' });
    expect(whyUnjudged([fitted(20, { cut: 'end' })])).toEqual({ reason: 'no-stall-current' });
  });
});
