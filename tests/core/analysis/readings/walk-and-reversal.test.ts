import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { walkOf } from '../../../../src/core/analysis/readings/drop-walk.ts';
import { supplyReversal } from '../../../../src/core/analysis/readings/supply-reversal.ts';

const bare = { currentA: null, feedWire: null, backWire: null };

describe('a voltage-drop walk', () => {
  const volts = { battery: 12.6, 'fuse-out': 12.45, 'switch-in': 12.4, 'switch-out': 10.9, 'motor-plus': 10.7, 'motor-minus': 0.15, ground: 0.05 };

  it('names the section that loses the volts, with its resistance and bounds from the current beside it', () => {
    const { worst, sections, feed, back } = walkOf({ ...bare, volts, currentA: 8 });
    expect(worst).toMatchObject({ from: 'switch-in', to: 'switch-out', state: 'loses' });
    expect(worst?.ohm).toBeCloseTo(1.5 / 8, 9);
    expect(worst?.lowOhm).toBeLessThan(1.5 / 8);
    expect(worst?.highOhm).toBeGreaterThan(1.5 / 8);
    expect(sections.find(({ from }) => from === 'motor-plus')).toMatchObject({ state: 'load', ohm: null });
    expect(feed?.lossV).toBeCloseTo(1.9, 9);
    expect(back?.lossV).toBeCloseTo(0.15, 9);
  });

  it('sets the loss of the feed beside what its wire alone would lose: 0.798 V in 6 m of 1.5 mm2 at 10 A (13.3 mohm/m, IEC 60228 class 5)', () => {
    const { feed } = walkOf({ volts, currentA: 10, feedWire: { areaMm2: 1.5, lengthM: 6 }, backWire: null });
    expect(feed?.wireV).toBeCloseTo(0.798, 6);
  });

  it('allows half a volt in a section of the feed and 0.2 V on the way back, not more (Kia Sportage 1997; Cub Cadet SLTX1000)', () => {
    expect(walkOf({ ...bare, volts: { battery: 12.5, 'fuse-out': 12 } }).worst).toBeNull();
    expect(walkOf({ ...bare, volts: { battery: 12.5, 'fuse-out': 11.99 } }).worst).not.toBeNull();
    expect(walkOf({ ...bare, volts: { 'motor-minus': 0.2 } }).worst).toBeNull();
    expect(walkOf({ ...bare, volts: { 'motor-minus': 0.21 } }).worst).toMatchObject({ from: 'motor-minus', to: 'battery-minus' });
  });

  it('says so when volts rise along the way: the readings were not taken at the same load', () => {
    expect(walkOf({ ...bare, volts: { battery: 11.9, 'fuse-out': 12.4 } }).sections[0]?.state).toBe('gains');
  });

  it('gives bounds that hold the resistance that made the readings, last digit and clamp gain included', () => {
    const part = fc.double({ min: 0.005, max: 0.4, noNaN: true });
    fc.assert(fc.property(part, part, fc.double({ min: 1, max: 30, noNaN: true }), fc.double({ min: -0.019, max: 0.019, noNaN: true }), (fuseOhm, switchOhm, currentA, gain) => {
      const digit = (v: number): number => Math.round(v * 100) / 100;
      const { sections } = walkOf({ ...bare, currentA: currentA * (1 + gain), volts: { battery: digit(12.6), 'fuse-out': digit(12.6 - currentA * fuseOhm), 'switch-out': digit(12.6 - currentA * (fuseOhm + switchOhm)) } });
      for (const [index, ohm] of [fuseOhm, switchOhm].entries()) {
        expect(sections[index]!.lowOhm).toBeLessThanOrEqual(ohm);
        expect(sections[index]!.highOhm).toBeGreaterThanOrEqual(ohm);
      }
    }));
  });
});

describe('the supply reversal at a two-way motor', () => {
  const lead = (aV: number, bV: number, currentA: number | null = null) => ({ aV, bV, currentA });

  it.each([
    ['good both ways', lead(12.3, 0.1), lead(0.1, 12.2), 'both-ways'],
    ['one way only: the switch does not feed the other lead', lead(12.3, 0.1), lead(0, 0), 'one-way'],
    ['one way only: the other lead is not let go to ground', lead(12.3, 0.1), lead(12.3, 12.3), 'one-way'],
    ['the same way twice: one contact is stuck', lead(12.3, 0.1), lead(12.3, 0.1), 'one-way'],
    ['none: up the circuit', lead(0, 0), lead(0.1, 0), 'no-way'],
    ['both leads live both ways: the way back is open', lead(12.4, 12.3), lead(12.3, 12.4), 'no-return'],
    ['full volts and no current: the motor', lead(12.5, 0, 0.01), lead(0, 12.5, -0.02), 'volts-no-current'],
    ['full volts and current', lead(12.1, 0.2, 4.1), lead(0.2, 12.1, -4), 'both-ways'],
    ['weak: cannot be told so', lead(8, 0.1), lead(0.1, 8), 'cannot-tell'],
    ['24 V, good both ways', lead(24.6, 0.1), lead(0.1, 24.5), 'both-ways'],
    ['24 V system with half its volts', lead(24.6, 0.1), lead(0.1, 12.5), 'cannot-tell'],
  ] as const)('%s', (_name, forward, reverse, outcome) => {
    expect(supplyReversal({ forward, reverse }).outcome).toBe(outcome);
  });
});
