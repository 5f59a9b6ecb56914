import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../../../analyse.ts';
import type { Commutation } from '../../../../src/core/analysis/results.ts';
import { turningMotor } from './turning.ts';

/**
 * What a bad segment looks like: common practice (one hump of the commutation low or missing each time round), no published source with
 * figures. The motors are drawn by another rule than the virtual vehicle's equations; figures are for these fixed seeds.
 */
const SEEDS = Array.from({ length: 40 }, (_value, i) => 1001 + i);
/** of the running current that is missing in one commutation */
const SHARES = [0, 0.15] as const;

const motorsBy = new Map(SHARES.map((low) => [low, SEEDS.map((seed) => turningMotor(seed, low))]));

function tellings(low: (typeof SHARES)[number], known: boolean): { reported: Commutation | undefined; revolutionsHz: number }[] {
  return (motorsBy.get(low) ?? []).map((motor) => {
    const result = analyseActuation(motor.trace, known ? { commutationsPerRevolution: motor.perRevolution } : {});
    return { reported: result.actuations[0]?.bad_commutation, revolutionsHz: motor.revolutionsHz };
  });
}

describe('folding the run at the revolution rate', () => {
  it('finds a commutation that lacks 15 % of the current in at least 95 of 100 motors, and by how much', () => {
    const found = tellings(0.15, true).filter(({ reported }) => reported !== undefined);
    expect(found.length / SEEDS.length).toBeGreaterThanOrEqual(0.95);
    for (const { reported, revolutionsHz } of found) {
      expect(Math.abs((reported?.revolutions_per_s as number) / revolutionsHz - 1)).toBeLessThan(0.03);
      expect(reported?.low_a).toBeLessThanOrEqual(reported?.depth_a as number);
      expect(reported?.high_a).toBeGreaterThanOrEqual(reported?.depth_a as number);
    }
    const shares = found.map(({ reported }) => reported?.share as number).sort((a, b) => a - b);
    expect(shares[shares.length >> 1]).toBeGreaterThan(0.1);
    expect(shares[shares.length >> 1]).toBeLessThan(0.18);
  });

  it('finds it without the ripples per revolution in at least 85 of 100, by the comb of lines it makes', () => {
    expect(tellings(0.15, false).filter(({ reported }) => reported !== undefined).length / SEEDS.length).toBeGreaterThanOrEqual(0.85);
  });

  it.each([true, false])('calls at most one in 40 sound motors bad, although rotation-rate lines are stronger than their ripple (ripples per revolution typed in: %s)', (known) => {
    expect(tellings(0, known).filter(({ reported }) => reported !== undefined).length / SEEDS.length).toBeLessThanOrEqual(0.025);
  });

  it('names it in the verdict with its uncertainty, and asks for brushes and a second look before a motor', () => {
    const motor = turningMotor(1003, 0.2);
    const { verdict } = analyseActuation(motor.trace, { commutationsPerRevolution: motor.perRevolution });
    expect(verdict.finding).toBe('suspect');
    expect(verdict.because.join(' ')).toMatch(/one commutator bar draws .* \(.* to .*\) less than its neighbours/);
    expect(verdict.next.join(' ')).toMatch(/record again.*before buying a motor/s);
  });
});
