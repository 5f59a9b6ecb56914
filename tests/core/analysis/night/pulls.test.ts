import { describe, expect, it } from 'vitest';
import type { Mark } from '../../../../src/core/trace.ts';
import { simulateTrace } from '../../../simulate/simulate-trace.ts';
import { findScenario } from '../../../../src/simulate/scenarios.ts';
import { read, recording } from './recording.ts';

describe('fuse pulls beside wake-ups that a refit causes', () => {
  it.each([1, 2])('measures every fuse of a parked flatbed within 1 mA although each refit wakes its module (seed %i)', (seed) => {
    const scenario = findScenario('flatbed-fuse-pulls');
    if (scenario === undefined) throw new Error('no scenario flatbed-fuse-pulls');
    const { trace, marks, truth } = simulateTrace(scenario, seed);
    const { pulls, wakeups } = read(trace, marks, { settlingS: 600 });
    expect(pulls).toHaveLength(6);
    for (const pull of pulls) expect(Math.abs(pull.change_a + truth.fuseCurrentsA[pull.label])).toBeLessThan(0.001);
    expect(wakeups.map((wake) => wake.cause)).toEqual(truth.wakeUps.map(() => 'fuse'));
  });

  it('takes the level from before the earlier pull when its refit keeps a module awake until the next pull', () => {
    // F1 carries 10 mA and wakes for 200 s when put back at 630 s; F2 carries 150 mA, is pulled at 700 s and out until a rest has been seen again
    const levelA = (atS: number): number =>
      0.02 + (atS >= 600 && atS < 630 ? 0 : 0.01) + (atS >= 630 && atS < 830 ? 0.6 : 0) + (atS >= 700 && atS < 870 ? 0 : 0.15);
    const marks: Mark[] = [
      { timeS: 600, kind: 'pull', label: 'F1' },
      { timeS: 630, kind: 'refit', label: 'F1' },
      { timeS: 700, kind: 'pull', label: 'F2' },
      { timeS: 870, kind: 'refit', label: 'F2' },
    ];
    const { pulls } = read(recording(1000, 10, 0.002, levelA), marks, { settlingS: 300 });
    // largest first
    expect(pulls.map((pull) => pull.label)).toEqual(['F2', 'F1']);
    expect(Math.abs(pulls[0].change_a + 0.15)).toBeLessThan(0.003);
    expect(pulls[1].change_a).toBeCloseTo(-0.01, 2);
    expect(pulls.map((pull) => pull.carries)).toEqual([true, true]);
  });
});
