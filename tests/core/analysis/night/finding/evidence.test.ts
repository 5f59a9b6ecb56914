import { describe, expect, it } from 'vitest';
import { becauseOf, nextOf, notMeasured, type Facts } from '../../../../../src/core/analysis/night/finding/evidence.ts';
import type { DrainFinding, PossiblePull, Pull, Pulses, WakeRhythm, WakeUp } from '../../../../../src/core/analysis/results.ts';
import type { UncertaintyPart } from '../../../../../src/core/analysis/uncertainty/parts.ts';
import type { TimeOut } from '../../../../../src/core/reference/time-outs.ts';

type Level = NonNullable<Facts['asleep']>;
const ASLEEP: Level = { at_s: 103, level_a: 0.02, low_a: 0.019, high_a: 0.021, uncertainty: [] };
const HELD: NonNullable<Facts['held']> = { since_s: 160, level_a: 0.2, low_a: 0.19, high_a: 0.21, uncertainty: [] };
const PULSES = { floor_a: 0.01, pulse_a: 0.2, duty: 0.1, period_s: 2, mean_a: 0.03 } as Pulses;
const MADE: PossiblePull = { from_s: 700, to_s: 790, change_a: -0.15, low_a: -0.16, high_a: -0.14 };
const pull = (label: string, changeA: number, carries: boolean | null): Pull => ({ label, change_a: changeA, low_a: changeA - 0.001, high_a: changeA + 0.002, carries }) as Pull;
const wake = (cause?: WakeUp['cause']): WakeUp => ({ start_s: 0, end_s: 1, peak_a: 1, charge_c: 1, ...(cause === undefined ? {} : { cause }) });

/** A vehicle that slept from 103 s on, parked at 100 s; only what differs is said. */
const facts = (some: Partial<Facts> = {}): Facts => ({
  finding: 'asleep', implausible: null, risen: null, keyOffS: null, elapsedS: 5000, asleep: ASLEEP, held: null, firstS: 100, lastS: 5100, averageA: 0.02, limitA: 0.05, reserveLimitA: null, overLimit: false,
  wakeUps: [], rhythm: null, longestRestS: 4000, lastLevelA: 0.03, pulls: [], possiblePulls: [], pulses: null, unexplainedA: null, sharing: [], waitS: null, timeOut: null, longestTimeOut: null, startedAtMs: null, movedA: 0, ...some,
});
const codes = (some: Partial<Facts> = {}): string => becauseOf(facts(some)).map(({ code }) => code).join(' ');
const said = (code: string, some: Partial<Facts>): unknown => becauseOf(facts(some)).find((one) => one.code === code);
const next = (finding: DrainFinding, some: Partial<Facts> = {}): string => nextOf(facts({ finding, ...some })).map(({ code }) => code).join(' ');

describe('what a night\'s finding rests on', () => {
  it('is level and average of what slept, with how it came to rest', () => {
    expect(becauseOf(facts())).toEqual([{ code: 'rest', atS: 103, fromStart: true, levelA: 0.02, lowA: 0.019, highA: 0.021 }, { code: 'average', averageA: 0.02, limitA: 0.05, overLimit: false }]);
    // a hand takes up to four seconds at the vehicle
    expect([103.9, 104].map((at_s) => said('rest', { asleep: { ...ASLEEP, at_s } }))).toMatchObject([{ fromStart: true }, { fromStart: false }]);
    expect(becauseOf(facts({ keyOffS: 60 }))[0]).toEqual({ code: 'key-off', atS: 60 });
  });

  it('is what it did that did not sleep', () => {
    const awake = (finding: DrainFinding, some: Partial<Facts> = {}) => becauseOf(facts({ finding, asleep: null, ...some }));
    expect(awake('awake')).toEqual([{ code: 'keeps-working', elapsedS: 5000, levelA: 0.03 }]);
    expect(awake('waking', { wakeUps: [wake(), wake()] })).toEqual([{ code: 'hardly-rests', count: 2, longestRestS: 4000, averageA: 0.02 }]);
    expect(awake('too-short', { held: HELD })).toEqual([{ code: 'held', levelA: 0.2, lowA: 0.19, highA: 0.21, sinceS: 60, limitA: 0.05, elapsedS: 5000, timeOut: null }]);
    expect(awake('too-short')).toEqual([{ code: 'fell-late', elapsedS: 5000, levelA: 0.03 }]);
    const risen = { atS: 700, levelA: 0.3 };
    expect([awake('drain', { risen }), awake('drain', { risen, held: HELD })]).toEqual([[{ code: 'rose-and-stays', afterS: 600, levelA: 0.3 }], [{ code: 'rose-and-stays', afterS: 600, levelA: 0.3 }]]);
    expect(codes({ risen })).toBe('rest average rose-and-stays');
  });

  it('is nothing else where the readings are of no parked vehicle', () => {
    const odd = (implausible: Facts['implausible']) => becauseOf(facts({ implausible, keyOffS: 60, asleep: null, pulses: PULSES }));
    expect(odd({ what: 'into-battery', levelA: -2, charging: true })).toEqual([{ code: 'into-battery', levelA: -2, charging: true }]);
    expect([odd({ what: 'no-current', levelA: 0 }), odd({ what: 'constant', levelA: 0.05 })]).toEqual([[{ code: 'no-current', levelA: 0 }], [{ code: 'constant', levelA: 0.05 }]]);
    expect([odd({ what: 'milliamps-as-amps', middleA: 30 }), odd({ what: 'amps-as-milliamps', middleA: 3e-5 })]).toEqual([[{ code: 'milliamps-as-amps', middleA: 30 }], [{ code: 'amps-as-milliamps', middleA: 3e-5 }]]);
  });

  it('is a lamp at the watts that it takes at 12 V, from the smallest of a vehicle (5 W) on, where nothing pulses', () => {
    const drain = (levelA: number, some: Partial<Facts> = {}) => said('lamp', { finding: 'drain', asleep: { ...ASLEEP, level_a: levelA }, ...some });
    expect([drain(0.5), drain(0.4), drain(0.39), drain(0.5, { pulses: PULSES }), drain(0.5, { finding: 'waking' })]).toEqual([{ code: 'lamp', levelA: 0.5, watts: 6 }, expect.anything(), undefined, undefined, undefined]);
    expect(codes({ finding: 'drain', asleep: null })).toBe('fell-late');
  });

  it('has what makes it uncertain: an unknown zero, a drift, and the reserve it was held against', () => {
    const uncertainty: UncertaintyPart[] = [{ source: 'zero-unknown', contribution: 0.001 }, { source: 'noise', contribution: 0.002 }];
    const unknown = { code: 'zero-unknown', halfWidthA: expect.closeTo(0.001959964, 9) };
    const zero = (asleep: Facts['asleep'], held: Facts['held'] = null) => said('zero-unknown', { asleep, held });
    expect([zero({ ...ASLEEP, uncertainty }), zero(null, { ...HELD, uncertainty }), zero(ASLEEP), zero(null), zero(ASLEEP, { ...HELD, uncertainty })]).toEqual([unknown, unknown, undefined, undefined, undefined]);
    expect([said('drift-or-decay', { movedA: -0.004 }), said('drift-or-decay', {})]).toEqual([{ code: 'drift-or-decay', changeA: -0.004 }, undefined]);
    const over = (averageA: number, asleep: Facts['asleep'] = ASLEEP) => said('reserve', { reserveLimitA: 0.03, averageA, asleep });
    expect([over(0.031), over(0.03), over(0.031, null)]).toEqual([{ code: 'reserve', limitA: 0.03, over: true }, { code: 'reserve', limitA: 0.03, over: false }, { code: 'reserve', limitA: 0.03, over: null }]);
    expect(said('pulses', { pulses: PULSES })).toEqual({ code: 'pulses', floorA: 0.01, pulseA: 0.2, duty: 0.1, periodS: 2, meanA: 0.03 });
  });

  it('has the wake-ups by what caused them, and their period where they have one', () => {
    const wakeUps = [wake(), wake(null), wake(null), wake('person'), wake('person'), wake('fuse')];
    const rhythm: WakeRhythm = { period_s: 60, low_s: 59, high_s: 61, regular: true };
    expect(said('wake-ups', { wakeUps, rhythm })).toEqual({ code: 'wake-ups', own: 3, byPerson: 2, byFuse: 1, period: { s: 60, lowS: 59, highS: 61 } });
    expect([said('wake-ups', { wakeUps, rhythm: { ...rhythm, regular: false } }), said('wake-ups', { wakeUps }), said('wake-ups', {})]).toMatchObject([{ period: null }, { period: null }, undefined]);
    // what hardly rests has said so already
    expect([codes({ wakeUps, finding: 'waking', asleep: null }), codes({ wakeUps, finding: 'waking' })]).toEqual(['hardly-rests', 'rest average wake-ups']);
  });

  it('has the fuses that carry, the largest last, those to be pulled again, and dips without a mark', () => {
    const pulls = [pull('F1', -0.01, true), pull('F2', -0.04, true), pull('F3', -0.02, true), pull('F4', 0, null), pull('F5', 0, false)];
    expect(becauseOf(facts({ pulls, possiblePulls: [MADE] })).slice(2)).toEqual([
      { code: 'carries', label: 'F1', currentA: 0.01, lowA: expect.closeTo(0.008, 12), highA: expect.closeTo(0.011, 12) },
      { code: 'carries', label: 'F3', currentA: 0.02, lowA: expect.closeTo(0.018, 12), highA: expect.closeTo(0.021, 12) },
      { code: 'carries', label: 'F2', currentA: 0.04, lowA: expect.closeTo(0.038, 12), highA: expect.closeTo(0.041, 12) },
      { code: 'not-measured', labels: ['F4'] },
      { code: 'possible-pull', fromS: 700, toS: 790, changeA: -0.15 },
    ]);
  });

  it('counts a fuse as measured where any of its pulls was', () => {
    expect(notMeasured([pull('F1', 0, null), pull('F2', 0, null), pull('F2', -0.1, true), pull('F1', 0, null), pull('F3', 0, null), pull('F3', 0, false)])).toEqual(['F1']);
  });
});

describe('what to check next', () => {
  const AGAIN = { pulls: [pull('F4', 0, null)] };
  const NAMED = { possiblePulls: [MADE] };

  it('is the sensor, its place or the unit where the night is unclear for them', () => {
    const odd = (what: string) => next('unclear', { asleep: null, implausible: { what } as unknown as NonNullable<Facts['implausible']> });
    expect(['no-current', 'constant', 'into-battery', 'milliamps-as-amps', 'amps-as-milliamps'].map(odd)).toEqual(['check-sensor', 'check-sensor', 'charger-or-clamp', 'check-unit', 'check-unit']);
    expect(next('unclear', { asleep: null, risen: { atS: 1, levelA: 0.03 } })).toBe('check-sensor');
    expect(next('unclear', { ...AGAIN, ...NAMED })).toBe('zero-again pull-again name-possible-pull');
  });

  it('is to go on, to find what keeps it awake or wakes it', () => {
    expect(next('too-short', { waitS: 600, ...AGAIN, ...NAMED })).toBe('wait pull-again name-possible-pull');
    expect(next('too-short', NAMED)).toBe('name-possible-pull');
    expect(next('awake', { ...AGAIN, ...NAMED })).toBe('what-keeps-awake pull-one-by-one name-possible-pull');
    expect(nextOf(facts({ finding: 'awake', ...NAMED })).at(-1)).toEqual({ code: 'name-possible-pull', fromS: 700, toS: 790, changeA: -0.15 });
    const waking = (averageA: number, overLimit: boolean | null) => next('waking', { averageA, overLimit });
    expect([waking(0.05, null), waking(0.051, null), waking(0.05, true)]).toEqual(['zero-again what-wakes pull-listeners', 'what-wakes pull-listeners', 'what-wakes pull-listeners']);
  });

  it('is nothing of the vehicle where it sleeps, unless nobody can tell', () => {
    expect(next('asleep', { ...AGAIN, ...NAMED })).toBe('no-drain pull-again name-possible-pull');
    const open = (averageA: number, wakeUps: WakeUp[]) => next('asleep', { overLimit: null, averageA, wakeUps, ...NAMED });
    expect([open(0.051, [wake()]), open(0.05, [wake()]), open(0.051, [])]).toEqual(['watch-wake-ups name-possible-pull', 'zero-again name-possible-pull', 'zero-again name-possible-pull']);
    // three times as long as what wakes every ten minutes
    expect(nextOf(facts({ overLimit: null, averageA: 0.06, wakeUps: [wake()] }))[0]).toEqual({ code: 'watch-wake-ups', waitS: 1800 });
  });

  it('is a wait that ends with a time-out, with the one before it that is worth a look, by the clock where that is known', () => {
    const timeOut = (lengthS: number): TimeOut => ({ name: `${lengthS}`, lengthS, leastA: null, source: '' });
    const [first, longest] = [timeOut(1200), timeOut(4500)];
    const wait = (some: Partial<Facts>) => nextOf(facts({ finding: 'too-short', waitS: 3600, lastS: 1000, longestTimeOut: longest, timeOut: first, ...some }))[0];
    // parked at 100 s: the first is over at 1300 s, 300 s from the end of the recording
    expect(wait({})).toEqual({ code: 'wait', waitS: 3600, untilMs: null, timeOut: longest, first: { timeOut: first, inS: 300, atMs: null } });
    expect(wait({ startedAtMs: 5_000_000 })).toMatchObject({ untilMs: 9_600_000, first: { atMs: 6_300_000 } });
    expect([wait({ timeOut: null }), wait({ timeOut: longest }), wait({ waitS: 300 }), wait({ timeOut: longest, waitS: 4000 })]).toMatchObject([{ first: null }, { first: null }, { first: null }, { first: null }]);
    expect(wait({ waitS: 301 })).toMatchObject({ first: { inS: 300 } });
  });

  it('of a drain is where it may be, before a fuse is pulled', () => {
    const at = (levelA: number, some: Partial<Facts> = {}) => next('drain', { asleep: { ...ASLEEP, level_a: levelA }, ...some });
    expect([at(0.06), at(0.05), at(0.5), at(0.5, { pulses: PULSES })]).toEqual(['accessories pull-one-by-one', 'waking-module pull-one-by-one', 'lamps accessories pull-one-by-one', 'accessories pull-one-by-one']);
    expect(next('drain', { asleep: null, ...NAMED })).toBe('accessories pull-one-by-one name-possible-pull');
  });

  it('of a drain is the circuits that share it, or the one that carries it, the largest share first', () => {
    const pulls = [pull('F1', -0.01, true), pull('F2', -0.04, true)];
    const found = (some: Partial<Facts>) => nextOf(facts({ finding: 'drain', pulls, ...some }));
    expect(found({ sharing: ['F2', 'F1'] })).toEqual([{ code: 'shared', labels: ['F2', 'F1'] }, { code: 'each-circuit' }]);
    expect(found({ sharing: ['F2'] })).toEqual([{ code: 'follow-circuit', label: 'F2', currentA: 0.04 }]);
    expect(found({ unexplainedA: 0.051 })).toEqual([{ code: 'follow-unexplained', currentA: 0.051 }, { code: 'follow-circuit', label: 'F2', currentA: 0.04 }]);
    expect(found({ unexplainedA: 0.05 })).toEqual([{ code: 'follow-circuit', label: 'F2', currentA: 0.04 }]);
    const large = { pulls: [pull('F2', -0.06, true), ...AGAIN.pulls] };
    expect([next('drain', { ...large, unexplainedA: 0.06 }), next('drain', { ...large, unexplainedA: 0.061 })]).toEqual(['pull-again follow-circuit follow-unexplained', 'pull-again follow-unexplained follow-circuit']);
  });

  it('of a drain that no pull shows is to pull again what was not measured, else other fuses and feeds', () => {
    expect([next('drain', AGAIN), next('drain', { pulls: [pull('F5', 0, false)] })]).toEqual(['pull-again', 'other-fuses two-feeds']);
    expect(nextOf(facts({ finding: 'drain', ...AGAIN }))[0]).toEqual({ code: 'pull-again', labels: ['F4'] });
  });
});
