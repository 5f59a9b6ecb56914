import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import type { ActuationResult } from '../../src/core/analysis/results.ts';
import { cli, scratchFolder } from './run.ts';

const folder = scratchFolder();

async function analysed(path: string, ...more: string[]): Promise<ActuationResult> {
  const { out, code } = await cli(['analyse', path, '--test', 'actuation', '--json', ...more]);
  expect(code).toBe(0);
  return JSON.parse(out) as ActuationResult;
}

describe('a motor test on the command line', () => {
  const step = join(folder, 'step.csv');
  beforeAll(async () => {
    await cli(['simulate', 'side-step-jam', '--out', step, '--seed', '5']);
  });

  // LCM(2 brushes, 8 segments) = 8 (driver for the TI DRV821x)
  it('takes brushes and segments in place of ripples per revolution, and tells the same turns', async () => {
    const byParts = await analysed(step, '--brushes', '2', '--segments', '8');
    const typed = await analysed(step, '--commutations', '8');
    const unknown = await analysed(step);
    expect(byParts).toEqual(typed);
    expect(typed.actuations[0]?.ripple?.revolutions_per_s).toBeGreaterThan(30);
    expect(typed.actuations[0]?.travel?.revolutions).toBeGreaterThan(55);
    expect(typed.actuations[0]?.travel?.revolutions).toBeLessThan(66);
    expect(unknown.actuations[0]?.travel?.revolutions).toBeNull();
  });

  it('judges wire and fuse that were typed in, and prints both with their uncertainty', async () => {
    const { out } = await cli(['analyse', step, '--test', 'actuation', '--wire', '16awg:6:40', '--fuse', '10', '--commutations', '8', '--bandwidth', '20000']);
    expect(out).toMatch(/6 m of 1\.31 mm² at 40 °C accounts for 85 of the feed's 100 milliohm/);
    expect(out).toMatch(/140 % of the 10 A fuse/);
    expect(out).toMatch(/est\. stall A +time const\. ms +L\/R ms +turns +fuse +I2t A2s +wire, % of drop/);
  });

  it('prints bounds as bounds where the sensor ended', async () => {
    const rows = Array.from({ length: 4000 }, (_value, i) => {
      const atS = i / 1000;
      const amps = atS < 1 || atS >= 3 ? 0 : Math.min(10, 4 + 36 * Math.exp(-(atS - 1) / 0.04));
      return `${atS.toFixed(4)},${(amps + 0.02 * Math.sin(i * i)).toFixed(4)}`;
    });
    const path = join(folder, 'clipped.csv');
    writeFileSync(path, `time_s,current_a\n${rows.join('\n')}\n`);
    const { out } = await cli(['analyse', path, '--test', 'actuation', '--full-scale', '10']);
    expect(out).toMatch(/>= 10\.0/);
    expect(out).toMatch(/peak at least 10\.0 A/);
    expect(out).toMatch(/note: Readings stop at 10\.0 A, the end of the sensor's range/);
  });

  it.each([
    ['brushes without segments', ['--brushes', '2']],
    ['both ways at once', ['--commutations', '8', '--brushes', '2', '--segments', '8']],
    ['a bandwidth of nothing', ['--bandwidth', '0']],
  ])('%s: exit 2', async (_name, more) => {
    expect((await cli(['analyse', step, '--test', 'actuation', ...more])).code).toBe(2);
  });
});

describe('the virtual vehicle\'s side step', () => {
  // 100 turns of the motor from one limit switch to the other (src/simulate/motor-parts.ts); what it coasts on is run back under power
  it('is found to make its 100 turns each way, and no further one way than the other', async () => {
    const path = join(folder, 'healthy.csv');
    await cli(['simulate', 'side-step-healthy', '--out', path, '--seed', '5']);
    const { actuations, asymmetry } = await analysed(path, '--commutations', '8');
    for (const { travel } of actuations) {
      expect(Math.abs((travel?.revolutions as number) - 100)).toBeLessThan(3);
      expect(travel?.low_revolutions).toBeLessThan(101);
      expect(travel?.high_revolutions).toBeGreaterThan(99);
    }
    expect(asymmetry?.low_travel_ratio).toBeLessThan(1);
    expect(asymmetry?.high_travel_ratio).toBeGreaterThan(1);
  });
});

describe('the virtual vehicle\'s burnt segment', () => {
  it.each([[[]], [['--commutations', '10']]])('is found in every press, and in none of the sound motor (%j)', async (more) => {
    const path = (scenario: string): string => join(folder, `${scenario}.csv`);
    for (const scenario of ['sliding-door-bad-segment', 'sliding-door-healthy']) await cli(['simulate', scenario, '--out', path(scenario), '--seed', '5']);
    const bad = await analysed(path('sliding-door-bad-segment'), ...more);
    expect(bad.actuations.map(({ bad_commutation: reported }) => reported?.ripples_per_revolution)).toEqual(bad.actuations.map(() => 10));
    expect(bad.verdict.because.join(' ')).toMatch(/one commutator bar draws/);
    const sound = await analysed(path('sliding-door-healthy'), ...more);
    expect(sound.actuations.every(({ bad_commutation: reported }) => reported === undefined)).toBe(true);
    // the comb of a burnt segment does not pass for the ripple
    for (const [a, { ripple }] of bad.actuations.entries()) expect(Math.abs((ripple?.frequency_hz as number) / (sound.actuations[a]?.ripple?.frequency_hz as number) - 1)).toBeLessThan(0.03);
  });
});
