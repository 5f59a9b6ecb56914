import { describe, expect, it } from 'vitest';
import { nextChecks } from '../../../../../src/core/analysis/motor/finding/next-checks.ts';
import { verdictOf } from '../../../../../src/core/analysis/motor/finding/verdict.ts';
import { suspicionEvidence } from '../../../../../src/core/analysis/motor/finding/press-evidence.ts';
import { placeEvidence } from '../../../../../src/core/analysis/motor/finding/travel-evidence.ts';
import { warmingEvidence } from '../../../../../src/core/analysis/motor/finding/feed-evidence.ts';
import { absoluteVolts } from '../../../../../src/core/analysis/motor/finding/absolute-volts.ts';
import { isStarved } from '../../../../../src/core/analysis/motor/finding/starved.ts';
import { loadShare, pressSuspicions, suspicionsOf } from '../../../../../src/core/analysis/motor/finding/suspicion.ts';
import type { PressReading } from '../../../../../src/core/analysis/motor/codes.ts';
import { facts, fitted, press, stall } from './readings.ts';

const SEGMENT = { revolutions_per_s: 40, ripples_per_revolution: 10, depth_a: 1, low_a: 0.8, high_a: 1.2, share: 0.25, revolutions: 80 };

describe('what to check next', () => {
  it('is the commutator first where a bad segment was seen and the motor still runs', () => {
    const bad = facts({ actuations: [press(), press({ bad_commutation: SEGMENT })] });
    for (const finding of ['suspect', 'heavy', 'light'] as const) expect(nextChecks(finding, 'limits', bad).slice(0, 2)).toEqual(['work-commutator', 'look-at-brushes']);
    for (const finding of ['stalled', 'locked', 'normal'] as const) expect(nextChecks(finding, 'limits', bad)).not.toContain('work-commutator');
    expect(nextChecks('heavy', 'limits', facts())).toEqual(['clean-and-lubricate', 'compare-directions', 'motor-alone-heavy']);
  });

  it('is to wait for a cut-out only where one opened', () => {
    const stalled = (cutOut: boolean) => nextChecks('stalled', 'itself', facts({ actuations: [press({ stalls: [stall(2, 3, 14, cutOut ? { cut_out: true } : {}), stall(3, 4, 14)] })] }));
    expect(stalled(true)).toEqual(['where-it-stood', 'wait-for-cut-out', 'clear-the-way', 'other-way']);
    expect(stalled(false)).toEqual(['where-it-stood', 'clear-the-way', 'other-way']);
  });

  it('is the lead at the motor where it is not there yet, and what it shows where it is', () => {
    const next = (finding: 'locked' | 'intermittent', place: 'motor' | 'battery') => nextChecks(finding, 'itself', facts({ place }));
    expect([next('locked', 'battery'), next('locked', 'motor')]).toEqual([['move-by-hand', 'motor-alone-runs', 'lead-to-motor'], ['move-by-hand', 'motor-alone-runs']]);
    expect([next('intermittent', 'battery').at(-1), next('intermittent', 'motor').at(-1)]).toEqual(['lead-to-motor', 'volts-in-breaks']);
  });

  it('is a larger range where every press was beyond it, and the switch-on where one was not', () => {
    const hidden = press({ finding: 'unclear', run: { ...press().run!, at_least: true } });
    expect(nextChecks('unclear', 'none', facts({ actuations: [hidden, hidden] }))[0]).toBe('larger-range');
    expect(nextChecks('unclear', 'none', facts({ actuations: [hidden, press({ finding: 'unclear' })] }))[0]).toBe('record-switch-on');
    // hidden is only what is unclear, and at the end of the range
    expect(nextChecks('unclear', 'none', facts({ actuations: [{ ...hidden, finding: 'normal' }] }))[0]).toBe('record-switch-on');
  });

  it('is to hold the switch longer where no press came to a run, and to record a whole one where too little was recorded', () => {
    expect(nextChecks('normal', 'none', facts({ actuations: [press({ run: null })] }))).toEqual(['hold-longer']);
    expect(nextChecks('normal', 'none', facts({ actuations: [press({ run: null }), press()] }))).not.toContain('hold-longer');
    expect(nextChecks('unclear', 'none', facts({ actuations: [], problems: [{ code: 'no-samples' }] }))).toEqual(['record-whole-press']);
  });
});

describe('why it cannot be told', () => {
  const because = (fields: Parameters<typeof facts>[0]) => verdictOf(facts(fields)).because[0];
  const unclear = press({ finding: 'unclear' });

  it('is the range, an edge that a heater makes as well, a motor that may have turned or stood, or one level', () => {
    const hidden = press({ finding: 'unclear', run: { ...press().run!, at_least: true } });
    expect(because({ actuations: [hidden] })).toEqual({ code: 'hidden-by-range', levelA: 4 });
    expect(because({ actuations: [unclear], sharpEdge: true })).toEqual({ code: 'sharp-edge' });
    expect(because({ actuations: [press({ finding: 'unclear', run: null }), { ...unclear, start_s: 7 }] })).toEqual({ code: 'stands-or-turns', atS: 7 });
    expect(because({ actuations: [unclear], kind: 'unknown' })).toEqual({ code: 'one-level' });
    expect(because({ actuations: [press({ finding: 'unclear', run: null })] })).toEqual({ code: 'one-level' });
  });

  it('is of several presses the one that is unclear', () => {
    const normal = press({ start_s: 1 });
    expect(because({ actuations: [normal, { ...unclear, start_s: 7 }], certain: false })).toEqual({ code: 'stands-or-turns', atS: 7 });
  });

  it('names the volts where there were any, and the sensor before all where it is what hides the presses', () => {
    expect(because({ actuations: [], hasVoltage: true, topV: 12.1 })).toEqual({ code: 'no-current', topV: 12.1 });
    expect(because({ actuations: [] })).toEqual({ code: 'no-current', topV: null });
    for (const problem of [{ code: 'ac-coupled' as const, timeConstantS: 1 }, { code: 'zeroed-under-current' as const, restsAtA: 2 }]) expect(because({ isUnusable: true, problems: [problem] })).toEqual({ code: 'problem', problem });
    // an odd sensor that hides nothing is no reason
    expect(because({ actuations: [unclear], problems: [{ code: 'clamp-off', times: 1 }] })).toEqual({ code: 'stands-or-turns', atS: 1 });
  });
});

describe('what the finding rests on', () => {
  it('is of three presses at the most, in their order', () => {
    const locked = [1, 6, 11, 16].map((start_s) => press({ start_s, end_s: start_s + 3, finding: 'locked', run: null, stalls: [stall(start_s, start_s + 3, 14, { at: 'start' })] }));
    const found = verdictOf(facts({ actuations: locked }));
    expect(found.because.filter(({ code }) => code === 'locked')).toEqual([1, 6, 11].map((atS) => ({ code: 'locked', atS, levelA: 14, atLeast: false, lastedS: 3 })));
  });

  it('is the winding of a locked motor where the lead is at it', () => {
    const locked = press({ finding: 'locked', run: null, stalls: [stall(1, 4, 14, { at: 'start' })], supply: { open_v: 12.5, run_v: 12, source_ohm: 0.03, low_ohm: 0.02, high_ohm: 0.04 } });
    const codes = (place: 'motor' | 'battery') => verdictOf(facts({ actuations: [locked], place, topV: 12.5, hasVoltage: true })).because.map(({ code }) => code);
    expect([codes('motor').includes('winding'), codes('battery').includes('winding')]).toEqual([true, false]);
    // and not of a press that was not locked
    const unclear = { ...locked, finding: 'unclear' as const, stalls: [stall(1, 4, 9, { at: 'start' })] };
    expect(verdictOf(facts({ actuations: [unclear, { ...locked, start_s: 6, end_s: 9 }], place: 'motor', topV: 12.5, hasVoltage: true })).because.find(({ code }) => code === 'winding')).toMatchObject({ levelA: 14 });
  });

  it('is the level beside the limits, a bound where the range ends below it', () => {
    const heavy = (at_least?: true) => verdictOf(facts({ actuations: [press({ finding: 'heavy', run: { ...press().run!, ...(at_least === undefined ? {} : { at_least }) } })], options: { runLimitsA: [1, 3] } })).because[0];
    expect([heavy(), heavy(true)]).toEqual([{ code: 'off-limits', atS: 1, levelA: 4, atLeast: false, limitsA: [1, 3] }, { code: 'off-limits', atS: 1, levelA: 4, atLeast: true, limitsA: [1, 3] }]);
  });

  it('is how many ran, from the least to the most, and that some were only started', () => {
    const at = (levelA: number) => press({ run: { ...press().run!, median_a: levelA } });
    expect(verdictOf(facts({ actuations: [at(5), at(3), at(4)] })).because[0]).toEqual({ code: 'ran', presses: 3, lowA: 3, highA: 5, limitsA: null, isMotor: true });
    expect(verdictOf(facts({ actuations: [press({ run: null })], kind: 'heater' })).because[0]).toEqual({ code: 'started', presses: 1, isMotor: false });
  });

  it('names of the presses that the recording cuts the first, and which end of it is missing', () => {
    const cut = (end: 'start' | 'end' | 'both') => verdictOf(facts({ actuations: [press({ cut: end, start_s: 0 }), press({ start_s: 6, end_s: 9 })] })).because.at(-1);
    expect([cut('start'), cut('end'), cut('both')]).toEqual(['start', 'end', 'end'].map((end) => ({ code: 'some-cut', presses: 1, atS: 0, end })));
  });

  it('is the load that was lost, by its own event', () => {
    const events = [{ code: 'spike' as const, atS: 1.5, sizeA: 30 }, { code: 'slip' as const, atS: 2, sizeA: 0.8 }];
    expect(suspicionEvidence({ code: 'lost-load', presses: [press(), press({ events })] }, null, true)).toEqual([{ code: 'lost-load', atS: 2, leftA: 0.8 }]);
    for (const presses of [[press()], [press({ events: events.slice(0, 1) })]]) expect(suspicionEvidence({ code: 'lost-load', presses }, null, true)).toEqual([]);
    expect(pressSuspicions(press({ events }), false)).toEqual(['lost-load']);
    expect(pressSuspicions(press({ events: events.slice(0, 1) }), false)).toEqual([]);
  });

  it('is the feed that warmed most', () => {
    const warmed = (from_ohm: number, to_ohm: number, start_s: number) => press({ start_s, feed_warmed: { from_ohm, to_ohm } });
    expect(warmingEvidence([warmed(0.1, 0.15, 1), press(), warmed(0.1, 0.2, 5), warmed(0.3, 0.35, 9)])).toEqual([{ code: 'feed-warms', atS: 5, fromOhm: 0.1, toOhm: 0.2 }]);
    expect(warmingEvidence([press()])).toEqual([]);
  });
});

describe('where it stood still', () => {
  const way = (turns: number, fields: Partial<PressReading> = {}): PressReading =>
    press({ stalls: [stall(3, 4, 13)], travel: { ripples: turns * 8, low_ripples: turns * 7, high_ripples: turns * 9, revolutions: turns, low_revolutions: turns - 1, high_revolutions: turns + 1 }, ...fields });
  const inRipples = (ripples: number): PressReading => way(1, { travel: { ripples, low_ripples: ripples, high_ripples: ripples, revolutions: null, low_revolutions: null, high_revolutions: null } });

  // a twentieth apart is the same place, a tenth another
  it('is one place by two presses, in turns or in ripples', () => {
    expect(placeEvidence([way(98), way(102)])).toEqual([{ code: 'stop-places', ways: [{ direction: 'forward', presses: 2, placeIs: 'same', unit: 'turns', mean: 100, low: 98, high: 102 }] }]);
    expect(placeEvidence([inRipples(90), inRipples(110)])).toEqual([{ code: 'stop-places', ways: [{ direction: 'forward', presses: 2, placeIs: 'different', unit: 'ripples', mean: 100, low: 90, high: 110 }] }]);
    expect(placeEvidence([inRipples(96), inRipples(104)])).toEqual([]);
  });

  it('is told of each direction by itself', () => {
    const found = placeEvidence([way(98), way(50, { direction: 'reverse' }), way(102), way(50, { direction: 'reverse' })]);
    expect(found).toMatchObject([{ ways: [{ direction: 'forward', mean: 100 }, { direction: 'reverse', mean: 50 }] }]);
  });

  it('is not told by a press that stood twice, stood from the start, or whose way is not known', () => {
    for (const other of [way(100, { stalls: [stall(2, 2.5, 13), stall(3, 4, 13)] }), way(100, { stalls: [stall(1, 4, 13, { at: 'start' })] }), way(100, { travel: null })]) expect(placeEvidence([way(100), other])).toEqual([]);
    // a stall at the start beside one on the way leaves one on the way
    expect(placeEvidence([way(100), way(100, { stalls: [stall(1, 1.2, 13, { at: 'start' }), stall(3, 4, 13)] })])).toHaveLength(1);
  });
});

describe('volts by themselves', () => {
  // a 12 V battery is a quarter full at 12.0 V or less (tables of battery.ts); ISO 16750-2, code D: 10.5 V
  it('are a flat battery\'s between presses, in the middle of what each press says, and of the highest reading where none does', () => {
    const rested = (...open: number[]) => absoluteVolts(facts({ place: 'battery', topV: 12.6, actuations: open.map((open_v) => press({ supply: { open_v, run_v: 11, source_ohm: 0.03, low_ohm: 0.02, high_ohm: 0.04 } })) }));
    expect(rested(11.2, 11.3, 12.6)).toMatchObject([{ code: 'flat-battery', restV: 11.3 }]);
    expect(rested(11.2, 12.6, 12.6)).toEqual([]);
    expect(absoluteVolts(facts({ place: 'battery', topV: 11.2 }))).toMatchObject([{ code: 'flat-battery', restV: 11.2 }]);
    // 3 V are no battery at all
    expect(absoluteVolts(facts({ place: 'battery', topV: 2.9 }))).toEqual([]);
  });

  it('are too low at a motor that ran, from nothing to what most equipment is made for', () => {
    const low = (feed_v: number, fields: Partial<PressReading> = {}, topV = 12.6) => absoluteVolts(facts({ place: 'motor', topV, actuations: [press({ feed_v, ...fields })] }));
    expect(low(10.4)).toEqual([{ code: 'low-run-volts', atS: 1, feedV: 10.4, fromV: 10.5 }]);
    expect([low(10.6), low(2.9), low(10.4, { run: null })]).toEqual([[], [], []]);
    // twice that at 24 V
    expect(low(20.9, {}, 25)).toEqual([{ code: 'low-run-volts', atS: 1, feedV: 20.9, fromV: 21 }]);
    expect(absoluteVolts(facts({ place: null, topV: 8, actuations: [press({ feed_v: 8 })] }))).toEqual([]);
  });

  it('are a starved motor\'s where more than half of them is lost at the switch-on, however well it then ran', () => {
    // 1 ohm at the least under 6 A: 6 V of 11.9 V, or of 12.1 V
    const started = (open_v: number) => isStarved({ ...fitted(7.5), feed_v: 11, supply: { open_v, run_v: 11, source_ohm: 1.1, low_ohm: 1, high_ohm: 1.2 } }, 12.5);
    expect([started(11.9), started(12.1)]).toEqual([true, false]);
    // a standing motor may lose 42 % of a charged battery's 12.5 V: 7.25 V
    expect([isStarved(press({ run: null, feed_v: 7.24 }), 12.5), isStarved(press({ run: null, feed_v: 7.26 }), 12.5)]).toEqual([true, false]);
  });
});

describe('the load by the standing current', () => {
  it('is none of a run that is only known to be at least so much, nor without a switch-on', () => {
    expect(loadShare(fitted(10))).not.toBeNull();
    expect([loadShare(fitted(10, { run: { ...press().run!, at_least: true } })), loadShare(fitted(10, { run: null })), loadShare(fitted(10, { inrush: null }))]).toEqual([null, null, null]);
    // a motor without a switch-on is no fan, and works as hard as it does: nothing to say
    expect(pressSuspicions(press(), false)).toEqual([]);
  });
});

describe('what most presses of a direction show', () => {
  it('is more than half of those that ran whole', () => {
    const hard = (fields: Partial<PressReading> = {}) => fitted(6, fields);
    const codes = (...actuations: PressReading[]) => suspicionsOf(actuations, null, false).map(({ code }) => code);
    expect([codes(hard(), press()), codes(hard(), hard(), press())]).toEqual([[], ['hard-work']]);
    // the other direction, a press that is cut and one without a run do not count
    expect(codes(hard(), press({ direction: 'reverse' }), press({ cut: 'end' }), press({ run: null }))).toEqual(['hard-work']);
  });
});
