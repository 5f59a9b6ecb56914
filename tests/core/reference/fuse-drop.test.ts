import { describe, expect, it } from 'vitest';
import { fuseDropCurrent, type FuseDrop } from '../../../src/core/reference/fuse-drop.ts';

const told = (...call: Parameters<typeof fuseDropCurrent>): FuseDrop => {
  const drop = fuseDropCurrent(...call);
  if (typeof drop === 'string') throw new Error(drop);
  return drop;
};

describe('millivolts across a fuse', () => {
  it('are 130 mA a millivolt on a 10 A ATO fuse (mvwautotechniek.nl)', () => {
    expect(told('ato', 10, 0.001).currentA).toBeCloseTo(0.13, 3);
  });

  it('are 22 mA for 0.1 mV and 218 mA for 1.0 mV on a 15 A MINI fuse (MACS Service Reports, June 2017)', () => {
    expect(told('mini', 15, 0.0001).currentA).toBeCloseTo(0.022, 3);
    expect(told('mini', 15, 0.001).currentA).toBeCloseTo(0.218, 3);
  });

  it('read high near the rating: a 40 A ATO fuse at 40 A drops 96 mV (data sheet), and the band reaches down to the truth', () => {
    const drop = told('ato', 40, 0.096);
    expect(drop.currentA).toBeGreaterThan(60);
    expect(drop.lowA).toBeLessThan(40);
    expect(drop.warnings[0]).toContain('warm');
    const maxi = told('maxi', 40, 0.075);
    expect(maxi.lowA).toBeLessThan(40);
  });

  it('always warn of imitation fuses, and of a reading near the zero of the meter', () => {
    expect(told('ato', 10, 0.0001).warnings.join()).toMatch(/zero error[\s\S]*Imitation/);
  });

  it('keep the sign, and a band around the value', () => {
    const drop = told('maxi', 30, -0.001);
    expect(drop.currentA).toBeLessThan(0);
    expect(drop.lowA).toBeLessThan(drop.currentA);
    expect(drop.highA).toBeGreaterThan(drop.currentA);
  });

  it('cannot be told for a rating without a checked value, or for volts', () => {
    expect(fuseDropCurrent('mini', 7.5, 0.001)).toMatch(/no value that could be checked/);
    expect(fuseDropCurrent('ato', 10, 12)).toMatch(/millivolts/);
    expect(fuseDropCurrent('ato', 10, NaN)).toBeTypeOf('string');
  });
});
