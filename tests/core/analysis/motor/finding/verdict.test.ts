import { describe, expect, it } from 'vitest';
import { verdictOf } from '../../../../../src/core/analysis/motor/finding/verdict.ts';
import { facts, fitted, press, stall } from './readings.ts';

const codes = (fields: Parameters<typeof facts>[0]): { finding: string; basis: string; because: string[]; next: string[] } => {
  const { finding, basis, because, next } = verdictOf(facts(fields));
  return { finding, basis, because: because.map(({ code }) => code), next };
};

describe('the verdict of a motor test', () => {
  it('is normal by limits, by known-good limits, by itself or by nothing, and says which', () => {
    expect(codes({ options: { runLimitsA: [3, 5] } })).toMatchObject({ finding: 'normal', basis: 'limits', because: ['ran'], next: ['no-bad-part'] });
    expect(codes({ options: { runLimitsA: [3, 5], runLimitsFrom: 'known-good' } })).toMatchObject({ basis: 'known-good' });
    // 4 of 16 A: a quarter of the stall current, within a tenth and four tenths
    expect(codes({ actuations: [fitted(16)] })).toMatchObject({ finding: 'normal', basis: 'itself', because: ['ran', 'load'], next: ['no-bad-part-by-itself'] });
    expect(codes({})).toMatchObject({ finding: 'normal', basis: 'none', because: ['ran', 'unjudged'], next: ['type-in-limits', 'record-faster'] });
    // what the advice asks for is there already: it would send a person in circles
    expect(codes({ rateHz: 1000 })).toMatchObject({ next: ['type-in-limits'] });
    // 1000 readings as a resonator that runs 0.5 % slow sends them
    expect(codes({ rateHz: 995 })).toMatchObject({ next: ['type-in-limits'] });
    expect(codes({ rateHz: 990 })).toMatchObject({ next: ['type-in-limits', 'record-faster'] });
  });

  it('is stalled, not locked, where the motor ran and stalled in another press the same way: the locked one began against what stops it', () => {
    const locked = press({ finding: 'locked', run: null, inrush: null, stalls: [stall(1, 4, 14, { at: 'start' })] });
    const stalled = press({ start_s: 10, end_s: 14, finding: 'stalled', stalls: [stall(12, 14, 14)] });
    expect(codes({ actuations: [locked, press({ start_s: 6, end_s: 8, direction: 'reverse' }), stalled] })).toMatchObject({ finding: 'stalled' });
    expect(codes({ actuations: [stalled, { ...locked, start_s: 20, end_s: 22 }] })).toMatchObject({ finding: 'stalled' });
    // the other way round, or without a stall, nothing says that it can turn that way
    expect(codes({ actuations: [locked, { ...stalled, direction: 'reverse' }] })).toMatchObject({ finding: 'locked' });
    expect(codes({ actuations: [locked, press({ start_s: 6, end_s: 8 })] })).toMatchObject({ finding: 'locked' });
  });

  it('is suspect where the trace speaks against it: 4 of 5 A standing is hard work, 4 of 60 A hardly any', () => {
    expect(codes({ actuations: [fitted(5)] })).toMatchObject({ finding: 'suspect', basis: 'itself', because: ['ran', 'load'], next: ['compare-other-side', 'motor-alone'] });
    expect(codes({ actuations: [fitted(60)] })).toMatchObject({ finding: 'suspect' });
    // limits judge the load better than the motor's own standing current does
    expect(codes({ actuations: [fitted(5)], options: { runLimitsA: [3, 5] } })).toMatchObject({ finding: 'normal' });
  });

  it('is heavy or light by limits only, and names the press that is', () => {
    expect(codes({ actuations: [press({ finding: 'heavy' })], options: { runLimitsA: [1, 3] } })).toMatchObject({ finding: 'heavy', basis: 'limits', because: ['off-limits'] });
    expect(codes({ actuations: [press({ finding: 'light' })], options: { runLimitsA: [5, 6] } })).toMatchObject({ finding: 'light', next: ['watch-mechanism', 'clamp-on-one-wire'] });
  });

  it('puts a broken feed before a stall, a locked motor before a stall the other way, a weak feed before both', () => {
    const stalled = press({ finding: 'stalled', stalls: [stall(3, 3.5, 14)] });
    expect(codes({ actuations: [stalled, press({ finding: 'intermittent', dropouts: [{ start_s: 2, end_s: 2.1 }] })] }).finding).toBe('intermittent');
    expect(codes({ actuations: [stalled, press({ direction: 'reverse', finding: 'locked', run: null, stalls: [stall(1, 4, 14, { at: 'start' })] })] }).finding).toBe('locked');
    const sagging = press({ finding: 'stalled', stalls: [stall(3, 3.5, 14)], supply: { open_v: 12.5, run_v: 9, source_ohm: 0.8, low_ohm: 0.75, high_ohm: 0.85 } });
    expect(codes({ actuations: [sagging], place: 'motor' }).finding).toBe('starved');
  });

  it('does not call a motor locked that is pressed on against the stop it has just reached', () => {
    const atStop = press({ finding: 'stalled', stalls: [stall(3, 3.95, 14)] });
    const pressedOn = press({ start_s: 5, end_s: 6, finding: 'locked', run: null, stalls: [stall(5, 6, 14, { at: 'start' })] });
    expect(codes({ actuations: [atStop, pressedOn] }).finding).toBe('stalled');
    expect(codes({ actuations: [atStop, { ...pressedOn, direction: 'reverse' }] }).finding).toBe('locked');
  });

  it('cannot tell by presses that the recording cuts, and says so', () => {
    expect(codes({ actuations: [press({ cut: 'both' })] })).toMatchObject({ finding: 'unclear', basis: 'none', because: ['all-cut'] });
    expect(codes({ actuations: [press({ cut: 'start' }), press({ start_s: 6, end_s: 8 })] })).toMatchObject({ finding: 'normal', because: ['ran', 'unjudged', 'some-cut'] });
  });

  it('cannot tell by a clamp that passes no direct current, nor where loads went unseen as often as seen', () => {
    expect(codes({ isUnusable: true, problems: [{ code: 'ac-coupled', timeConstantS: 1 }] })).toMatchObject({ finding: 'unclear', because: ['problem'] });
    expect(codes({ unseenLoads: 1, problems: [{ code: 'clamp-off', times: 1 }] })).toMatchObject({ finding: 'unclear', because: ['problem'] });
    expect(codes({ actuations: [press(), press({ start_s: 5, end_s: 8 })], unseenLoads: 1 }).finding).toBe('normal');
  });

  it('tells dead from unpowered by the volts, and neither without them', () => {
    expect(codes({ actuations: [], deadPresses: 2, hasVoltage: true, topV: 12.1 })).toMatchObject({ finding: 'dead', because: ['dead'], next: ['motor-ground', 'motor-connector', 'motor-resistance'] });
    expect(codes({ actuations: [], hasVoltage: true, topV: 0.4 })).toMatchObject({ finding: 'unpowered', next: ['fuse-and-ignition', 'up-the-circuit'] });
    expect(codes({ actuations: [] })).toMatchObject({ finding: 'unclear', because: ['no-current'], next: ['clamp-and-range', 'lead-and-press'] });
    expect(codes({ actuations: [], problems: [{ code: 'too-short', samples: 3, durationS: 0.01 }] })).toMatchObject({ finding: 'unclear', because: ['problem'], next: ['record-whole-press'] });
  });

  it('asks for the unit before anything else', () => {
    expect(codes({ problems: [{ code: 'implausible-unit', peakA: 3400 }] }).next[0]).toBe('check-unit');
    expect(codes({ problems: [{ code: 'implausible-voltage', topV: 120, tooHigh: true }] }).next[0]).toBe('check-voltage-channel');
  });
});
