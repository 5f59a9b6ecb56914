import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { caseFileOf, type Case } from '../../../src/core/reason/case.ts';
import { CHECKS } from '../../../src/core/reason/checks.ts';
import { nextStep } from '../../../src/core/reason/next.ts';
import { readResult } from '../../../src/core/reason/read-result.ts';
import type { ObservationCode } from '../../../src/core/reason/table/table.ts';
import type { Moment, Point, Signs } from '../../../src/core/reason/types.ts';
import { whatIsLeft } from '../../../src/core/reason/weigh.ts';

const motor = (more: { signs?: Signs; seen?: ObservationCode[]; volts?: Partial<Record<Point, number>>; moment?: Moment } = {}): Case => ({
  test: 'actuation', signs: more.signs ?? {}, seen: (more.seen ?? []).map((observation) => ({ observation, trace: '1', said: '' })), readings: Object.entries(more.volts ?? {}).map(([point, v]) => ({ point: point as Point, v, while: more.moment ?? 'pressed' })),
});
const offered = (now: Case): string[] => CHECKS.filter((check) => check.test === now.test && check.open(now)).map(({ code }) => code).sort();
const isOffered = (code: string, now: Case): boolean => offered(now).includes(code);

describe('the checks that make sense', () => {
  it('with nothing known are the looks and readings that need nothing before them', () => {
    expect(offered(motor())).toEqual(['by-hand', 'feed-directly', 'fuse-volts', 'listen', 'look-at-fuse', 'motor-volts', 'other-side', 'record-press', 'rest', 'same-fuse', 'switch-volts', 'try-both-ways', 'watch-both-sides']);
    expect(offered({ ...motor(), test: 'drain' })).toEqual(['accessories', 'battery-test', 'charging-volts', 'record-night', 'rested-volts']);
  });

  it('behind a fuse that blows are only those without it', () => {
    expect(offered(motor({ signs: { 'blows-fuse': 'yes' } }))).toEqual(['by-hand', 'feed-directly', 'unplug-motor']);
  });

  it('where a trace shows that current flows leave fuse and feed alone', () => {
    for (const seen of ['ran', 'stalled', 'locked', 'heavy'] as const) for (const code of ['look-at-fuse', 'same-fuse', 'fuse-volts', 'switch-volts', 'feed-directly', 'motor-volts', 'record-press', 'listen']) expect(isOffered(code, motor({ seen: [seen] })), `${code} after ${seen}`).toBe(false);
    expect(offered(motor({ seen: ['ran'] }))).toEqual(['by-hand', 'other-side', 'try-both-ways', 'watch-both-sides']);
  });

  it('at volts without current are at the motor and its way back', () => {
    expect(offered(motor({ seen: ['dead'] }))).toEqual(['by-hand', 'feed-directly', 'other-side', 'rest', 'tap', 'way-back']);
    // the same from an ear and a meter
    expect(isOffered('tap', motor({ signs: { 'no-sound': 'yes' }, volts: { 'motor-plus': 12 } }))).toBe(true);
    for (const now of [motor({ signs: { 'no-sound': 'no' }, volts: { 'motor-plus': 12 } }), motor({ signs: { 'no-sound': 'yes' }, volts: { 'motor-plus': 8 } }), motor({ signs: { 'no-sound': 'yes' }, volts: { 'motor-plus': 12 }, moment: 'released' }), motor({ signs: { 'no-sound': 'yes' }, volts: { 'motor-minus': 12 } })]) expect(isOffered('tap', now)).toBe(false);
  });

  it('are none of the feed where more than 8 V reach the motor with the switch held', () => {
    for (const code of ['look-at-fuse', 'same-fuse', 'fuse-volts', 'switch-volts']) {
      expect([motor({ volts: { 'motor-plus': 8.1 } }), motor({ volts: { 'motor-plus': 8 } }), motor({ volts: { 'motor-plus': 12 }, moment: 'released' }), motor({ volts: { battery: 12 } }), motor({ seen: ['reverses-well'] })].map((now) => isOffered(code, now)), code).toEqual([false, true, true, true, false]);
    }
  });

  it.each([
    ['new-fuse', motor({ signs: { 'fuse-good': 'no' } }), motor({ signs: { 'fuse-good': 'yes' } })],
    ['wiggle', motor({ seen: ['intermittent'] }), motor({ seen: ['ran'] })],
    ['rest', motor({ seen: ['stalled-then-cut-out'] }), motor({ seen: ['stalled'] })],
    // current flowed until its own cut-out opened: fuse and feed carried it
    ['look-at-fuse', motor(), motor({ seen: ['stalled-then-cut-out'] })],
    ['switch-volts', motor(), motor({ seen: ['stalled-then-cut-out'] })],
    ['feed-directly', motor(), motor({ seen: ['stalled-then-cut-out'] })],
    ['listen', motor(), motor({ signs: { hums: 'no' } })],
    ['watch-both-sides', motor(), motor({ signs: { 'no-sound': 'yes' } })],
    ['watch-both-sides', motor({ signs: { 'no-sound': 'no' } }), motor({ seen: ['unpowered'] })],
    ['look-at-fuse', motor({ volts: { 'fuse-in': 12 } }), motor({ volts: { 'fuse-out': 12 } })],
    ['module-volts', motor({ volts: { 'switch-out': 12 } }), motor({ volts: { 'switch-in': 12 } })],
    ['module-volts', motor({ volts: { 'switch-out': 12 } }), motor({ volts: { 'switch-out': 12, 'module-out': 12 } })],
    ['way-back', motor({ seen: ['locked-on-full-volts'] }), motor({ seen: ['locked'] })],
    ['ground-volts', motor({ volts: { 'motor-minus': 0.11 } }), motor({ volts: { 'motor-minus': 0.1 } })],
    ['ground-volts', motor({ volts: { 'motor-minus': 6 } }), motor({ volts: { 'motor-minus': 6, ground: 0 } })],
    ['ground-volts', motor({ volts: { 'motor-minus': 6 } }), motor({ volts: { 'motor-minus': 0, 'motor-plus': 12 } })],
    ['drop-walk', motor({ seen: ['starved'] }), motor({ seen: ['starved'], volts: { 'motor-plus': 7 } })],
    ['drop-walk', motor({ seen: ['ran'], signs: { 'moves-a-little': 'yes' } }), motor({ seen: ['ran'], signs: { 'moves-a-little': 'no' } })],
    ['drop-walk', motor({ seen: ['intermittent'] }), motor({ signs: { 'moves-a-little': 'yes' } })],
    ['reversal', motor({ signs: { 'one-way-only': 'yes' } }), motor({ signs: { 'one-way-only': 'no' } })],
    ['uncouple', motor({ seen: ['locked'] }), motor({ seen: ['locked', 'alone-runs'] })],
    ['uncouple', motor({ seen: ['heavy'] }), motor({ seen: ['ran'] })],
    ['pull-fuses', { ...motor({ seen: ['steady-drain'] }), test: 'drain' as const }, { ...motor({ seen: ['asleep'] }), test: 'drain' as const }],
    ['refit', { ...motor({ seen: ['fuse-carries'] }), test: 'drain' as const }, { ...motor({ seen: ['no-fuse-carries'] }), test: 'drain' as const }],
  ])('%s: where there is reason for it, and not elsewhere', (code, yes, no) => {
    expect([isOffered(code, yes), isOffered(code, no)]).toEqual([true, false]);
  });

  it('are over when they were done, whatever came of them, and read no point twice', () => {
    const signs = fc.record({ 'moves-a-little': fc.constantFrom('yes' as const, 'no' as const), hums: fc.constantFrom('yes' as const, 'no' as const), 'one-way-only': fc.constantFrom('yes' as const, 'no' as const) }, { requiredKeys: [] });
    const seen = fc.uniqueArray(fc.constantFrom<ObservationCode>('dead', 'locked', 'starved', 'intermittent', 'heavy', 'stalled-then-cut-out', 'steady-drain', 'fuse-carries'), { maxLength: 2 });
    const volts = fc.dictionary(fc.constantFrom<Point>('battery', 'fuse-out', 'switch-out', 'motor-plus', 'motor-minus'), fc.constantFrom(0, 0.3, 7, 12.4), { maxKeys: 3 });
    fc.assert(fc.property(fc.constantFrom('actuation' as const, 'drain' as const), signs, seen, volts, (test, given, observations, readings) => {
      const now: Case = { ...motor({ signs: given, seen: observations, volts: readings }), test };
      for (const check of CHECKS.filter((one) => one.test === test && one.open(now))) {
        for (const { code, after } of check.outcomes) {
          const then = after(now);
          expect(check.open(then), `${check.code}: ${code}`).toBe(false);
          const points = then.readings.map(({ point, while: moment }) => `${point} ${moment}`);
          expect(new Set(points).size).toBe(points.length);
        }
      }
    }), { numRuns: 60 });
  });
});

describe('two pieces of evidence that cannot both hold', () => {
  it('leave, the one dropped, what the other leaves by itself', () => {
    const volts = { 'motor-plus': 12.4, 'motor-minus': 0.05, 'fuse-out': 12.4, 'switch-in': 12.4, 'switch-out': 12.4 };
    const now = motor({ signs: { 'blows-unplugged': 'yes' }, seen: ['dead'], volts });
    const step = nextStep(now, whatIsLeft(caseFileOf(now)))!;
    if (step.kind !== 'verify') throw new Error('nothing to verify');
    const openOf = (one: Case): string[] => {
      const { causes } = whatIsLeft(caseFileOf(one));
      const open = causes.filter(({ state }) => state === 'open');
      return (open.length > 0 ? open : causes.filter(({ state }) => state !== 'ruled-out')).map(({ cause }) => cause);
    };
    const without = step.pair.map(({ origin }): Case => {
      if (origin.kind === 'sign') return { ...now, signs: {} };
      if (origin.kind === 'result') return { ...now, seen: [] };
      return { ...now, readings: now.readings.filter(({ point }) => !origin.readings.some((read) => read.point === point)) };
    });
    // the first holds where the second is dropped
    expect(step.decides.map(({ leaves }) => leaves)).toEqual([openOf(without[1]!), openOf(without[0]!)]);
    expect(new Set(step.pair.map(({ origin }) => origin.kind)).size).toBe(2);
  });
});

describe('an analysis from outside', () => {
  const facts = (more: Record<string, unknown>) => {
    const read = readResult({ verdict: { finding: 'normal' }, ...more });
    if (typeof read === 'string') throw new Error(read);
    return read;
  };
  const press = (more: Record<string, unknown>) => facts({ actuations: [more] }).presses[0];

  it('gives the load as a share of the stall current, and the volts under load as a share of those without', () => {
    expect(press({ run: { median_a: 5 }, inrush: { fit: { standstill_a: 20 } }, supply: { open_v: 12, run_v: 9 } })).toMatchObject({ loadShare: 0.25, voltsShare: 0.75 });
    for (const wrong of [{ run: { median_a: '5' }, inrush: { fit: { standstill_a: 20 } } }, { run: { median_a: 5 }, inrush: { fit: { standstill_a: 0 } } }, { run: { median_a: 5 }, inrush: { fit: { standstill_a: '20' } } }, { run: null, inrush: null }]) expect(press(wrong)?.loadShare).toBeNull();
    for (const wrong of [{ supply: { open_v: 0, run_v: 9 } }, { supply: { open_v: 12 } }, { supply: { run_v: 9 } }, { supply: { open_v: '12', run_v: 9 } }]) expect(press(wrong)?.voltsShare).toBeNull();
  });

  it('counts no press that the recording cuts, and no field of another kind', () => {
    expect(facts({ actuations: [{ cut: 'end' }, null, 5, {}] }).presses).toHaveLength(1);
    expect(press({ stalls: [{ cut_out: true }] })).toMatchObject({ cutOut: true, lowCommutation: false, beats: false });
    expect(press({ events: [{ code: 'cut-out' }], bad_commutation: {}, beat: {} })).toMatchObject({ cutOut: true, lowCommutation: true, beats: true });
    expect(press({ stalls: [{ cut_out: 'yes' }], events: [{ code: 'slip' }], beat: [] })).toMatchObject({ cutOut: false, beats: false });
    expect([facts({ asymmetry: { run_ratio: 3 } }), facts({ asymmetry: { run_ratio: 0 } }), facts({ asymmetry: { run_ratio: -1 } }), facts({ asymmetry: { run_ratio: '3' } }), facts({})].map(({ runRatio }) => runRatio)).toEqual([3, null, null, null, null]);
    expect(facts({ verdict: { finding: 'normal', because: ['x'.repeat(301)], basis: 'limits' }, trace: { voltage_at: 'motor' }, uncoupled: true })).toMatchObject({ said: 'x'.repeat(300), basis: 'limits', voltageAt: 'motor', uncoupled: true, drain: null });
    expect(facts({ verdict: { finding: 'normal', because: [7], basis: 5 }, trace: { voltage_at: 'door' }, uncoupled: 'yes' })).toMatchObject({ said: '', basis: null, voltageAt: null, uncoupled: false });
  });

  it('of a night gives level, limit and fuses', () => {
    const night = (more: Record<string, unknown>) => facts({ verdict: { finding: 'drain' }, ...more }).drain;
    expect(night({ asleep: { level_a: 0.2 }, limit_a: 0.05, over_limit: true, wakeups: [1, 2], pulls: [{ label: 'F1', carries: true, low_a: -0.182, high_a: -0.178 }, { label: 7, carries: false }, { label: 'F3', carries: null }, null] })).toEqual({ asleepA: 0.2, limitA: 0.05, overLimit: true, wakeUps: 2, pulls: [{ label: 'F1', carries: true, carriedA: { lowA: 0.178, highA: 0.182 } }, { label: '', carries: false, carriedA: null }] });
    expect(night({ asleep: null, limit_a: '0.05', over_limit: null })).toEqual({ asleepA: null, limitA: 0, overLimit: null, wakeUps: 0, pulls: [] });
    expect(night({ over_limit: 'yes' })).toMatchObject({ overLimit: false });
  });
});
