import { describe, expect, it } from 'vitest';
import { caseFileOf } from '../../../src/core/reason/case.ts';
import { NO_EVIDENCE, readEvidence, readEvidenceChanges } from '../../../src/core/reason/job-evidence.ts';
import { observeReadings } from '../../../src/core/reason/observe-readings.ts';
import { observeResult } from '../../../src/core/reason/observe-results.ts';
import { momentOf, pointOf } from '../../../src/core/reason/points.ts';
import { proofOf } from '../../../src/core/reason/proof.ts';
import { readCase } from '../../../src/core/reason/read-case.ts';
import { readResult } from '../../../src/core/reason/read-result.ts';
import { readReversal } from '../../../src/core/reason/reversal.ts';
import type { Moment, Point } from '../../../src/core/reason/types.ts';
import { whatIsLeft } from '../../../src/core/reason/weigh.ts';
import { fuseTypeOf } from '../../../src/core/reference/blade-fuses.ts';

/** What every object has without having been given it: no word of a stranger may mean one of these. */
const INHERITED = ['constructor', 'toString', 'valueOf', 'hasOwnProperty', '__proto__', 'isPrototypeOf'];

describe('words from outside', () => {
  it.each(INHERITED)('"%s" names no finding, field, point, moment, fuse or sign', (word) => {
    expect(readResult({ verdict: { finding: word } })).toContain('which is none of');
    expect(readEvidenceChanges(JSON.parse(`{"${word}": {}}`))).toContain('is not a field');
    expect([pointOf(word), momentOf(word), fuseTypeOf(word)]).toEqual([null, null, null]);
    expect(readCase(JSON.parse(`{"test": "actuation", "signs": {"${word}": "yes"}}`))).toMatchObject({ ok: false });
    expect(readCase({ test: 'actuation', readings: [{ point: word, v: 12 }] })).toMatchObject({ ok: false });
    expect(readCase({ test: 'actuation', results: [{ verdict: { finding: word } }] })).toMatchObject({ ok: false });
  });
});

describe('evidence of a job from a page', () => {
  const AT = '2026-11-25T08:00:00Z';
  const lead = (changes: object = {}) => ({ a_v: 12, b_v: 0, current_a: null, ...changes });
  const fuse = (changes: object = {}) => ({ fuse_survey: { battery_a: null, fuses: [{ label: 'F1', type: 'ato', rating_a: 10, mv: 1, ohm: null, ...changes }] } });
  const walk = (changes: object = {}) => ({ walk: { current_a: 5, feed: { area_mm2: 1.5, length_m: 3 }, back: null, ...changes } });

  it.each([
    ['a test', { test: 'drain' }, { test: 'motor' }], ['no test', { test: null }, { test: 5 }],
    ['a sign', { signs: { hums: 'yes' } }, { signs: { hums: 'maybe' } }], ['words beside a sign', { sign_words: { hums: 'x' } }, { sign_words: { humms: 'x' } }],
    ['100 V', { readings: [{ point: 'battery', v: 100, while: 'pressed' }] }, { readings: [{ point: 'battery', v: 100.1 }] }], ['-100 V', { readings: [{ point: 'battery', v: -100, while: 'parked' }] }, { readings: [{ point: 'battery', v: -101 }] }],
    ['leads', { reversal: { forward: lead(), reverse: lead({ a_v: -100, b_v: 100, current_a: 1e4 }) } }, { reversal: { forward: lead(), reverse: lead({ a_v: 101 }) } }], ['no leads', { reversal: null }, { reversal: {} }],
    ['a fuse of 0.1 A', fuse({ rating_a: 0.1 }), fuse({ rating_a: 0.09 })], ['a fuse of 1000 A', fuse({ rating_a: 1000 }), fuse({ rating_a: 1001 })], ['100 V across a fuse', fuse({ mv: 1e5 }), fuse({ mv: 1.1e5 })],
    ['an unknown fuse with its ohm', fuse({ type: 'own', ohm: 1e-6 }), fuse({ type: 'own' })], ['1000 ohm', fuse({ ohm: 1000 }), fuse({ ohm: 1001 })],
    ['leads at -100 V', { reversal: { forward: lead({ b_v: -100, current_a: -1e4 }), reverse: lead() } }, { reversal: { forward: lead({ b_v: -101 }), reverse: lead() } }], ['10 kA', { reversal: { forward: lead({ current_a: 1e4 }), reverse: lead() } }, { reversal: { forward: lead({ current_a: 10_001 }), reverse: lead() } }],
    ['a battery that takes 10 kA', { fuse_survey: { battery_a: -1e4, fuses: [] } }, { fuse_survey: { battery_a: -10_001, fuses: [] } }], ['a battery that gives 10 kA', { fuse_survey: { battery_a: 1e4, fuses: [] } }, { fuse_survey: { battery_a: 10_001, fuses: [] } }], ['-100 V across a fuse', fuse({ mv: -1e5 }), fuse({ mv: -1.1e5 })],
    ['a micro-ohm', fuse({ ohm: 1e-6 }), fuse({ ohm: 0.9e-6 })], ['a walk without current', walk({ current_a: 0 }), walk({ current_a: 10_001 })], ['a thick wire', walk({ feed: { area_mm2: 500, length_m: 0.01 } }), walk({ feed: { area_mm2: 501, length_m: 1 } })], ['a short wire', walk({ feed: { area_mm2: 1, length_m: 0.01 } }), walk({ feed: { area_mm2: 1, length_m: 0.009 } })],
    ['a walk', walk(), walk({ current_a: -1 })], ['a thin wire', walk({ feed: { area_mm2: 0.05, length_m: 0.01 } }), walk({ feed: { area_mm2: 0.04, length_m: 1 } })], ['a long wire', walk({ back: { area_mm2: 500, length_m: 200 } }), walk({ back: { area_mm2: 500, length_m: 201 } })], ['no walk', { walk: null }, { walk: [] }],
    ['traces', { uncoupled: ['a'] }, { uncoupled: 'a' }], ['a thousand traces', { uncoupled: Array.from({ length: 1000 }, () => 'a') }, { uncoupled: Array.from({ length: 1001 }, () => 'a') }],
    ['a time of an answer', { answered: { hums: AT } }, { answered: { hums: 'today' } }], ['no times of answers', { answered: {} }, { answered: [] }],
    ['a repair', { repair: { cause: 'motor', part: 'p', work: 'w', at: AT } }, { repair: { cause: 'gremlins', part: '', work: '', at: AT } }], ['a repair at a time', { repair: { cause: null, part: '', work: '', at: '2026-11-25T08:00:00.5Z' } }, { repair: { cause: null, part: '', work: '', at: 'today' } }],
  ] as const)('%s is taken, and what lies next to it refused in words', (_what, within, beyond) => {
    const taken = readEvidenceChanges(within);
    expect(taken).toEqual(within);
    const refused = readEvidenceChanges(beyond);
    expect(typeof refused).toBe('string');
    expect(readEvidence(beyond as never)).toEqual({ evidence: NO_EVIDENCE, wrong: [refused] });
    expect(readEvidence(within as never)).toEqual({ evidence: { ...NO_EVIDENCE, ...within }, wrong: [] });
  });

  it('hides no mistake of the program behind a sentence about the page', () => {
    const broken = { get test(): never { throw new TypeError('a mistake'); } };
    expect(() => readEvidenceChanges(broken)).toThrow(TypeError);
    expect(() => readCase(broken)).toThrow(TypeError);
  });

  it('has its words trimmed and cut', () => {
    expect(readEvidenceChanges({ sign_words: { hums: '  loud  ', 'no-sound': ' ' } })).toEqual({ sign_words: { hums: 'loud' } });
    const { repair } = readEvidenceChanges({ repair: { cause: 'motor', part: 'x'.repeat(2001), work: '', at: AT } }) as { repair: { part: string } };
    expect(repair.part).toHaveLength(2000);
    expect(readEvidenceChanges({ repair: { cause: 'motor', part: 5, work: '', at: AT } })).toContain('repair.part must be text');
    expect(readEvidenceChanges(fuse({ label: ` ${'x'.repeat(81)} ` }))).toMatchObject({ fuse_survey: { fuses: [{ label: 'x'.repeat(80) }] } });
    for (const at of [`${AT}x`, `x${AT}`, [AT]]) expect(readEvidenceChanges({ repair: { cause: null, part: '', work: '', at } }), String(at)).toContain('repair.at');
    expect(readEvidenceChanges({ walk: { feed: undefined, back: { area_mm2: 1, length_m: 1 } } })).toEqual({ walk: { current_a: null, feed: null, back: { area_mm2: 1, length_m: 1 } } });
  });
});

describe('what a result says of the causes', () => {
  const codes = (document: Record<string, unknown>): string[] => {
    const result = readResult(document);
    if (typeof result === 'string') throw new Error(result);
    return observeResult(result, '1').map(({ observation }) => observation);
  };
  const motor = (finding: string, more: object = {}) => codes({ test: 'actuation', verdict: { finding }, ...more });
  const night = (finding: string, more: object = {}) => codes({ test: 'drain', verdict: { finding }, limit_a: 0.05, asleep: { level_a: 0.4 }, over_limit: true, ...more });
  const press = (runV: number | null, more: object = {}) => ({ ...(runV === null ? {} : { supply: { open_v: 10, run_v: runV } }), ...more });

  it.each([
    ['normal by limits', { test: 'actuation', verdict: { finding: 'normal', basis: 'limits' } }, 'ran-within-limits'], ['normal by known-good', { test: 'actuation', verdict: { finding: 'normal', basis: 'known-good' } }, 'ran-within-limits'],
    ['normal by itself', { test: 'actuation', verdict: { finding: 'normal', basis: 'itself' } }, 'ran-with-a-usual-load'], ['normal by nothing', { test: 'actuation', verdict: { finding: 'normal' } }, 'ran'],
  ])('%s', (_name, document, code) => {
    expect(codes(document)).toEqual([code]);
  });

  it('locked on full volts: four fifths of the open volts at the motor, in every press', () => {
    const locked = (volts: readonly (number | null)[], at: string | null = 'motor') => motor('locked', { trace: { voltage_at: at }, actuations: volts.map((v) => press(v)) });
    expect([locked([8, 9]), locked([7.9, 9]), locked([9, null]), locked([]), locked([9], 'battery')]).toEqual([['locked-on-full-volts'], ['locked'], ['locked'], ['locked'], ['locked']]);
  });

  it('stalled, starved and the plain ones', () => {
    expect(motor('stalled', { actuations: [press(null, { stalls: [{ cut_out: true }] })] })).toEqual(['stalled-then-cut-out']);
    expect(motor('stalled', { actuations: [press(null, { events: [{ code: 'cut-out' }] })] })).toEqual(['stalled-then-cut-out']);
    expect(motor('stalled', { actuations: [press(null, { events: [{ code: 'slip' }], stalls: [{}] })] })).toEqual(['stalled']);
    // a press that the recording cuts is no evidence
    expect(motor('stalled', { actuations: [press(null, { cut: 'end', stalls: [{ cut_out: true }] })] })).toEqual(['stalled']);
    expect([motor('starved', { trace: { voltage_at: 'battery' } }), motor('starved')]).toEqual([['starved-at-battery'], ['starved']]);
    for (const finding of ['heavy', 'light', 'intermittent', 'dead', 'unpowered']) expect(motor(finding)).toEqual([finding]);
    expect(motor('unclear')).toEqual([]);
  });

  it('suspect: by what most presses show', () => {
    const loads = (...runA: number[]) => motor('suspect', { actuations: runA.map((a) => ({ run: { median_a: a }, inrush: { fit: { standstill_a: 10 } } })) });
    expect([loads(0.99), loads(1), loads(6), loads(6.01)]).toEqual([['hardly-any-load'], ['ran-suspect'], ['ran-suspect'], ['hard-work']]);
    // one of two is not most
    expect([loads(0.5, 3), loads(0.5, 0.5, 3)]).toEqual([['ran-suspect'], ['hardly-any-load']]);
    const ratio = (value: number) => motor('suspect', { asymmetry: { run_ratio: value } });
    expect([ratio(2.5), ratio(2.49), ratio(0.4), ratio(0.41), ratio(-3)]).toEqual([['harder-one-way'], ['ran-suspect'], ['harder-one-way'], ['ran-suspect'], ['ran-suspect']]);
    expect(motor('suspect', { actuations: [{ beat: { period_s: 1 } }] })).toEqual(['tight-once-a-turn']);
    expect(motor('suspect', { actuations: [{ bad_commutation: {} }, {}, {}] })).toEqual(['low-commutation']);
  });

  it('a motor alone: it runs, does not turn, or runs hard', () => {
    const alone = (finding: string) => motor(finding, { uncoupled: true });
    expect(['normal', 'light', 'suspect', 'locked', 'stalled', 'heavy', 'dead', 'starved', 'unclear'].map(alone)).toEqual([['alone-runs'], ['alone-runs'], ['alone-runs'], ['alone-stands'], ['alone-stands'], ['alone-heavy'], ['dead'], ['starved'], []]);
  });

  it('a night: asleep, awake, waking, drained, and by which fuse', () => {
    const low = { asleep: { level_a: 0.05 }, over_limit: false };
    const wakes = (count: number) => ({ wakeups: Array.from({ length: count }, () => ({})) });
    expect([night('asleep', { ...low, ...wakes(2) }), night('asleep', { ...low, ...wakes(3) }), night('asleep', { over_limit: null })]).toEqual([['asleep'], ['asleep-but-wakes'], []]);
    expect([night('drain'), night('drain', low), night('waking'), night('waking', low), night('awake'), night('unclear')]).toEqual([['steady-drain'], ['drain-by-waking'], ['keeps-waking'], ['drain-by-waking'], ['still-awake'], []]);
    const pulls = (...carries: (boolean | null)[]) => ({ pulls: carries.map((one) => ({ label: 'F', carries: one })) });
    expect([night('drain', pulls(false, true)), night('drain', pulls(false, false, false)), night('drain', pulls(false, false, null)), night('drain', { ...low, ...pulls(true) })]).toEqual([
      ['steady-drain', 'fuse-carries'], ['steady-drain', 'no-fuse-carries'], ['steady-drain'], ['drain-by-waking'],
    ]);
    expect(night('asleep', { ...low, ...pulls(true) })).toEqual(['asleep']);
  });
});

describe('volts on the edge', () => {
  const says = (volts: Partial<Record<Point, number>>, moment: Moment = 'pressed'): string[] =>
    observeReadings(Object.entries(volts).map(([point, v]) => ({ point: point as Point, v, while: moment }))).evidence.map(({ observation }) => observation);

  it('of the battery: rested, running, and under load', () => {
    expect([12.6, 12.59, 12.21, 12.2].map((v) => says({ battery: v }, 'parked'))).toEqual([['rested-full'], [], [], ['rested-low']]);
    expect([13.19, 13.2, 15.5, 15.51].map((v) => says({ battery: v }, 'running'))).toEqual([['charges-too-little'], ['charges'], ['charges'], ['charges-too-much']]);
    expect([10.49, 10.5].map((v) => says({ battery: v }))).toEqual([['battery-low'], []]);
    expect([16, 16.01].map((v) => says({ battery: v }, 'running'))).toEqual([['charges-too-much'], ['charges-too-little']]);
  });

  it('of the way back: 0.2 V is good, above 0.5 V is lost (Cub Cadet SLTX1000, Kia Sportage 1997)', () => {
    const back = (minus: number, ground?: number) => says({ 'motor-plus': 12, 'motor-minus': minus, ...(ground === undefined ? {} : { ground }) }).filter((code) => code !== 'volts-at-motor-plus');
    expect([back(0.2), back(0.21), back(0.5), back(0.51)]).toEqual([['way-back-good'], [], [], ['volts-on-motor-minus']]);
    expect([back(3, 0.2), back(3, 0.21), back(3, 0.5), back(3, 0.51)]).toEqual([['lost-motor-to-ground'], ['volts-on-motor-minus'], ['volts-on-motor-minus'], ['volts-on-ground']]);
    expect([says({ 'motor-plus': 2, 'motor-minus': 0 }), says({ 'motor-plus': 2.01, 'motor-minus': 0 })].map((list) => list.includes('way-back-good'))).toEqual([false, true]);
  });

  it('of a section that keeps them: 0.5 V, while there are more than 2 V to lose', () => {
    const kept = (one: number, other: number) => says({ 'switch-in': one, 'switch-out': other }).includes('switch-keeps-volts');
    expect([kept(12, 11.5), kept(12, 11.49), kept(2, 2), kept(2.5, 2.01)]).toEqual([true, false, false, true]);
    expect(says({ 'module-in': 12, 'module-out': 11.8 })).toContain('module-keeps-volts');
    const wiring = { 'fuse-out': 12, 'switch-in': 12, 'switch-out': 12, 'motor-plus': 12 };
    expect(says(wiring)).toContain('feed-wiring-keeps-volts');
    expect(says({ ...wiring, 'motor-minus': 0.1 })).toContain('all-wiring-keeps-volts');
    expect([says({ ...wiring, 'motor-minus': 0.2 }), says({ ...wiring, 'motor-minus': 0.21 })].map((list) => list.filter((code) => code.endsWith('wiring-keeps-volts')))).toEqual([['all-wiring-keeps-volts'], ['feed-wiring-keeps-volts']]);
    expect(says({ ...wiring, 'module-in': 12 })).not.toContain('feed-wiring-keeps-volts');
  });

  it('of a feed: the section that loses most is named, by whichever ends were measured', () => {
    // 12.6 - 11.9 = 0.7 in the fuse, 11.9 - 10.2 = 1.7 in the switch: the larger, though the other is over 0.5 V too
    const lossy = { battery: 12.6, 'fuse-in': 12.6, 'fuse-out': 11.9, 'switch-in': 11.9, 'switch-out': 10.2 };
    expect(says(lossy)).toContain('lost-in-switch');
    expect(says({ ...lossy, 'fuse-out': 11, 'switch-in': 11 })).toContain('lost-in-fuse');
    // 0.5 V in a section is no loss, however little of the supply is left behind it
    expect(says({ 'fuse-out': 12.6, 'switch-in': 11.5, 'switch-out': 11 })).toEqual(['volts-at-fuse-out', 'lost-in-wiring', 'switch-keeps-volts']);
    // without the battery's own reading the supply is what a battery under load has at least, and 1 V for the way: 11.5
    expect([says({ 'switch-in': 10.5 }), says({ 'switch-in': 10.4 })]).toEqual([['volts-at-switch-in'], ['lost-in-fuse-or-wiring']]);
    // behind the fuse they say something, before it not
    expect([says({ battery: 12.6, 'fuse-in': 12.6 }), says({ battery: 12.6, 'fuse-out': 12.6 })]).toEqual([[], ['volts-at-fuse-out']]);
  });

  it('of one point: a volt apart is still one reading, the lower counts', () => {
    const read = (first: number, second: number) => observeReadings([{ point: 'battery', v: first, while: 'parked' }, { point: 'battery', v: second, while: 'parked' }]);
    expect(read(13, 12)).toMatchObject({ clash: null, evidence: [{ observation: 'rested-low' }] });
    expect(read(13.01, 12)).toMatchObject({ evidence: [], clash: [{ origin: { readings: [{ v: 12 }] } }, { origin: { readings: [{ v: 13.01 }] } }] });
  });
});

describe('both ways of a motor', () => {
  const turned = (forward: unknown, reverse: unknown) => readReversal({ forward, reverse });
  it('are read where both leads have their volts', () => {
    expect(turned({ a_v: 12, b_v: 0.1 }, { a_v: 0.1, b_v: 12 })).toEqual({ observation: 'reverses-well', trace: 'reversal', said: '12.0 and 0.1 V at the two leads one way, 0.1 and 12.0 V the other way' });
    for (const wrong of [null, {}, { a_v: 12 }, { a_v: '12', b_v: 0 }, { a_v: NaN, b_v: 0 }]) {
      expect(turned(wrong, { a_v: 0, b_v: 12 })).toContain('a_v and b_v');
      expect(turned({ a_v: 12, b_v: 0 }, wrong)).toContain('a_v and b_v');
    }
    expect(readReversal(null)).toContain('it must be');
  });
});

describe('a repair', () => {
  const seen = (...observations: string[]) => observations.map((observation) => ({ observation, trace: '1', said: '' }) as never);
  const left = whatIsLeft(caseFileOf({ test: 'actuation', signs: {}, seen: seen('dead'), readings: [] }));
  const proof = (cause: 'motor' | 'switch' | null, before: string[], after: string[], traces = 1) => proofOf(cause, { left, seen: seen(...before) }, { traces, seen: seen(...after) }).state;

  it('is proved by what works after, and only as far as that carries', () => {
    expect(proof('motor', ['dead'], [], 0)).toBe('not-tested');
    expect(proof('motor', ['dead'], [])).toBe('cannot-tell');
    expect(proof('motor', ['dead'], ['ran'])).toBe('confirmed');
    expect(proof('motor', ['heavy'], ['ran'])).toBe('cannot-tell');
    expect(proof('motor', ['heavy'], ['ran', 'ran-within-limits'])).toBe('confirmed');
    expect(proof('switch', ['dead'], ['ran'])).toBe('works-otherwise');
    expect(proof(null, ['dead'], ['ran'])).toBe('works');
    expect(proof('motor', ['dead'], ['ran', 'stalled'])).toBe('still-open');
  });
});
