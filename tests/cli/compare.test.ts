import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { ManyResult } from '../../src/core/analysis/compare/many/result.ts';
import type { CompareResult } from '../../src/core/analysis/compare/results.ts';
import type { Trace } from '../../src/core/trace.ts';
import { QUIET, recordNight } from '../score/compare/night.ts';
import { recordCircuit, SOUND, USUAL, type Circuit, type Recording } from '../score/compare/motor.ts';
import { cli, scratchFolder } from './run.ts';

const folder = scratchFolder();
const at = (name: string): string => join(folder, name);

/** A recording as a CSV file of anybody's, with the header of the contract. */
function csv(name: string, trace: Trace, unit: 'a' | 'ma' = 'a'): string {
  const factor = unit === 'a' ? 1 : 1000;
  const volts = trace.voltageV;
  const rows = Array.from(trace.timeS, (atS, i) => `${atS.toFixed(5)},${(trace.currentA[i]! * factor).toFixed(4)}${volts === null ? '' : `,${volts[i]!.toFixed(3)}`}`);
  writeFileSync(at(name), `time_s,current_a${volts === null ? '' : ',voltage_v'}\n${rows.join('\n')}\n`);
  return at(name);
}

const record = (circuit: Partial<Circuit>, seed: number, recording: Partial<Recording> = {}): Trace => recordCircuit({ ...SOUND, ...circuit }, { ...USUAL, presses: 4, ...recording }, seed).trace;

async function scenario(name: string, file: string): Promise<string> {
  if (!existsSync(at(file))) expect(await cli(['simulate', name, '--out', at(file), '--seed', '5'])).toMatchObject({ code: 0 });
  return at(file);
}

async function compared(before: string, after: string, ...more: string[]): Promise<CompareResult> {
  const run = await cli(['compare', before, after, '--json', ...more]);
  expect(run, run.err).toMatchObject({ code: 0 });
  return JSON.parse(run.out) as CompareResult;
}

describe('compare --json on pairs of the virtual vehicle', () => {
  it.each([
    ['side-step-jam', 'side-step-healthy', 'repaired'],
    ['side-step-locked', 'side-step-healthy', 'repaired'],
    ['side-step-dead', 'side-step-healthy', 'repaired'],
    ['winch-worn-contact', 'winch-healthy', 'repaired'],
    ['sliding-door-weak-feed', 'sliding-door-healthy', 'repaired'],
    ['side-step-dragging', 'side-step-healthy', 'better'],
    ['side-step-locked', 'side-step-jam', 'better'],
    ['side-step-healthy', 'side-step-dragging', 'worse'],
    ['side-step-healthy', 'side-step-jam', 'worse'],
    ['side-step-healthy', 'side-step-dead', 'worse'],
    ['side-step-jam', 'side-step-jam', 'unchanged'],
    ['side-step-healthy', 'side-step-healthy', 'unchanged'],
  ])('%s, then %s: %s', async (before, after, finding) => {
    const second = before === after ? at(`${after}-again.csv`) : await scenario(after, `${after}.csv`);
    if (before === after) await cli(['simulate', after, '--out', second, '--seed', '8']);
    const result = await compared(await scenario(before, `${before}.csv`), second, '--test', 'actuation');
    expect(result.verdict.finding, result.verdict.because.join(' ')).toBe(finding);
  });

  it.each([
    ['side-step-dragging', 'side-step-healthy', 'repaired'],
    ['side-step-healthy', 'side-step-dragging', 'worse'],
  ])('with the running range known: %s, then %s: %s', async (before, after, finding) => {
    const result = await compared(await scenario(before, `${before}.csv`), await scenario(after, `${after}.csv`), '--test', 'actuation', '--run-limits', '3:5');
    expect(result.verdict.finding).toBe(finding);
  });

  it.each([
    ['library-bus-heater', 'minibus-sleeps', 'repaired'],
    ['van-door-ajar', 'minibus-sleeps', 'repaired'],
    ['minibus-sleeps', 'library-bus-heater', 'worse'],
  ])('of nights: %s, then %s: %s', async (before, after, finding) => {
    const result = await compared(await scenario(before, `${before}.csv`), await scenario(after, `${after}.csv`), '--test', 'drain');
    expect(result.verdict.finding, result.verdict.because.join(' ')).toBe(finding);
  });

  it.each([
    ['repaired', 0.4, 0.02],
    ['better', 0.4, 0.12],
    ['unchanged', 0.2, 0.2],
    ['worse', 0.2, 0.3],
  ])('of nights from a plain file: %s from %d A to %d A', async (finding, beforeA, afterA) => {
    const files = [beforeA, afterA].map((asleepA, i) => csv(`night-${asleepA}-${i}.csv`, recordNight({ ...QUIET, asleepA }, i + 1)));
    const result = await compared(files[0]!, files[1]!, '--test', 'drain');
    expect(result.verdict.finding, result.verdict.because.join(' ')).toBe(finding);
    const asleep = result.pairs.find(({ metric }) => metric === 'asleep_a')!;
    expect(asleep.low!).toBeLessThanOrEqual(afterA - beforeA);
    expect(asleep.high!).toBeGreaterThanOrEqual(afterA - beforeA);
  });

  it('calls it repaired too when the night before ended before a late time-out could be ruled out', async () => {
    const files = [
      csv('short-before.csv', recordNight({ ...QUIET, asleepA: 0.4, lengthS: 1200 }, 1)),
      csv('short-after.csv', recordNight({ ...QUIET, asleepA: 0.02, lengthS: 1200 }, 2)),
    ] as const;
    const result = await compared(...files, '--test', 'drain');
    expect(result.verdict.because[0]).toMatch(/before: too short to tell.*after: asleep/);
    expect(result.verdict.finding).toBe('repaired');
  });

  it('has the fields of the contract on every pair, and takes the tolerance a person chose', async () => {
    const files = [await scenario('side-step-dragging', 'side-step-dragging.csv'), await scenario('side-step-healthy', 'side-step-healthy.csv')] as const;
    const result = await compared(...files, '--test', 'actuation');
    for (const pair of result.pairs) {
      expect(Object.keys(pair)).toEqual(expect.arrayContaining(['direction', 'metric', 'before', 'after', 'change', 'low', 'high', 'judgement']));
      expect(['higher', 'lower', 'same', 'unsure']).toContain(pair.judgement);
    }
    const wide = await compared(...files, '--test', 'actuation', '--tolerance', '0.6');
    expect(wide.pairs.find(({ metric }) => metric === 'run_a')!.judgement).toBe('same');
  });
});

describe('compare on files that do not fit together', () => {
  it('notices that one file is in mA, and reads it right when told its columns', async () => {
    const amps = csv('amps.csv', record({}, 1));
    const milli = csv('milli.csv', record({}, 2), 'ma');
    const result = await compared(amps, milli, '--test', 'actuation');
    expect(result.problems[0]).toMatchObject({ code: 'mixed-units' });
    expect(result.verdict.finding).toBe('unchanged');
    await cli(['convert', milli, at('milli.arrows'), '--columns', 'time=time_s,current=current_a:mA']);
    const right = await compared(amps, at('milli.arrows'), '--test', 'actuation', '--same-sensor');
    expect(right.problems.map(({ code }) => code)).not.toContain('mixed-units');
    expect(right.pairs.find(({ metric }) => metric === 'run_a')!.judgement).toBe('same');
  });

  it('says which direction only one trace has', async () => {
    const both = csv('both.csv', record({}, 1));
    const one = csv('one-way.csv', record({}, 2, { bothWays: false }));
    const { out } = await cli(['compare', both, one, '--test', 'actuation']);
    expect(out).toContain('note: Only the first trace has reverse presses; that direction is not compared.');
    const turned = record({}, 3, { bothWays: false });
    const { out: none } = await cli(['compare', one, csv('turned.csv', { ...turned, currentA: turned.currentA.map((value) => -value) }), '--test', 'actuation']);
    expect(none).toContain('no direction in common');
  });

  it('keeps to the findings when the first trace holds no event', async () => {
    const flat = csv('flat.csv', { timeS: Float64Array.from({ length: 2000 }, (_, i) => i / 1000), currentA: new Float32Array(2000), voltageV: null, gaps: [] });
    const { out, code } = await cli(['compare', flat, csv('ran.csv', record({}, 2)), '--test', 'actuation']);
    expect(code).toBe(0);
    expect(out).toMatch(/^finding: unchanged \(nothing can be claimed\)\n/);
    expect(out).toContain('The first trace has no press of the switch, so only the findings can be compared');
  });

  it('compares what is whole of a damaged recording, and says so', async () => {
    const before = at('before-folder');
    await cli(['simulate', 'side-step-healthy', '--out', before, '--seed', '6']);
    const samples = join(before, 'samples.arrows');
    const bytes = readFileSync(samples);
    bytes[Math.floor(bytes.length * 0.9)]! ^= 0x10;
    writeFileSync(samples, bytes);
    const result = await compared(before, await scenario('side-step-dragging', 'side-step-dragging.csv'), '--test', 'actuation');
    expect(result.problems.map(({ text }) => text).join(' ')).toMatch(/First trace: .*The rest was compared/);
    expect(result.verdict.finding).toBe('worse');
  });
});

describe('compare by two sensors', () => {
  /** the same sound motor twice, the second time by a clamp that reads `factor` times as much */
  const twice = (factor: number): [string, string] => {
    const second = record({}, 12);
    return [csv('clamp-one.csv', record({}, 11)), csv(`clamp-${factor}.csv`, { ...second, currentA: second.currentA.map((value) => value * factor) })];
  };

  it('does not take two clamps 5 % apart for a change of the motor', async () => {
    for (const factor of [0.95, 1.05]) {
      const result = await compared(...twice(factor), '--test', 'actuation');
      expect(result.verdict.finding, result.verdict.because.join(' ')).toBe('unchanged');
      expect(result.problems.map(({ code }) => code)).toContain('different-sensor');
      const run = result.pairs.find(({ metric }) => metric === 'run_a')!;
      expect(run.low!).toBeLessThan(0);
      expect(run.high!).toBeGreaterThan(0);
    }
  });

  it('tells the same step by one sensor, whose scale cancels, and a larger one by any two', async () => {
    const same = await compared(...twice(0.9), '--test', 'actuation', '--same-sensor');
    expect(same.pairs.find(({ metric }) => metric === 'run_a')!.judgement).toBe('lower');
    expect(same.problems.map(({ code }) => code)).not.toContain('different-sensor');
    const dragging = await compared(csv('sound.csv', record({}, 1)), csv('drag.csv', record({ dryNm: SOUND.dryNm * 1.8 }, 2)), '--test', 'actuation');
    expect(dragging.verdict.finding).toBe('worse');
  });

  it('knows the sensor of recorded traces by their logger', async () => {
    await cli(['simulate', 'side-step-healthy', '--out', at('one-sensor-1'), '--seed', '1']);
    await cli(['simulate', 'side-step-healthy', '--out', at('one-sensor-2'), '--seed', '2']);
    const result = await compared(at('one-sensor-1'), at('one-sensor-2'));
    expect(result.problems.map(({ code }) => code)).not.toContain('different-sensor');
    expect(result.verdict.finding).toBe('unchanged');
  });
});

describe('compare --overlay', () => {
  it('writes every pair on one switch edge with the difference, whatever the rates and starts', async () => {
    const files = [csv('slow.csv', record({}, 1, { rateHz: 1000, noiseA: 0.01 })), csv('fast.csv', record({}, 2, { rateHz: 2500, noiseA: 0.01 }))];
    expect(await cli(['compare', ...files, '--test', 'actuation', '--json', '--overlay', at('overlay.csv')])).toMatchObject({ code: 0 });
    const [head, ...rows] = readFileSync(at('overlay.csv'), 'utf8').trimEnd().split('\n');
    expect(head).toBe('direction,number,time_s,before_a,after_a,difference_a');
    const cells = rows.map((row) => row.split(','));
    expect([...new Set(cells.map(([direction, number]) => `${direction} ${number}`))]).toEqual(['forward 1', 'forward 2', 'reverse 1', 'reverse 2']);
    for (const [, , , beforeA, afterA, differenceA] of cells) expect(Number(differenceA)).toBeCloseTo(Number(afterA) - Number(beforeA), 3);
    // the same motor twice: on one edge even the steep rise leaves little, some per cent of its 14 A
    const rise = cells.filter(([, , atS]) => Number(atS) > -0.005 && Number(atS) < 0.05).map(([, , , , , differenceA]) => Math.abs(Number(differenceA)));
    expect(rise.reduce((sum, value) => sum + value, 0) / rise.length).toBeLessThan(0.6);
    expect(await cli(['compare', at('night-0.4-0.csv'), at('night-0.02-1.csv'), '--test', 'drain', '--overlay', at('none.csv')])).toMatchObject({ code: 1 });
  });
});

describe('compare with three or more traces', () => {
  it('puts the one that stands out first, for people and for scripts', async () => {
    const files = [csv('left.csv', record({}, 1)), csv('right.csv', record({ dryNm: SOUND.dryNm * 1.4 }, 2)), csv('spare.csv', record({}, 3))];
    const people = await cli(['compare', ...files, '--test', 'actuation']);
    expect(people.out).toMatch(/^finding: one-stands-out\n - right: running current \w+ \d\d % above the others/);
    const result = JSON.parse((await cli(['compare', ...files, '--test', 'actuation', '--json'])).out) as ManyResult;
    expect(result.traces.map(({ name }) => name)[0]).toBe('right');
    expect(result.actuations).toHaveLength(12);
    expect(await cli(['compare', ...files, '--test', 'actuation', '--fail-on', 'finding'])).toMatchObject({ code: 3 });
    expect(await cli(['compare', ...files, '--test', 'actuation', '--tolerance', '0.1'])).toMatchObject({ code: 2 });
  });

  it('refuses a mixture of tests, naming the two that do not fit', async () => {
    await cli(['simulate', 'side-step-healthy', '--out', at('motor'), '--seed', '1']);
    await cli(['simulate', 'van-quick-drain', '--out', at('night'), '--seed', '1']);
    const run = await cli(['compare', at('motor'), await scenario('side-step-healthy', 'side-step-healthy.csv'), at('night')]);
    expect(run).toMatchObject({ code: 1, out: '' });
    expect(run.err).toContain('nothing can be compared');
  });
});
