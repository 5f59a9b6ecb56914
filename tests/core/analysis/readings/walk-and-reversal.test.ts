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

  it('is the same whichever way round the clamp sits', () => {
    const wires = { feedWire: { areaMm2: 1.5, lengthM: 6 }, backWire: null };
    expect(walkOf({ volts, currentA: -8, ...wires })).toEqual(walkOf({ volts, currentA: 8, ...wires }));
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

  it('names of several the one that loses most beyond what it may', () => {
    // 0.9 V are 0.4 too many in the feed, 0.7 V are 0.5 too many on the way back
    expect(walkOf({ ...bare, volts: { battery: 12.6, 'fuse-out': 11.7, 'motor-minus': 0.7 } }).worst).toMatchObject({ from: 'motor-minus' });
    expect(walkOf({ ...bare, volts: { battery: 12.6, 'fuse-out': 11.5, 'motor-minus': 0.7 } }).worst).toMatchObject({ from: 'battery' });
  });

  it('works out resistances by hand: 0.5 V at 10 A are 50 mohm, of 0.48 V at 10.2 A up to 0.52 V at 9.8 A', () => {
    const [section] = walkOf({ ...bare, volts: { battery: 12.5, 'fuse-out': 12 }, currentA: 10 }).sections;
    expect(section!.ohm).toBeCloseTo(0.05, 12);
    expect(section!.lowOhm).toBeCloseTo(0.48 / 10.2, 12);
    expect(section!.highOhm).toBeCloseTo(0.52 / 9.8, 12);
    // nothing lost: no less than nothing, and up to two digits
    const [good] = walkOf({ ...bare, volts: { battery: 12, 'fuse-out': 12.01 }, currentA: 10 }).sections;
    expect(good).toMatchObject({ state: 'keeps', ohm: 0, lowOhm: 0, highOhm: expect.closeTo(0.01 / 9.8, 9) });
    expect(walkOf({ ...bare, volts: { battery: 12, 'fuse-out': 12.015 }, currentA: 10 }).sections[0]!.state).toBe('keeps');
    expect(walkOf({ ...bare, volts: { battery: 12, 'fuse-out': 12.025 }, currentA: 10 }).sections[0]!.state).toBe('gains');
    for (const currentA of [null, 0]) expect(walkOf({ ...bare, volts: { battery: 12.5, 'fuse-out': 12 }, currentA }).sections[0]).toMatchObject({ ohm: null, lowOhm: null, highOhm: null, state: 'keeps' });
  });

  it('tells of a side only what was measured of it', () => {
    const wire = { areaMm2: 1.5, lengthM: 6 };
    expect(walkOf({ volts: { battery: 12 }, currentA: 10, feedWire: wire, backWire: wire })).toMatchObject({ feed: null, back: null });
    expect(walkOf({ volts: { 'motor-plus': 12 }, currentA: 10, feedWire: wire, backWire: wire })).toMatchObject({ feed: null, back: null });
    expect(walkOf({ volts, currentA: null, feedWire: wire, backWire: wire })).toMatchObject({ feed: { wireV: null }, back: { wireV: null } });
    expect(walkOf({ volts, currentA: 10, feedWire: null, backWire: wire })).toMatchObject({ feed: { wireV: null }, back: { wireV: expect.closeTo(0.798, 6) } });
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
    ['weak: cannot be called weak', lead(8, 0.1), lead(0.1, 8), 'cannot-tell'],
    ['24 V, good both ways', lead(24.6, 0.1), lead(0.1, 24.5), 'both-ways'],
    ['24 V system with half its volts', lead(24.6, 0.1), lead(0.1, 12.5), 'cannot-tell'],
    ['the same, the other way round', lead(12.5, 0.1), lead(0.1, 24.6), 'cannot-tell'],
    ['both leads live one way, nothing the other way: the supply is there', lead(12.4, 12.3), lead(0, 0), 'one-way'],
    ['the same, the other way round', lead(0, 0), lead(12.4, 12.3), 'one-way'],
    ['a lead that floats below a volt is none', lead(0.9, 0), lead(0, 0.9), 'no-way'],
    ['one lead live without the other is no open way back', lead(12.4, 11.9), lead(0, 0), 'one-way'],
    ['10.5 V is the supply of 12 V (ISO 16750-2, class D)', lead(10.5, 0), lead(0, 10.5), 'both-ways'],
    ['less than that is weak', lead(10.4, 0), lead(0, 10.4), 'cannot-tell'],
    ['a volt is weak', lead(1, 0), lead(0, 0), 'cannot-tell'],
    ['10.5 V at both leads is an open way back', lead(10.5, 10.5), lead(10.5, 10.5), 'no-return'],
    ['less there is none', lead(10.4, 10.4), lead(10.4, 10.4), 'no-way'],
    ['16 V is still 12 V (ISO 16750-2, table 1)', lead(16, 0), lead(0, 16), 'both-ways'],
    ['16.1 V is a weak 24 V', lead(16.1, 0), lead(0, 16.1), 'cannot-tell'],
    ['a tenth of an ampere is current', lead(12, 0, 0.1), lead(0, 12, 0), 'both-ways'],
    ['current one way is current', lead(12, 0, 0.01), lead(0, 12, 3), 'both-ways'],
    ['where no current was measured, none is missed', lead(12, 0), lead(0, 12, 0.01), 'both-ways'],
  ] as const)('%s', (_name, forward, reverse, outcome) => {
    expect(supplyReversal({ forward, reverse }).outcome).toBe(outcome);
  });

  it('is the same with both leads changed over, the volts with their signs turned', () => {
    const volts = fc.constantFrom(0, 0.3, 5, 10.4, 10.5, 12.4);
    const leads = fc.record({ aV: volts, bV: volts, currentA: fc.constantFrom(null, 0, 5) });
    fc.assert(fc.property(leads, leads, (forward, reverse) => {
      const turned = ({ aV, bV, currentA }: ReturnType<typeof lead>) => lead(bV, aV, currentA);
      const [one, other] = [supplyReversal({ forward, reverse }), supplyReversal({ forward: turned(forward), reverse: turned(reverse) })];
      expect(other.outcome).toBe(one.outcome);
      expect(one.forwardV + other.forwardV).toBe(0);
      expect(one.forwardV).toBeCloseTo(forward.aV - forward.bV, 12);
      expect(supplyReversal({ forward: reverse, reverse: forward }).outcome).toBe(one.outcome);
    }));
  });
});
