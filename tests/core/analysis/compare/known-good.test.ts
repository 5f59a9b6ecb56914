import { describe, expect, it } from 'vitest';
import { checkKnownGood, checkKnownGoodFile } from '../../../../src/core/analysis/compare/known-good/check.ts';
import { KNOWN_GOOD_LIST_SCHEMA, KNOWN_GOOD_SCHEMA, knownGoodLimits, placeAgainst, runLimitsOf, type KnownGood, type KnownGoodLimit } from '../../../../src/core/analysis/compare/known-good/known-good.ts';
import type { Actuation } from '../../../../src/core/analysis/results.ts';
import { actuation, actuationResult } from '../../report/examples.ts';

/** A press that runs at this, good to 50 mA at 95 %. */
const running = (medianA: number, some: Partial<Actuation> = {}, atLeast = false): Actuation =>
  actuation({ inrush: null, run: { start_s: 1.2, end_s: 3.9, median_a: medianA, low_a: medianA - 0.05, high_a: medianA + 0.05, spread_a: 0.2, slope_a_per_s: 0, ...(atLeast ? { at_least: true } : {}) }, ...some });
const stalled = (levelA: number): Actuation => actuation({ inrush: null, run: null, stalls: [{ start_s: 1, end_s: 2, level_a: levelA, at: 'travel' }] });
const limit = (low: number, high: number, some: Partial<KnownGoodLimit> = {}): KnownGoodLimit => ({ direction: 'forward', metric: 'run_a', low, high, traces: 5, coverage: 0.95, confidence: 0.95, method: 'normal', ...some });
const known = (...limits: KnownGoodLimit[]): KnownGood => ({ schema: KNOWN_GOOD_SCHEMA, circuit: 'step', limits, problems: [] });
const place = (presses: Actuation[], ...limits: KnownGoodLimit[]) => placeAgainst(known(...limits), actuationResult(presses, 'normal'));

describe('a figure against limits of good ones', () => {
  it('lies inside, or above or below by so much, also as a share of the limit it passed', () => {
    expect(place([running(6)], limit(3, 5))).toEqual([
      { direction: 'forward', metric: 'run_a', value: 6, low_value: expect.closeTo(5.95, 9), high_value: expect.closeTo(6.05, 9), low: 3, high: 5, place: 'above', beyond: 1, beyond_share: 0.2, certain: true },
    ]);
    expect(place([running(2.25)], limit(3, 5))[0]).toMatchObject({ place: 'below', beyond: 0.75, beyond_share: 0.25 });
    expect([3, 4, 5].map((value) => place([running(value)], limit(3, 5))[0])).toMatchObject(Array.from({ length: 3 }, () => ({ place: 'inside', beyond: 0, beyond_share: 0 })));
    expect(place([running(1)], limit(-1, 0))[0]).toMatchObject({ place: 'above', beyond: 1, beyond_share: 0 });
    expect(place([running(-2)], limit(-1, 0))[0]).toMatchObject({ place: 'below', beyond_share: 1 });
  });

  it('is certain where its own bounds hold no limit', () => {
    expect([2.94, 2.96, 3.04, 3.06, 4.94, 4.96, 5.04, 5.06].map((value) => place([running(value)], limit(3, 5))[0]!.certain)).toEqual([true, false, false, true, true, false, false, true]);
    // without bounds nothing is
    expect(place([stalled(20)], limit(3, 5, { metric: 'stall_a' }))[0]).toMatchObject({ value: 20, low_value: null, high_value: null, place: 'above', certain: false });
  });

  it('of a reading at the end of the sensor\'s range may be any larger one', () => {
    const open = (value: number) => place([running(value, {}, true)], limit(3, 5))[0];
    expect([open(4), open(5.2), open(2.5)]).toMatchObject([{ place: 'inside', certain: false, high_value: null }, { place: 'above', certain: true, high_value: null }, { place: 'below', certain: false }]);
    // one of two is enough
    expect(place([running(4), running(4, {}, true)], limit(3, 5))[0]!.high_value).toBeNull();
  });

  it('is the mean over the presses of its way, with Student\'s bounds', () => {
    // 6 and 6.2 A: mean 6.1, scatter 0.141421 over the root of two, t of one degree 12.7062
    const [both] = place([running(6), running(6.2), running(99, { direction: 'reverse' })], limit(3, 5));
    expect(both).toMatchObject({ value: expect.closeTo(6.1, 9), low_value: expect.closeTo(6.1 - 1.27062, 4), certain: false });
  });

  it('comes first where it is outside, the farthest of these before the others', () => {
    const all = place([running(6), stalled(8)], limit(3, 7), limit(1, 4, { metric: 'stall_a' }), limit(3, 5), limit(1, 2, { metric: 'no_such' }), limit(1, 2, { metric: 'ripple_hz' }), limit(1, 2, { direction: 'reverse' }));
    expect(all.map(({ metric, place: where, beyond_share: share }) => `${metric} ${where} ${share}`)).toEqual(['stall_a above 1', 'run_a above 0.2', 'run_a inside 0']);
    // also where the limit it passed is none, so that nothing is a share of it
    expect(place([running(1)], limit(0, 3), limit(-1, 0)).map(({ place: where }) => where)).toEqual(['above', 'inside']);
  });
});

describe('limits learnt from good ones', () => {
  const learnt = (...traces: Actuation[][]) => knownGoodLimits('step', traces.map((presses) => actuationResult(presses, 'normal')));

  it('are a fifth to either side of a single one, whose presses count once', () => {
    expect(learnt([running(4), running(6), running(99, { cut: 'end' })]).limits.find(({ metric }) => metric === 'run_a')).toEqual({ direction: 'forward', metric: 'run_a', low: expect.closeTo(4, 12), high: expect.closeTo(6, 12), traces: 1, coverage: 0, confidence: 0, method: 'single' });
  });

  it('are of what the mechanism decides, in each way, and never below zero', () => {
    const { limits } = learnt([running(1)], [running(5), running(4, { direction: 'reverse' })]);
    expect(limits.map(({ direction, metric }) => `${direction} ${metric}`)).toEqual(['forward run_a', 'forward moving_s', 'reverse run_a', 'reverse moving_s']);
    // mean 3 A, deviation 2.83 A
    expect(limits[0]).toMatchObject({ low: 0, traces: 2 });
    expect(limits[0]!.high).toBeGreaterThan(5);
  });

  it('say from how few they come', () => {
    const problems = (count: number) => learnt(...Array.from({ length: count }, () => [running(4)])).problems;
    expect([0, 1, 2, 4, 5].map(problems)).toEqual([[{ problem: 'few-traces', code: 'single', traces: 0, share: 0.2 }], [{ problem: 'few-traces', code: 'single', traces: 1, share: 0.2 }], [{ problem: 'few-traces', code: 'few', traces: 2 }], [{ problem: 'few-traces', code: 'few', traces: 4 }], []]);
  });

  it('give a running range that holds both ways', () => {
    expect(runLimitsOf(known(limit(3, 5), limit(2, 4, { direction: 'reverse' }), limit(1, 9, { metric: 'stall_a' })))).toEqual([2, 5]);
    expect([runLimitsOf(known(limit(-1, 4))), runLimitsOf(known(limit(1, 2, { metric: 'stall_a' })))]).toEqual([[0, 4], null]);
  });
});

describe('a file of limits', () => {
  const file = (some: object) => checkKnownGood({ schema: KNOWN_GOOD_SCHEMA, circuit: ' step ', limits: [limit(3, 5)], ...some });
  const LONG = 'x'.repeat(201);

  it('is read with what it says, and no more', () => {
    expect(file({ vehicle_type: ' van ', place: '', note: 'x', problems: [1] })).toEqual({ schema: KNOWN_GOOD_SCHEMA, circuit: 'step', vehicle_type: 'van', limits: [limit(3, 5)], problems: [] });
    expect(file({ circuit: LONG, place: 5 })).toEqual({ schema: KNOWN_GOOD_SCHEMA, circuit: 'x'.repeat(200), limits: [limit(3, 5)], problems: [] });
    const bare = { direction: 'reverse', metric: 'x'.repeat(200), low: 0, high: 0 };
    expect(file({ limits: [{ ...bare, traces: 'many', method: 'guessed' }] })).toMatchObject({ limits: [{ ...bare, traces: 0, coverage: 0, confidence: 0, method: 'typed' }] });
  });

  it('is refused with the place of the limit that is broken', () => {
    const broken = [null, { ...limit(3, 5), direction: 'up' }, { ...limit(3, 5), metric: 5 }, { ...limit(3, 5), metric: LONG }, { ...limit(3, 5), metric: [] }, { ...limit(3, 5), low: Infinity }, { ...limit(3, 5), high: '5' }, limit(5, 3)];
    for (const one of broken) expect(file({ limits: [limit(3, 5), one] })).toContain('2');
    expect(file({ limits: [limit(5, 3), limit(3, 5)] })).toContain('1');
    for (const none of [null, undefined, {}, { schema: 'other', limits: [] }, { schema: KNOWN_GOOD_SCHEMA }]) expect(checkKnownGood(none)).toContain(KNOWN_GOOD_SCHEMA);
  });

  it('of typed currents has the limits that follow from these, of both ways', () => {
    const usual = { run_a: [3, 5], stall_a: null, inrush_peak_a: [10, 20] };
    expect(file({ usual, limits: 'anything' })).toEqual({
      schema: KNOWN_GOOD_SCHEMA, circuit: 'step', usual: { ...usual, asleep_a: null }, problems: [],
      limits: (['forward', 'reverse'] as const).flatMap((direction) => [['run_a', 3, 5], ['inrush_peak_a', 10, 20]].map(([metric, low, high]) => ({ direction, metric, low, high, traces: 0, coverage: 0, confidence: 0, method: 'typed' }))),
    });
    expect(file({ usual: { asleep_a: [0, 0.05] } })).toMatchObject({ limits: [] });
    const refused = [{ run_a: [5, 3] }, { run_a: [3, 3] }, { run_a: [-1, 3] }, { run_a: [1] }, { run_a: [1, 2, 3] }, { run_a: [1, Infinity] }, { run_a: ['1', 2] }, { run_a: [1, '2'] }, { run_a: 4 }, {}, { run_a: null }, null, 'x'];
    expect(refused.map((bad) => typeof file({ usual: bad }))).toEqual(refused.map(() => 'string'));
  });

  it('may hold several circuits, of which one that is broken is named by its place', () => {
    const one = { schema: KNOWN_GOOD_SCHEMA, circuit: 'step', limits: [limit(3, 5)] };
    const list = (sets: unknown) => checkKnownGoodFile({ schema: KNOWN_GOOD_LIST_SCHEMA, sets });
    expect(list([one, { ...one, circuit: 'winch' }])).toEqual([known(limit(3, 5)), { ...known(limit(3, 5)), circuit: 'winch' }]);
    expect(checkKnownGoodFile(one)).toEqual([known(limit(3, 5))]);
    expect(list([one, one, {}])).toContain('3');
    expect([list([]), list('x'), checkKnownGoodFile(null)].map((said) => typeof said)).toEqual(['string', 'string', 'string']);
  });
});
