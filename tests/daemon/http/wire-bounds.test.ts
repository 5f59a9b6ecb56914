import { describe, expect, it } from 'vitest';
import { check, parsePageMessage } from '../../../src/daemon/http/wire-check.ts';

type Take = (value: unknown) => { readonly ok: boolean };

const message = (of: (value: unknown) => object): Take => (value) => parsePageMessage(JSON.stringify(of(value)));
const actuation = (name: string): Take => (value) => check.options.actuation({ [name]: value });
const drain = (name: string): Take => (value) => check.options.drain({ [name]: value });
const wire = (name: string): Take => (value) => check.options.actuation({ wire: { areaMm2: 1, lengthM: 1, temperatureC: 1, [name]: value } });
const settings = (name: string): Take => message((value) => ({ type: 'test', settings: { test: 'drain', actuation: {}, drain: {}, jobId: null, title: '', [name]: value } }));
const ARM = { startOn: { kind: 'now' }, beforeS: 0, stopAfterS: null, stopAfterBytes: null, stopWhenAsleep: false };
const arm = (name: string): Take => message((value) => ({ type: 'arm', arm: { ...ARM, [name]: value } }));
const startOn = (kind: string, name: string): Take => message((value) => ({ type: 'arm', arm: { ...ARM, startOn: { kind, [name]: value } } }));
const mark = (name: string): Take => message((value) => ({ type: 'mark', kind: 'stretch', label: '', [name]: value }));
const JOB = { depot: '', vehicle: '', complaint: '', circuit: '', fuse_rating_a: null, technician: '', note: '' };
const job = (name: string): Take => (value) => check.jobFields({ ...JOB, [name]: value });
const CALIBRATION = { channel: 'current', by: '', temperature_c: null, due_days: null, zero_before: null, zero_after: null, zero_scatter: null, zero_hours: null, points: [], shunt: null, part: null };
const calibration = (name: string): Take => (value) => check.newCalibration({ logger: 'bench', calibration: { ...CALIBRATION, [name]: value } });
const point = (name: string): Take => (value) => calibration('points')([{ applied: 1, read: 1, tolerance_percent: 1, [name]: value }]);
const shunt = (name: string): Take => (value) => calibration('shunt')({ reckoned_ohm: 1, ohm: 1, class_percent: 1, [name]: value });
const storedMark = (name: string): Take => (value) => check.newMark({ time_s: -1, end_s: 2_678_400, kind: 'stretch', label: '', [name]: value });
const window = (name: string): Take => (value) => check.window({ from: '-2678400', to: '1e9', columns: '1', [name]: String(value) });
const times = (count: number, entry: object): object[] => Array.from({ length: count }, () => entry);
const REF = { jobId: 'unfiled', traceId: 'a' };
const CIRCUIT = { circuit: 'step', vehicle_type: '', place: '', usual: { run_a: [3, 5], stall_a: null, inrush_peak_a: null, asleep_a: null } };
const usual = (value: unknown): { ok: boolean } => check.typedCircuit({ ...CIRCUIT, usual: { run_a: value, stall_a: null, inrush_peak_a: null, asleep_a: null } });

/** The least and the most that can be meant at all (wire-check.ts): 31 days (2,678,400 s), 10 kA, a tebibyte, and colder and hotter than any workshop. */
const NUMBERS: readonly [name: string, take: Take, least: number, most: number][] = [
  ['zeroUncertaintyA', actuation('zeroUncertaintyA'), 0, 10_000],
  ['zeroDriftAPerHour', actuation('zeroDriftAPerHour'), 0, 10_000],
  ['zeroTemperatureA', actuation('zeroTemperatureA'), 0, 10_000],
  ['flagLimitA', actuation('flagLimitA'), 0, 10_000],
  ['fuseRatingA', actuation('fuseRatingA'), 0, 10_000],
  ['gainUncertaintyPercent', actuation('gainUncertaintyPercent'), 0, 100],
  ['voltageGainPercent', actuation('voltageGainPercent'), 0, 100],
  ['flagHoldS', actuation('flagHoldS'), 0, 2_678_400],
  ['commutationsPerRevolution', actuation('commutationsPerRevolution'), 1, 1000],
  ['wire temperature', wire('temperatureC'), -60, 200],
  ['settlingS', drain('settlingS'), 0, 2_678_400],
  ['limitA', drain('limitA'), 0, 10_000],
  ['restedV', drain('restedV'), 0, 100],
  ['temperatureC', drain('temperatureC'), -60, 100],
  ['level that starts', startOn('level', 'levelA'), -10_000, 10_000],
  ['slope that starts', startOn('slope', 'slopeAPerS'), -1e9, 1e9],
  ['seconds before', arm('beforeS'), 0, 600],
  ['time of a live mark', mark('atS'), -2_678_400, 1e9],
  ['end of a live stretch', mark('endS'), -2_678_400, 1e9],
  ['odometer', job('odometer_km'), 0, 1e8],
  ['fuse of a job', job('fuse_rating_a'), 0, 10_000],
  ['temperature of a calibration', calibration('temperature_c'), -60, 90],
  ['days until it is due', calibration('due_days'), 1, 36_500],
  ['zero before', calibration('zero_before'), -10_000, 10_000],
  ['zero after', calibration('zero_after'), -10_000, 10_000],
  ['scatter of the zero', calibration('zero_scatter'), 0, 10_000],
  ['applied', point('applied'), -10_000, 10_000],
  ['tolerance of a point', point('tolerance_percent'), 0, 100],
  ['class of a shunt', shunt('class_percent'), 0, 100],
  ['time of a stored mark', storedMark('time_s'), -1, 2_678_399],
  ['tolerance of a comparison', (value) => check.comparison({ before: REF, after: REF, tolerance: value }), 0, 1],
  ['tolerance of a report', (value) => check.tolerance(String(value)), 0, 1],
  ['start of a window', window('from'), -2_678_400, 999_999_999],
  ['end of a window', window('to'), -2_678_399, 1e9],
  ['columns of a window', window('columns'), 1, 16_384],
  ['start of a span', (value) => check.span({ from: String(value), to: '1e9' }), -1e9, 999_999_999],
  ['end of a span', (value) => check.span({ from: '-1e9', to: String(value) }), -999_999_999, 1e9],
];

/** Above zero, and up to. */
const POSITIVE: readonly [name: string, take: Take, most: number][] = [
  ['wire area', wire('areaMm2'), 1000], ['wire length', wire('lengthM'), 1000], ['full scale', actuation('fullScaleA'), 10_000], ['bandwidth', actuation('sensorBandwidthHz'), 1e7],
  ['battery', drain('batteryAh'), 10_000], ['reserve', drain('reserveCapacityMin'), 10_000], ['thinning', settings('thinA'), 10_000], ['zero error', settings('zeroErrorA'), 10_000],
  ['seconds until the stop', arm('stopAfterS'), 2_678_400], ['bytes until the stop', arm('stopAfterBytes'), 2 ** 40],
  ['hours of a zero', calibration('zero_hours'), 10_000], ['reckoned shunt', shunt('reckoned_ohm'), 1e6], ['shunt', shunt('ohm'), 1e6],
];

/** Least and most characters; `trimmed`: blanks around it do not count. */
const TEXTS: readonly [name: string, take: Take, least: number, most: number, trimmed?: boolean][] = [
  ['title of a test', settings('title'), 0, 200], ['label of a mark', (value) => check.newMark({ time_s: 0, kind: 'pull', label: value }), 0, 200],
  ['key', message((value) => ({ type: 'join', protocol: 1, token: value })), 0, 200],
  ['source', message((value) => ({ type: 'source', do: 'choose', spec: value })), 1, 1000],
  ['vehicle', job('vehicle'), 0, 200], ['complaint', job('complaint'), 0, 2000], ['note of a job', job('note'), 0, 2000], ['customer', job('customer'), 0, 200],
  ['logger', (value) => check.loggerName(value), 1, 200],
  ['circuit of a set', (value) => check.knownGood({ circuit: value, traces: [REF] }), 1, 200],
  ['circuit typed in', (value) => check.typedCircuit({ ...CIRCUIT, circuit: value }), 1, 200, true],
  ['heading', (value) => check.heading({ heading: value }), 0, 500],
  ['note', (value) => check.newNote({ text: value }), 1, 4000, true],
  ['caption', (value) => check.photoChange({ caption: value }), 0, 200],
  ['time zone', (value) => check.timeZone(value), 1, 64],
  ['tablet', (value) => check.device({ name: value, access: 'view' }), 1, 60, true],
  ['port', (value) => check.port({ path: value }), 1, 1000],
  ['id', (value) => check.id(value), 1, 120],
];

describe('a number that a page sends', () => {
  it.each(NUMBERS)('%s is taken from the least to the most that can be meant, and not beyond', (_name, take, least, most) => {
    // a millionth of its size beyond, so that the first digits decide nothing
    const beyond = (value: number): number => Math.max(1, Math.abs(value)) * 1e-6;
    expect([least - beyond(least), least, most, most + beyond(most)].map((value) => take(value).ok)).toEqual([false, true, true, false]);
    expect(take('1e').ok).toBe(false);
  });

  it.each(POSITIVE)('%s is more than nothing, and at most what can be meant', (name, take, most) => {
    const least = name.startsWith('bytes') ? 1 : 1e-9;
    expect([-least, 0, least, most, most * (1 + 1e-6)].map((value) => take(value).ok)).toEqual([false, false, true, true, false]);
  });

  it('is whole where it counts', () => {
    for (const take of [actuation('commutationsPerRevolution'), calibration('due_days'), arm('stopAfterBytes'), window('columns')]) expect([take(2).ok, take(2.5).ok]).toEqual([true, false]);
  });
});

describe('a text that a page sends', () => {
  it.each(TEXTS)('%s is as long as it may be, and not longer', (_name, take, least, most, trimmed = false) => {
    const lengths = [least - 1, least, most, most + 1].filter((length) => length >= 0);
    expect(lengths.map((length) => take('x'.repeat(length)).ok)).toEqual(lengths.map((length) => length >= least && length <= most));
    expect(take(7).ok).toBe(false);
    if (trimmed) expect([take('   ').ok, take(`  ${'x'.repeat(most)}  `).ok]).toEqual([false, true]);
  });

  it('that names what a ticket opens begins like the API', () => {
    const path = (length: number): string => `/api/${'x'.repeat(length - 5)}`;
    expect(['/api/', path(2000), path(2001), '/app/x', 'http://127.0.0.1/api/', ''].map((value) => check.ticket({ path: value }).ok)).toEqual([true, true, false, false, false, false]);
  });
});

describe('a range that a page sends', () => {
  it.each([
    ['limits of a run', (low: number, high: number) => check.options.actuation({ runLimitsA: [low, high] }).ok],
    ['usual currents', (low: number, high: number) => usual([low, high]).ok],
    ['a window', (from: number, to: number) => check.window({ from: `${from}`, to: `${to}`, columns: '1' }).ok],
    ['a span', (from: number, to: number) => check.span({ from: `${from}`, to: `${to}` }).ok],
    ['a measured stretch', (from: number, to: number) => check.newMark({ time_s: from, end_s: to, kind: 'stretch', label: '' }).ok],
  ])('%s has its lower end first, and is not empty', (_name, take) => {
    expect([take(3, 5), take(3, 3), take(5, 3)]).toEqual([true, false, false]);
  });

  it('is an end that a stretch needs and no other mark has', () => {
    const ends = [{}, { end_s: 2 }];
    expect(ends.map((end) => check.newMark({ time_s: 1, kind: 'stretch', label: '', ...end }).ok)).toEqual([false, true]);
    expect(ends.map((end) => check.newMark({ time_s: 1, kind: 'pull', label: '', ...end }).ok)).toEqual([true, false]);
    expect([2_678_400, 2_678_401].map((end) => storedMark('end_s')(end).ok)).toEqual([true, false]);
    expect(check.newMark({ time_s: -1, end_s: -0.5, kind: 'stretch', label: '' }).ok).toBe(true);
  });

  it('of usual currents is within what can be meant', () => {
    expect([[-0.01, 5], [0, 10_000], [5, 10_000.01]].map((range) => usual(range).ok)).toEqual([false, true, false]);
  });

  it('is one at least of the usual currents of a circuit', () => {
    const nothing = { run_a: null, stall_a: null, inrush_peak_a: null, asleep_a: null };
    expect(check.typedCircuit({ ...CIRCUIT, usual: nothing }).ok).toBe(false);
    for (const name of Object.keys(nothing)) expect(check.typedCircuit({ ...CIRCUIT, usual: { ...nothing, [name]: [1, 2] } }), name).toMatchObject({ ok: true });
    expect(check.typedCircuit({ ...CIRCUIT, circuit: '  step ' })).toMatchObject({ ok: true, value: { circuit: 'step' } });
  });
});

describe('a list that a page sends', () => {
  it.each([
    ['traces side by side', (count: number) => check.sideBySide({ traces: times(count, REF) }).ok, 8],
    ['traces of a set', (count: number) => check.knownGood({ circuit: 'step', traces: times(count, REF) }).ok, 200],
  ])('%s has one at least and no more than can be used', (_name, take, most) => {
    expect([take(0), take(1), take(most), take(most + 1)]).toEqual([false, true, true, false]);
  });

  it('of points of a calibration has two at most, and may be empty', () => {
    const points = (count: number): boolean => calibration('points')(times(count, { applied: 1, read: 1, tolerance_percent: 1 })).ok;
    expect([points(0), points(2), points(3)]).toEqual([true, true, false]);
  });
});

describe('what may be left away or said beside', () => {
  it('is a level that starts although it is passed already', () => {
    const level = (more: object): boolean => parsePageMessage(JSON.stringify({ type: 'arm', arm: { ...ARM, startOn: { kind: 'level', levelA: 1, ...more } } })).ok;
    expect([level({}), level({ evenIfPassed: true }), level({ evenIfPassed: 'yes' })]).toEqual([true, true, false]);
  });

  it('is a time with its zone, in whatever zone', () => {
    const time = (at: string): boolean => startOn('time', 'at')(at).ok;
    expect([time('2026-11-25T22:00:00Z'), time('2026-11-25T22:00:00+01:00'), time('2026-11-25T22:00:00'), time('tonight')]).toEqual([true, true, false, false]);
  });
});

describe('what is refused', () => {
  const textOf = (checked: { readonly ok: boolean; readonly text?: string }): string => (checked.ok ? 'taken' : checked.text!);

  it('is named with its field, and without one where the whole is meant', () => {
    expect(textOf(check.options.drain({ limitA: 'a' }))).toMatch(/^limitA: \S/);
    expect(textOf(check.newCalibration({ logger: 'bench', calibration: { ...CALIBRATION, shunt: { reckoned_ohm: 1, ohm: 0, class_percent: 1 } } }))).toMatch(/^calibration\.shunt\.ohm: \S/);
    expect(textOf(check.id('a/b'))).not.toMatch(/^:|^undefined/);
    expect(textOf(check.options.drain({ [`x${'y'.repeat(1000)}`]: 1 }))).toHaveLength(300);
  });

  it('is named by its type where it has one, of which 40 characters are enough', () => {
    const name = (type: unknown): string => textOf(parsePageMessage(JSON.stringify(type === undefined ? {} : { type })));
    expect(name('n'.repeat(41))).toContain(`"${'n'.repeat(40)}"`);
    expect(name(7)).not.toContain('"7"');
    expect(name(undefined)).not.toContain('undefined"');
    expect(textOf(parsePageMessage('null')).length).toBeGreaterThan(10);
    expect(textOf(parsePageMessage('{'))).not.toBe('taken');
  });
});
