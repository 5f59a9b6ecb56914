import { describe, expect, it } from 'vitest';
import { suffices, isNeeds } from '../../../src/daemon/http/door/access.ts';
import { digestOf, Keys, type Holder } from '../../../src/daemon/http/door/keys.ts';
import { DOOR_LIMITS } from '../../../src/daemon/http/door/limits.ts';
import { maySend } from '../../../src/daemon/http/door/message-needs.ts';
import { countedAs, peerOf } from '../../../src/daemon/http/door/peer.ts';
import { SourceChoice } from '../../../src/daemon/http/door/source-choice.ts';
import { parseTarget } from '../../../src/daemon/http/door/target.ts';
import { Tickets } from '../../../src/daemon/http/door/tickets.ts';
import { PathFilter } from '../../../src/daemon/http/door/without-paths.ts';
import { WrongKeys } from '../../../src/daemon/http/door/wrong-keys.ts';
import { check, parsePageMessage } from '../../../src/daemon/http/wire-check.ts';

/** What each part of the door still lets by, and the first thing beyond that it does not: each part alone, without a server. */

let nowMs = 0;
const clock = { nowMs: () => nowMs, date: () => new Date(0) };

describe('a key', () => {
  const tablet: Holder = { id: 'tablet', access: 'view', device: 'bay 2' };
  const keys = new Keys({ operate: 'o-key', view: 'v-key' }, { holderOf: (digest) => (digest.equals(digestOf('t-key')) ? tablet : null) });

  it('is one of this run or of a device, or none', () => {
    expect(keys.holderOf('o-key')).toEqual({ id: 'operate', access: 'operate', device: null });
    expect(keys.holderOf('v-key')).toEqual({ id: 'view', access: 'view', device: null });
    expect(keys.holderOf('t-key')).toBe(tablet);
    for (const other of ['', 'o-ke', 'o-key ', 'O-KEY', 't-key2']) expect(keys.holderOf(other), other).toBeNull();
  });

  it('is enough for what asks for as much or less, and for nothing that asks for an unknown thing', () => {
    const table = [null, 'view', 'operate'] as const;
    expect(table.map((access) => (['nothing', 'view', 'operate'] as const).map((needs) => suffices(access, needs)))).toEqual([[true, false, false], [true, true, false], [true, true, true]]);
    for (const needs of ['', 'all', 'toString', '__proto__', undefined, null, 1, ['view']]) {
      expect(isNeeds(needs)).toBe(false);
      expect(suffices('operate', needs as never)).toBe(false);
    }
    for (const type of ['toString', 'constructor', '__proto__', '']) expect(maySend('operate', type)).toBe(false);
    expect([maySend(null, 'join'), maySend('view', 'mark'), maySend('operate', 'mark')]).toEqual([true, false, true]);
  });
});

describe('the target of a request', () => {
  it('is at most 4,096 characters long', () => {
    expect(parseTarget(`/${'a'.repeat(4095)}`)).not.toBeNull();
    expect(parseTarget(`/${'a'.repeat(4096)}`)).toBeNull();
    expect(parseTarget(undefined)).toBeNull();
  });

  it('is parted at its first question mark', () => {
    expect(parseTarget('/')).toEqual({ path: '/', query: '' });
    expect(parseTarget('/a?')).toEqual({ path: '/a', query: '' });
    expect(parseTarget('/a/b.c?x=1?y')).toEqual({ path: '/a/b.c', query: 'x=1?y' });
    for (const text of ['', '?', 'a', '/a?#', '/a?"', '/a b', '/a/', '/a..b', '//']) expect(parseTarget(text), text).toBeNull();
  });
});

describe('an address', () => {
  it('is one text for one device', () => {
    const of = (remoteAddress: string | undefined) => peerOf({ remoteAddress });
    expect(of('::ffff:127.0.0.1')).toEqual({ address: '127.0.0.1', local: true });
    expect(of('::FFFF:192.0.2.7')).toEqual({ address: '192.0.2.7', local: false });
    expect(of('::1')).toEqual({ address: '::1', local: true });
    expect(of('FE80::1%eth0')).toEqual({ address: 'fe80::1', local: false });
    expect(of('::ffff:abcd')).toEqual({ address: '::ffff:abcd', local: false });
    expect(of('1127.0.0.1').local).toBe(false);
    expect(of(undefined)).toEqual({ address: '', local: false });
  });

  it('of IPv6 counts with the 64 bits of its network', () => {
    // 2001:db8::/32 is kept for documentation (RFC 3849)
    expect(countedAs('2001:db8:1:2:3:4:5:6')).toBe('2001:db8:1:2');
    expect(countedAs('2001:db8::5:6')).toBe('2001:db8:0:0');
    expect(countedAs('2001:db8:1:2::')).toBe('2001:db8:1:2');
    expect(countedAs('::1')).toBe('0:0:0:0');
    expect(countedAs('2001::3:4:5:6:7')).toBe('2001:0:0:3');
    expect(countedAs('192.0.2.7')).toBe('192.0.2.7');
  });
});

describe('wrong keys', () => {
  const guess = (wrong: WrongKeys, address: string, count: number, name = 'k'): void => {
    for (let i = 0; i < count; i++) wrong.wrong(address, `${name}${i}`);
  };

  it('are forgotten after more than ten quiet minutes, not before', () => {
    for (const [quietMs, waitMs] of [[10 * 60_000, 2000], [10 * 60_000 + 1, 0]] as const) {
      nowMs = 0;
      const wrong = new WrongKeys(clock, DOOR_LIMITS);
      guess(wrong, 'a', 6);
      expect(wrong.waitMs('a')).toBe(1000);
      nowMs = quietMs;
      wrong.wrong('a', 'another');
      expect(wrong.waitMs('a')).toBe(waitMs);
    }
  });

  it('are remembered of the last thousand addresses, and of the last sixteen keys of each', () => {
    nowMs = 0;
    const wrong = new WrongKeys(clock, DOOR_LIMITS);
    guess(wrong, 'first', 6);
    guess(wrong, 'second', 6);
    for (let i = 0; i < 997; i++) wrong.wrong(`other ${i}`, 'k');
    // tried again: it is not the oldest any more
    wrong.wrong('first', 'k5');
    wrong.wrong('one more', 'k');
    expect([wrong.waitMs('first'), wrong.waitMs('second')]).toEqual([1000, 1000]);
    wrong.wrong('and one', 'k');
    expect([wrong.waitMs('first'), wrong.waitMs('second')]).toEqual([1000, 0]);
    const keys = new WrongKeys(clock, { ...DOOR_LIMITS, freeTries: 16 });
    guess(keys, 'a', 16);
    keys.wrong('a', 'k0');
    expect(keys.waitMs('a')).toBe(0);
    keys.wrong('a', 'k16');
    expect(keys.waitMs('a')).toBe(1000);
    keys.wrong('a', 'k1');
    expect(keys.waitMs('a')).toBe(1000);
    // k0 has been forgotten and counts anew
    keys.wrong('a', 'k0');
    expect(keys.waitMs('a')).toBe(2000);
  });

  it('wait out their time', () => {
    nowMs = 0;
    const wrong = new WrongKeys(clock, DOOR_LIMITS);
    guess(wrong, 'a', 7);
    nowMs = 1500;
    expect(wrong.waitMs('a')).toBe(500);
    nowMs = 2000;
    expect(wrong.waitMs('a')).toBe(0);
    nowMs = 5000;
    expect(wrong.waitMs('a')).toBe(0);
    expect(wrong.waitMs('b')).toBe(0);
  });
});

describe('tickets', () => {
  it('are a hundred at most, the oldest goes first; those that have ended make room before', () => {
    nowMs = 0;
    const tickets = new Tickets(clock);
    const urls = Array.from({ length: 100 }, (_, i) => tickets.issue(`/api/${i}`, 'operate'));
    expect(tickets.redeem('GET', urls[0]!)).not.toBeNull();
    tickets.issue('/api/100', 'operate');
    expect(tickets.redeem('GET', urls[1]!)).not.toBeNull();
    const full = new Tickets(clock);
    const old = Array.from({ length: 100 }, (_, i) => full.issue(`/api/${i}`, 'operate'));
    full.issue('/api/100', 'operate');
    expect([full.redeem('GET', old[0]!), full.redeem('GET', old[1]!)]).toEqual([null, { id: 'operate', access: 'view', device: null }]);
    const late = new Tickets(clock);
    late.issue('/api/early', 'operate');
    nowMs = 1;
    const kept = late.issue('/api/kept', 'operate');
    for (let i = 0; i < 98; i++) late.issue(`/api/${i}`, 'operate');
    nowMs = 60_000;
    // the first has ended, so the second need not go
    late.issue('/api/new', 'operate');
    expect(late.redeem('GET', kept)).not.toBeNull();
  });

  it('are found in an address, good or not', () => {
    const tickets = new Tickets(clock);
    expect(tickets.ticketOf('/api/x?ticket=abc')).toBe('abc');
    expect(tickets.ticketOf('/api/x?a=1&ticket=a-b_c')).toBe('a-b_c');
    for (const url of [undefined, '', '/api/x', '/api/x?ticket=', '/api/x?tickets=abc', '/api/x?ticket=a.b']) expect(tickets.ticketOf(url)).toBeNull();
    expect(tickets.redeem(undefined, tickets.issue('/api/x', 'operate'))).toBeNull();
    expect(tickets.redeem('HEAD', tickets.issue('/api/x', 'operate'))).toBeNull();
    expect(tickets.issue('/api/x', 'o')).toMatch(/^\/api\/x\?ticket=[\w-]{32}$/);
    expect(tickets.issue('/api/x?a=1', 'o')).toMatch(/^\/api\/x\?a=1&ticket=[\w-]{32}$/);
  });
});

describe('sources chosen on this computer', () => {
  it('are remembered, twenty at most: that of the command line always, then the newest', async () => {
    const choice = new SourceChoice({ first: 'serial:/dev/first', paths: new PathFilter({ path: '/data', name: 'data' }, []), pathOf: async () => Promise.reject(new Error('none')) });
    const elsewhere = async (name: string): Promise<boolean> => 'spec' in (await choice.allow(name, false));
    for (let i = 1; i <= 19; i++) await choice.allow(`serial:/dev/${i}`, true);
    await choice.allow('serial:/dev/19', true);
    expect([await elsewhere('serial:/dev/first'), await elsewhere('serial:/dev/1'), await elsewhere('serial:/dev/19')]).toEqual([true, true, true]);
    await choice.allow('serial:/dev/20', true);
    expect([await elsewhere('serial:/dev/first'), await elsewhere('serial:/dev/1'), await elsewhere('serial:/dev/2'), await elsewhere('serial:/dev/20')]).toEqual([true, false, true, true]);
  });
});

describe('sources that another device may choose', () => {
  const choice = new SourceChoice({ first: 'serial:/srv/data/link', paths: new PathFilter({ path: '/srv/data', name: 'data' }, []), pathOf: async ({ jobId, traceId }) => (jobId === 'job' && traceId === 'trace' ? '/srv/data/jobs/job/traces/trace' : Promise.reject(new Error('none'))) });
  const from = (local: boolean) => async (spec: string): Promise<string> => {
    const answer = await choice.allow(spec, local);
    return 'spec' in answer ? answer.spec : 'refused';
  };

  it('are the virtual vehicle, a trace of the data folder by its name, and what was chosen here, by the name it has there', async () => {
    const elsewhere = from(false);
    expect(await Promise.all(['sim:seat', 'sim:seat?speed=2', 'replay:job/trace', 'replay:job/trace?speed=5', 'serial:/srv/data/link', 'serial:link'].map(elsewhere))).toEqual(['sim:seat', 'sim:seat?speed=2', 'replay:/srv/data/jobs/job/traces/trace?speed=1', 'replay:/srv/data/jobs/job/traces/trace?speed=5', 'serial:/srv/data/link', 'serial:/srv/data/link']);
    expect(await Promise.all(['auto', 'serial:/dev/ttyUSB0', 'replay:job/other', 'replay:../trace', 'replay:/etc/passwd', 'replay:job/trace/more', 'sim'].map(elsewhere))).toEqual(new Array(7).fill('refused'));
  });

  it('here are all, and a trace of the data folder keeps its name for its folder', async () => {
    const here = from(true);
    expect(await Promise.all(['auto', 'replay:job/trace', 'replay:/tmp/trace'].map(here))).toEqual(['auto', 'replay:/srv/data/jobs/job/traces/trace?speed=1', 'replay:/tmp/trace']);
    expect(await from(false)('replay:/tmp/trace')).toBe('replay:/tmp/trace');
  });
});

describe('words that leave this computer', () => {
  const paths = new PathFilter({ path: '/srv/data', name: 'data' }, [{ path: '/', name: 'root' }, { path: '/srv', name: 'srv' }, { path: '/srv/data/own', name: 'own' }]);

  it('lose the longest known folder first, and only whole names', () => {
    expect(paths.sentence('/srv/data/own/a.csv')).toBe('a.csv');
    expect(paths.sentence('in /srv/data')).toBe('in data');
    expect(paths.sentence('in /srv/data: none')).toBe('in data: none');
    expect(paths.sentence('/srv/data-old/x.csv')).toBe('data-old/x.csv');
    expect(paths.answer('/srv/data/jobs and /srv/other')).toBe('jobs and /srv/other');
  });

  it('are those of the messages that hold any', () => {
    const text = 'Playing /srv/data/jobs/a';
    for (const message of [{ type: 'notice', atS: 0, code: 'x', text }, { type: 'refused', what: 'source', text }, { type: 'recording', recording: null, armed: null, text }] as const) expect(paths.message(message)).toEqual({ ...message, text: 'Playing jobs/a' });
    const logger = { kind: 'replay', name: text, serial: null, rateHz: null, hasVoltage: false, currentRangeA: null, controls: null } as const;
    expect(paths.message({ type: 'source', spec: 'replay:/srv/data/jobs/a', state: 'live', text, logger })).toMatchObject({ spec: 'replay:jobs/a', text: 'Playing jobs/a', logger: { name: 'Playing jobs/a' } });
    expect(paths.message({ type: 'source', spec: 'auto', state: 'searching', text: '', logger: null })).toMatchObject({ spec: 'auto', logger: null });
    expect(paths.message({ type: 'stored' })).toEqual({ type: 'stored' });
    expect(paths.message({ type: 'hello', protocol: 1, version: '1', dataFolder: '/srv/data', scenarios: [] })).toEqual({ type: 'hello', protocol: 1, version: '1', dataFolder: '', scenarios: [] });
    const source = { type: 'source', spec: 'auto', state: 'searching', text: '', logger: null } as const;
    expect(paths.message({ ...source, port: '/srv/data/link' })).toEqual({ ...source, port: 'link' });
    expect(paths.message(source)).toEqual(source);
  });
});

describe('figures of a page', () => {
  const drain = (options: Record<string, unknown>): boolean => check.options.drain(options).ok;
  const actuation = (options: Record<string, unknown>): boolean => check.options.actuation(options).ok;

  it.each([
    ['limitA', 0, 10_000, -0.001, 10_001], ['settlingS', 0, 31 * 86_400, -1, 31 * 86_400 + 1], ['batteryAh', 0.001, 10_000, 0, 10_001], ['reserveCapacityMin', 0.001, 10_000, 0, 10_001], ['restedV', 0, 100, -1, 101], ['temperatureC', -60, 100, -61, 101],
    ['gainUncertaintyPercent', 0, 100, -1, 101], ['zeroUncertaintyA', 0, 10_000, -1, 10_001], ['voltageGainPercent', 0, 100, -1, 101],
  ])('%s of a key-off test is taken from %d to %d', (name, least, most, below, above) => {
    for (const value of [least, most]) expect(drain({ [name]: value }), String(value)).toBe(true);
    for (const value of [below, above, '1', null, NaN]) expect(drain({ [name]: value }), String(value)).toBe(false);
  });

  it.each([
    ['commutationsPerRevolution', 1, 1000, 0, 1001], ['fullScaleA', 0.001, 10_000, 0, 10_001], ['sensorBandwidthHz', 0.001, 1e7, 0, 1e7 + 1], ['flagHoldS', 0, 31 * 86_400, -1, 31 * 86_400 + 1],
  ])('%s of a motor test is taken from %d to %d', (name, least, most, below, above) => {
    for (const value of [least, most]) expect(actuation({ [name]: value }), String(value)).toBe(true);
    for (const value of [below, above]) expect(actuation({ [name]: value }), String(value)).toBe(false);
  });

  it('are whole where they count, and in order where they are a pair', () => {
    expect(actuation({ commutationsPerRevolution: 1.5 })).toBe(false);
    expect([actuation({ runLimitsA: [3, 3] }), actuation({ runLimitsA: [3, 3.001] }), actuation({ runLimitsA: [3] })]).toEqual([false, true, false]);
    const wire = (changes: object): boolean => actuation({ wire: { areaMm2: 1000, lengthM: 1000, temperatureC: 200, ...changes } });
    expect([wire({}), wire({ areaMm2: 1001 }), wire({ areaMm2: 0 }), wire({ lengthM: 1001 }), wire({ temperatureC: 201 }), wire({ temperatureC: -60 }), wire({ temperatureC: -61 })]).toEqual([true, false, false, false, false, true, false]);
  });

  it('of a mark: an end belongs to a stretch, later than its beginning, and to nothing else', () => {
    const mark = (changes: object): boolean => check.newMark({ time_s: 1, kind: 'note', label: '', ...changes }).ok;
    expect([mark({}), mark({ end_s: 2 }), mark({ kind: 'stretch' }), mark({ kind: 'stretch', end_s: 1 }), mark({ kind: 'stretch', end_s: 1.001 })]).toEqual([true, false, false, false, true]);
    expect([mark({ time_s: -1 }), mark({ time_s: -1.001 }), mark({ time_s: 31 * 86_400 }), mark({ time_s: 31 * 86_400 + 1 })]).toEqual([true, false, true, false]);
  });

  it('of a window: at most 16,384 columns, its end later than its beginning', () => {
    const window = (from: number, to: number, columns: number): boolean => check.window({ from: String(from), to: String(to), columns: String(columns) }).ok;
    expect([window(0, 1, 1), window(0, 1, 16_384), window(0, 1, 16_385), window(0, 1, 0), window(0, 1, 1.5), window(1, 1, 5), window(-31 * 86_400, 1e9, 5), window(0, 1e9 + 1, 5)]).toEqual([true, true, false, false, false, false, true, false]);
    const span = (from: number, to: number): boolean => check.span({ from, to }).ok;
    expect([span(0, 1), span(1, 1), span(-1e9, 1e9), span(-1e9 - 1, 0), span(0, 1e9 + 1)]).toEqual([true, false, true, false, false]);
  });

  it('of words and lists: as long as they may be, and one more', () => {
    const marked = (label: string): boolean => parsePageMessage(JSON.stringify({ type: 'mark', kind: 'note', label })).ok;
    expect([marked('x'.repeat(200)), marked('x'.repeat(201))]).toEqual([true, false]);
    const ref = { jobId: 'a', traceId: 'b' };
    const many = (count: number): unknown[] => Array.from({ length: count }, () => ref);
    expect([0, 1, 8, 9].map((count) => check.sideBySide({ traces: many(count) }).ok)).toEqual([false, true, true, false]);
    expect([0, 1, 200, 201].map((count) => check.knownGood({ circuit: 'x', traces: many(count) }).ok)).toEqual([false, true, true, false]);
    expect(check.knownGood({ circuit: '', traces: many(1) }).ok).toBe(false);
    expect(['x'.repeat(120), 'x'.repeat(121)].map((id) => check.id(id).ok)).toEqual([true, false]);
    expect(['', ' ', 'bay', 'x'.repeat(60), 'x'.repeat(61)].map((name) => check.device({ name, access: 'view' }).ok)).toEqual([false, false, true, true, false]);
    expect(['/api/x', 'api/x', '/apix', `/api/${'x'.repeat(1995)}`, `/api/${'x'.repeat(1996)}`].map((path) => check.ticket({ path }).ok)).toEqual([true, false, false, true, false]);
    expect([0, 1, 1.001, -0.001, 'x'].map((tolerance) => check.tolerance(tolerance).ok)).toEqual([true, true, false, false, false]);
    const typed = (usual: object): boolean => check.typedCircuit({ circuit: 'seat', vehicle_type: '', place: '', usual: { run_a: null, stall_a: null, inrush_peak_a: null, asleep_a: null, ...usual } }).ok;
    expect([typed({ run_a: [3, 5] }), typed({}), typed({ run_a: [5, 5] })]).toEqual([true, false, false]);
  });

  it('say where they are wrong, and no more than fits a line', () => {
    const why = (answer: { ok: boolean }): string => (answer as { text?: string }).text ?? '';
    expect(why(check.tolerance(2))).not.toMatch(/^:/);
    expect(why(check.span({ from: 0, to: 'x' }))).toMatch(/^to: /);
    expect(why(check.typedCircuit({ circuit: 'seat', vehicle_type: '', place: '', usual: { run_a: [3, 5], stall_a: null, inrush_peak_a: null, asleep_a: null }, ['x'.repeat(400)]: 1 }))).toHaveLength(300);
  });

  it('of arming: what starts it and what stops it', () => {
    const arm = (changes: object): boolean => parsePageMessage(JSON.stringify({ type: 'arm', arm: { startOn: { kind: 'now' }, beforeS: 0, stopAfterS: null, stopAfterBytes: null, stopWhenAsleep: false, ...changes } })).ok;
    expect([arm({}), arm({ beforeS: 600 }), arm({ beforeS: 601 }), arm({ beforeS: -1 })]).toEqual([true, true, false, false]);
    expect([arm({ stopAfterS: 0.1 }), arm({ stopAfterS: 0 }), arm({ stopAfterBytes: 1 }), arm({ stopAfterBytes: 0 }), arm({ stopAfterBytes: 2 ** 40 }), arm({ stopAfterBytes: 2 ** 40 + 1 })]).toEqual([true, false, true, false, true, false]);
    const level = (levelA: number): boolean => arm({ startOn: { kind: 'level', levelA } });
    expect([level(-10_000), level(10_000), level(10_001), level(-10_001)]).toEqual([true, true, false, false]);
    const slope = (slopeAPerS: number): boolean => arm({ startOn: { kind: 'slope', slopeAPerS } });
    expect([slope(-1e9), slope(1e9), slope(1e9 + 1)]).toEqual([true, true, false]);
  });
});
