import { describe, expect, it } from 'vitest';
import type { Mark } from '../../../../src/core/trace.ts';
import type { DrainResult } from '../../../../src/core/analysis/results.ts';
import type { Trace } from '../../../../src/core/trace.ts';
import { makeNight, nightSituations } from '../../../score/situations/night/run.ts';
import { read as readNight, recording, withGaps } from './recording.ts';

/** of a vehicle whose maker gives 5 minutes to settle (Saturn Aura 2008) */
const read = (trace: Trace, marks: readonly Mark[]): DrainResult => readNight(trace, marks, { settlingS: 300 });

interface Out {
  readonly fromS: number;
  readonly toS: number;
  readonly carriesA: number;
}

/** 25 mA that no fuse takes away, the given circuits, and whatever is added on top. */
const floorA = (outs: readonly Out[], addedA: (atS: number) => number = () => 0) => (atS: number): number =>
  0.025 + outs.reduce((sum, { fromS, toS, carriesA }) => sum + (atS >= fromS && atS < toS ? 0 : carriesA), 0) + addedA(atS);
const pull = (timeS: number, label: string): Mark => ({ timeS, kind: 'pull', label });
const refit = (timeS: number, label: string): Mark => ({ timeS, kind: 'refit', label });
const F3: Out = { fromS: 900, toS: 960, carriesA: 0.15 };
const F9: Out = { fromS: 1020, toS: 1080, carriesA: 0.004 };

describe('fuses pulled by a person', () => {
  it.each([-10, -4, 0, 4, 10])('are placed where the current changed although the mark is %i s off', (offS) => {
    const { pulls } = read(recording(1200, 10, 0.003, floorA([F3, F9])), [pull(900 + offS, 'F3'), refit(960, 'F3'), pull(1020, 'F9'), refit(1080, 'F9')]);
    expect(Math.abs(pulls[0].at_s - 900)).toBeLessThan(0.5);
    expect(Math.abs(pulls[0].change_a + 0.15)).toBeLessThan(0.002);
    expect(pulls[0].carries).toBe(true);
  });

  it('are measured past the blip of the hand and a wake-up that the pull or the refit sets off', () => {
    const addedA = (atS: number): number => (atS >= 899.6 && atS < 900.2 ? 0.4 : 0) + (atS >= 901 && atS < 921 ? 0.6 : 0) + (atS >= 960 && atS < 985 ? 0.8 : 0);
    const { pulls, wakeups } = read(recording(1200, 10, 0.003, floorA([F3, F9], addedA)), [pull(901, 'F3'), refit(961, 'F3'), pull(1020, 'F9'), refit(1080, 'F9')]);
    expect(Math.abs(pulls[0].change_a + 0.15)).toBeLessThan(0.002);
    expect(Math.abs(pulls[1].change_a + 0.004)).toBeLessThan(0.002);
    expect(wakeups.map((wake) => wake.cause)).toEqual(['fuse', 'fuse']);
  });

  it('are measured when they stay out, each from what the ones before have left', () => {
    const outs = [{ ...F3, toS: Infinity }, { ...F9, toS: Infinity }];
    const { pulls, unexplained_a: leftA } = read(recording(1200, 10, 0.003, floorA(outs)), [pull(900, 'F3'), pull(1020, 'F9')]);
    expect(Math.abs(pulls[0].change_a + 0.15)).toBeLessThan(0.001);
    expect(Math.abs(pulls[1].change_a + 0.004)).toBeLessThan(0.001);
    expect(Math.abs((leftA ?? 0) - 0.025)).toBeLessThan(0.001);
  });

  it('are measured although nobody marked that they were put back', () => {
    const { pulls, wakeups } = read(recording(1500, 10, 0.003, floorA([F3, F9])), [pull(901, 'F3'), pull(1019, 'F9')]);
    expect(pulls.map((one) => one.label)).toEqual(['F3', 'F9']);
    expect(Math.abs(pulls[0].change_a + 0.15)).toBeLessThan(0.001);
    expect(Math.abs(pulls[1].change_a + 0.004)).toBeLessThan(0.001);
    expect(wakeups).toEqual([]);
  });

  it('carry nothing when the change is within its uncertainty', () => {
    const { pulls, problems } = read(recording(1200, 10, 0.02, floorA([{ ...F9, carriesA: 0 }])), [pull(1020, 'F9'), refit(1080, 'F9')]);
    expect(pulls[0].carries).toBe(false);
    expect(pulls[0].low_a).toBeLessThanOrEqual(0);
    expect(pulls[0].high_a).toBeGreaterThanOrEqual(0);
    expect(problems.map((problem) => problem.code)).not.toContain('shared-drain');
  });

  it('are not measured from a level that a stir has only just left', () => {
    // the pull wakes the vehicle; its last module still draws 41 mA when the fuse goes back after a minute
    const stirA = (atS: number): number => (atS >= 900 && atS < 945 ? 1.6 : atS >= 945 && atS < 1010 ? 0.041 : 0);
    const { pulls } = read(recording(1500, 10, 0.003, floorA([F3], stirA)), [pull(900, 'F3'), refit(960, 'F3')]);
    expect(pulls[0].carries === null || Math.abs(pulls[0].change_a + 0.15) < 0.005).toBe(true);
  });

  it('allow for what came on top of a pull that seems to add current', () => {
    const { pulls } = read(recording(1500, 10, 0.001, floorA([{ ...F9, carriesA: 0 }], (atS) => (atS >= 1000 ? 0.0015 : 0))), [pull(1020, 'F9'), refit(1080, 'F9')]);
    expect(pulls[0].low_a).toBeLessThanOrEqual(0);
  });

  it('each have an entry, with bounds that hold all they may carry, when nothing was recorded beside the pull', () => {
    const trace = withGaps(recording(1200, 10, 0.003, floorA([F3])), [[890, 970]]);
    const { pulls, verdict } = read(trace, [pull(900, 'F3'), refit(960, 'F3'), pull(1020, 'F9'), refit(1080, 'F9')]);
    expect(pulls).toHaveLength(2);
    const open = pulls.find((one) => one.label === 'F3');
    expect(open).toMatchObject({ carries: null });
    expect(open?.low_a).toBeLessThan(-0.15);
    expect(open?.high_a).toBeGreaterThanOrEqual(0);
    expect(verdict.next.join(' ')).toContain('Pull fuse F3 again');
  });

  it('each have an entry in a recording too short or too odd to find any rest in', () => {
    for (const trace of [recording(20, 10, 0.003, () => 0.2), recording(0, 10, 0, () => 0), recording(300, 10, 0.5, (atS) => 2 + Math.sin(atS))]) {
      const { pulls } = read(trace, [pull(5, 'F1'), pull(12, 'F2'), pull(5000, 'F3')]);
      expect(pulls.map((one) => one.label).sort()).toEqual(['F1', 'F2', 'F3']);
      expect(pulls.map((one) => one.carries)).toEqual([null, null, null]);
      expect(JSON.stringify(pulls)).not.toContain('_a":null');
    }
  });
});

describe('a module at work', () => {
  it.each([600, 1195, 1196])('is no fuse pulled, though its current steps down and up by chance (night %i)', (seed) => {
    const night = makeNight(nightSituations.find(({ name }) => name === 'never-sleeps')!, seed);
    const { possible_pulls: possible, verdict } = readNight(night.trace);
    expect(possible).toEqual([]);
    expect(['drain', 'awake']).toContain(verdict.finding);
  });
});
