import { describe, expect, it } from 'vitest';
import { cutOutEvidence, estimateEvidence, loadEvidence, lostContactEvidence, segmentEvidence, stallEvidence, suspicionEvidence, windingEvidence } from '../../../../../src/core/analysis/motor/finding/press-evidence.ts';
import { fitted, press, stall } from './readings.ts';

describe('what a press shows, in figures', () => {
  it('is its longest stall, with the run before it', () => {
    expect(stallEvidence(press({ stalls: [stall(2, 2.1, 12), stall(3, 3.5, 14)] }))).toEqual([{ code: 'stall', fromS: 3, levelA: 14, atLeast: false, lastedS: 0.5, run: { levelA: 4, atLeast: false }, stalls: 2 }]);
    expect(stallEvidence(press())).toEqual([]);
  });

  it('is the first cut-out with the shortest and the longest stall that led to one', () => {
    const opened = (endS: number, lengthS: number): ReturnType<typeof press> => press({ stalls: [stall(endS - lengthS, endS, 14, { cut_out: true })] });
    expect(cutOutEvidence([opened(5, 2), opened(9, 1), press({ stalls: [stall(10, 14, 14)] })])).toEqual([{ code: 'cut-out', atS: 5, times: 2, shortestS: 1, longestS: 2 }]);
    expect(cutOutEvidence([press()])).toEqual([]);
  });

  // a stall of 15 A against 20 A estimated is three quarters, of 22 A 1.1 times it
  it.each([[14.9, 'less'], [15.1, 'as-estimated'], [21.9, 'as-estimated'], [22.1, 'more']])('holds a stall of %d A against an estimate of 20 A: %s', (levelA, stallIs) => {
    expect(estimateEvidence([fitted(20, { stalls: [stall(3, 3.5, levelA)] })])).toMatchObject([{ code: 'stall-against-estimate', estimateA: 20, stallA: levelA, stallIs }]);
  });

  it('holds no stall against it that began at the start, or is only known to be at least so much', () => {
    expect(estimateEvidence([fitted(20, { stalls: [stall(1, 4, 10, { at: 'start' })] }), fitted(20, { stalls: [stall(3, 4, 10, { at_least: true })] })])).toEqual([]);
  });

  it('is the load as the middle share of the stall current: 4 of 8, 10 and 20 A', () => {
    expect(loadEvidence([fitted(8), fitted(10), fitted(20)], true)).toEqual([{ code: 'load', share: 0.4, loadIs: 'usual', isMotor: true }]);
    expect(loadEvidence([fitted(41)], true)).toMatchObject([{ loadIs: 'hardly-any' }]);
    expect(loadEvidence([fitted(6.6)], false)).toMatchObject([{ loadIs: 'hard', isMotor: false }]);
    expect(loadEvidence([press()], true)).toEqual([]);
  });

  it('is the winding of a motor that never ran: 12 V over 14 A are 0.857 ohm', () => {
    const supply = { open_v: 12.5, run_v: 12, source_ohm: 0.03, low_ohm: 0.02, high_ohm: 0.04 };
    const [found] = windingEvidence([press({ run: null, stalls: [stall(1, 4, 14, { at: 'start' })], supply })]);
    expect(found).toMatchObject({ code: 'winding', volts: 12, levelA: 14 });
    expect(found?.code === 'winding' ? found.ohm : 0).toBeCloseTo(0.857, 3);
    expect(windingEvidence([press({ stalls: [stall(3, 4, 14)], supply })])).toEqual([]);
  });

  it('is how often and how long contact was lost', () => {
    expect(lostContactEvidence(press({ dropouts: [{ start_s: 2, end_s: 2.25 }, { start_s: 3, end_s: 3.5 }] }))).toEqual({ code: 'lost-contact', atS: 1, times: 2, longestS: 0.5 });
  });

  it('is the worst bad segment, and in how many presses one was seen', () => {
    const bad = (share: number): ReturnType<typeof press> => press({ bad_commutation: { revolutions_per_s: 40, ripples_per_revolution: 10, depth_a: 4 * share, low_a: 3 * share, high_a: 5 * share, share, revolutions: 80 } });
    expect(segmentEvidence([bad(0.125), bad(0.25), press()])).toEqual([{ code: 'bad-segment', revolutions: 80, depthA: 1, lowA: 0.75, highA: 1.25, share: 0.25, presses: 2 }]);
  });

  it('is the deepest beat and the largest step of those that are suspect', () => {
    const beating = (depthA: number): ReturnType<typeof press> => press({ beat: { period_s: 0.4, depth_a: depthA, low_a: depthA / 2, high_a: 2 * depthA } });
    expect(suspicionEvidence({ code: 'beat', presses: [beating(1), beating(2)] }, null, true)).toMatchObject([{ code: 'beat', depthA: 2, lowA: 1 }]);
    const steps = [{ at_s: 2, change_a: 3, low_a: 2, high_a: 4 }, { at_s: 3, change_a: 5, low_a: 4, high_a: 6 }];
    expect(suspicionEvidence({ code: 'jam', presses: [press({ steps })] }, null, true)).toEqual([{ code: 'jam', atS: 3, changeA: 5 }]);
    expect(suspicionEvidence({ code: 'one-way', presses: [] }, { run_ratio: 0.25, duration_ratio: 1 }, true)).toEqual([{ code: 'one-way-harder', harder: 'reverse', ratio: 4 }]);
  });
});
