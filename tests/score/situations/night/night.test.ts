import { describe, expect, it } from 'vitest';
import { Chance } from './chance.ts';
import { PUBLISHED_MODULES } from './families/plain.ts';
import { judge } from './judge.ts';
import { trueAnswer } from './oracle.ts';
import { allNightSituations, makeNight, nightSituations, nightTable, run } from './run.ts';
import type { Outcome } from './types.ts';
import { ParkedNight } from './vehicle.ts';

/** situations in which nothing is wrong with the sensor and the level stays */
const SENSOR_RIGHT = new Set(['plain', 'polling', 'wake-ups', 'doors', 'begins before key-off', 'gaps']);

/** a seed far from those that are kept for judging */
const SEED = 41;

describe('the parked vehicle', () => {
  it('draws what the published module table adds up to: 130.2 mA, and 10.9 mA after 20 minutes (Jeep KJ 2007)', () => {
    const night = new ParkedNight(new Chance(1), 7200, 1, PUBLISHED_MODULES);
    night.finish();
    expect(night.wave.meanA(0, 1200)).toBeCloseTo(0.1302, 4);
    expect(night.wave.meanA(1201, 7200)).toBeCloseTo(0.0109, 4);
    expect(night.rests()).toEqual([{ earliestS: 1200, beginS: 1200, endS: 7200 }]);
  });

  it('averages 35.1 mA on a floor of 25 mA with 135 mA more for 45 s every 600 s (Oldsmobile Aurora 2001)', () => {
    const night = new ParkedNight(new Chance(1), 36_000, 2, []);
    night.constant(0.025);
    for (let atS = 300; atS < 36_000; atS += 600) night.wakeup(atS, { burstA: 0.135, burstS: 45, tailA: 0, tailS: 0 });
    night.finish();
    expect(night.wave.meanA(0, 36_000)).toBeCloseTo(0.0351, 4);
    expect(night.wakeups).toHaveLength(60);
  });

  it('keeps the charge of pulses that are shorter than a sample', () => {
    const night = new ParkedNight(new Chance(1), 1000, 2, []);
    night.poll({ periodS: 2, widthS: 0.03, heightA: 0.2, jitter: 0 });
    expect(night.wave.meanA(0, 1000)).toBeCloseTo(night.pollMeanA, 5);
    expect(night.pollMeanA).toBeCloseTo(0.003, 6);
  });

  it('begins rest anew after a visit, once the same time-outs have run', () => {
    const night = new ParkedNight(new Chance(1), 7200, 1, [{ awakeA: 0.5, sleepA: 0.01, timeoutS: 300, stir: 0 }]);
    night.door(3000, 60, 1);
    night.finish();
    expect(night.rests().map((rest) => [rest.beginS, rest.endS])).toEqual([[300, 3000], [3360, 7200]]);
  });
});

describe.each(allNightSituations.map((situation) => [situation.name, situation] as const))('%s', (_, situation) => {
  const night = makeNight(situation, SEED);

  it('is a recording that the contract allows, and cheap', () => {
    const { timeS, currentA, voltageV, gaps } = night.trace;
    expect(timeS.length).toBeGreaterThan(100);
    expect(timeS.length).toBeLessThan(300_000);
    expect(currentA).toHaveLength(timeS.length);
    expect(timeS.every((tS, i) => i === 0 || tS > timeS[i - 1]!)).toBe(true);
    expect(currentA.every(Number.isFinite)).toBe(true);
    expect(voltageV?.every(Number.isFinite) ?? true).toBe(true);
    expect(gaps.every((gap) => gap.endS > gap.startS)).toBe(true);
  });

  it('has a label that can be met, and in which right and honest are kept apart', () => {
    expect(night.label.right.filter((finding) => night.label.honest.includes(finding))).toEqual([]);
    expect(judge(trueAnswer(night.label), night.label).faults).toEqual([]);
  });

  it('has the level that its samples average to at rest with the zero of the sensor taken off, wherever all else of it is right', () => {
    const { asleep, tags, wakeups, stirred, dips, zeroA } = night.label;
    if (asleep === null || !tags.some((tag) => SENSOR_RIGHT.has(tag))) return;
    const { timeS, currentA } = night.trace;
    const fromS = asleep.begins[0]!.toS + 2;
    const other = [...wakeups, ...stirred, ...dips];
    let sum = 0;
    let count = 0;
    timeS.forEach((tS, i) => {
      if (tS < fromS || other.some((span) => tS >= span.fromS - 3 && tS < span.toS + 3)) return;
      sum += currentA[i]!;
      count++;
    });
    // 2 mA or 1 percent: what a thousand readings of the noisiest sensor used here, and a rounded range, leave open
    expect(Math.abs(sum / count - zeroA - asleep.level.meanA)).toBeLessThan(0.002 + 0.01 * asleep.level.meanA);
  });

  it('never calls it false to say that nothing can be reported', () => {
    const silent = { test: 'drain', verdict: { finding: 'unclear' }, asleep: null, over_limit: null, pulls: night.label.pulls.map((pull) => ({ label: pull.label, carries: null })) };
    expect(judge(silent, night.label).outcome).not.toBe('false');
  });
});

describe('the judge', () => {
  const drain = makeNight(nightSituations.find((one) => one.name === 'steady-drain')!, SEED).label;
  const clock = makeNight(nightSituations.find((one) => one.name === 'clock-wakes')!, SEED).label;
  const random = makeNight(nightSituations.find((one) => one.name === 'wakes-at-random')!, SEED).label;
  const charged = makeNight(nightSituations.find((one) => one.name === 'charger-all-night')!, SEED).label;
  const engine = makeNight(nightSituations.find((one) => one.name === 'engine-first')!, SEED).label;
  const asleepAt = (at_s: number, level_a: number): object => ({ asleep: { at_s, level_a, low_a: level_a - 0.001, high_a: level_a + 0.001 } });
  const begin = drain.asleep!.begins[0]!.toS;
  const level = drain.asleep!.level.meanA;
  const cases: [string, typeof drain, object, Outcome][] = [
    ['a wrong finding', drain, { verdict: { finding: 'asleep' } }, 'false'],
    ['a finding held back', drain, { verdict: { finding: 'too-short' } }, 'cannot-tell'],
    ['no word of the contract', drain, { verdict: { finding: 'fine' } }, 'false'],
    ['the wrong side of the limit', drain, { over_limit: false }, 'false'],
    ['rest reported too early', drain, asleepAt(begin - 60, level), 'false'],
    ['rest reported much too late', drain, asleepAt(begin * 1.3 + 130, level), 'missed'],
    ['a level far out', drain, asleepAt(begin, level + 0.05), 'false'],
    ['a level just outside its bounds', drain, asleepAt(begin, level + 0.002), 'right'],
    ['rest reported where the battery is charged', charged, asleepAt(100, 0.02), 'false'],
    ['wake-ups left out', clock, { wakeups: [] }, 'missed'],
    ['a wake-up that never was', drain, { wakeups: [{ start_s: begin + 600, end_s: begin + 610, peak_a: 0.2 }] }, 'false'],
    ['a period out by a fifth', clock, { wake_period_s: clock.period!.meanS * 1.2 }, 'false'],
    ['no period', clock, { wake_period_s: null }, 'missed'],
    ['a period of chance', random, { wake_period_s: 600 }, 'false'],
    ['no key-off', engine, { key_off_s: null }, 'missed'],
    ['key-off of a vehicle that was parked already', drain, { key_off_s: 120 }, 'false'],
    ['a pull offered where nobody pulled', drain, { possible_pulls: [{ from_s: begin + 500, to_s: begin + 560, change_a: -0.05 }] }, 'false'],
  ];
  it.each(cases)('%s: %s', (_, label, fault, outcome) => {
    expect(judge({ ...trueAnswer(label), ...fault }, label).outcome).toBe(outcome);
  });

  it('takes no document at all for false', () => {
    expect(judge(undefined, drain).outcome).toBe('false');
    expect(judge({ test: 'actuation' }, drain).outcome).toBe('false');
  });
});

describe('a run', () => {
  it('counts each class, tallies the bounds and makes the same nights from the same seed', async () => {
    const truth = new Map(['quiet-night', 'lamp-left-on'].flatMap((name) => [SEED, SEED + 1].map((seed) => makeNight(nightSituations.find((one) => one.name === name)!, seed)).map((night) => [night.trace.currentA.join(), night.label] as const)));
    const report = await run({ seed: SEED, count: 2, classes: ['quiet-night', 'lamp-left-on'] }, (trace) => trueAnswer(truth.get(trace.currentA.join())!));
    expect(report.total).toEqual({ right: 4, 'cannot-tell': 0, missed: 0, false: 0 });
    expect(report.coverage).toEqual(['all', 'plain'].map((tag) => ({ what: 'asleep level', tag, inside: 4, tried: 4 })));
    expect(nightTable(report)).toContain('lamp-left-on');
  });

  it('takes an analysis that fails for false, and refuses a name that it does not know', async () => {
    const report = await run({ seed: SEED, count: 1, classes: ['quiet-night'] }, () => {
      throw new Error('out of memory');
    });
    expect(report.total.false).toBe(1);
    await expect(run({ seed: SEED, count: 1, classes: ['quiet'] }, () => null)).rejects.toThrow('no situation "quiet"');
  });
});
