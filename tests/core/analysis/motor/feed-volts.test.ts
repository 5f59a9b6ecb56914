import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../../../analyse.ts';
import { draw, noise, press } from './traces.ts';

const isOn = (atS: number): boolean => atS >= 1 && atS < 5;

/** A motor at 10 A whose feed has so many ohm at each moment of a press of four seconds; the lead is at the motor, or at the battery. */
function fed(ohmAt: (sinceS: number) => number, { lead = 'motor', lostV = (_sinceS: number): number => 0 } = {}) {
  const [wobbleA, wobbleV] = [noise(0.02), noise(0.01, 7)];
  const amps = (atS: number): number => press(atS, 1, 5, 40, 10, 0.03);
  const volts = (atS: number): number => (isOn(atS) ? 12.6 - ohmAt(atS - 1) * amps(atS) - lostV(atS - 1) : lead === 'motor' ? 0 : 12.6);
  return analyseActuation(draw(1000, 6, (atS) => amps(atS) + wobbleA(), (atS) => volts(atS) + wobbleV()), {});
}

describe('a feed whose resistance grows while current flows', () => {
  // from 0.06 to 0.12 ohm in a straight line over four seconds: 0.07 in the middle of the first third, 0.11 of the last
  const warming = (sinceS: number): number => 0.06 * (1 + sinceS / 4);

  it('is reported with what it was and what it became', () => {
    const { actuations, verdict } = fed(warming);
    const warmed = actuations[0]?.feed_warmed;
    expect(Math.abs((warmed?.from_ohm ?? 0) - 0.07)).toBeLessThan(0.012);
    expect(Math.abs((warmed?.to_ohm ?? 0) - 0.11)).toBeLessThan(0.012);
    expect(verdict.because.join(' ')).toMatch(/resistance grew from .* to .* ohm while current flowed/);
  });

  it('is none where it stays, or grows by a tenth', () => {
    expect(fed(() => 0.1).actuations[0]).not.toHaveProperty('feed_warmed');
    expect(fed((sinceS) => 0.1 * (1 + sinceS / 40)).actuations[0]).not.toHaveProperty('feed_warmed');
  });

  it('is none where another circuit takes its volts from one moment to the next', () => {
    expect(fed(() => 0.06, { lostV: (sinceS) => (sinceS > 2 ? 0.6 : 0) }).actuations[0]).not.toHaveProperty('feed_warmed');
    expect(fed(() => 0.06, { lostV: (sinceS) => (sinceS > 1 ? 0.6 : 0) }).actuations[0]).not.toHaveProperty('feed_warmed');
  });

  it('is not reported with the lead at the battery, which sees nothing of joints and wires', () => {
    expect(fed(warming, { lead: 'battery' }).actuations[0]).not.toHaveProperty('feed_warmed');
  });
});

describe('volts with nothing flowing', () => {
  // 20 A at 11.1 V and 10 A at 12.1 V make a line of 0.1 ohm that meets no current at 13.1 V; the battery never had more than 12.6 V
  it('are at the battery never more than the highest reading', () => {
    const amps = (atS: number): number => press(atS, 1, 5, 30, 10, 0.03);
    const bent = (atS: number): number => (isOn(atS) ? 13.1 - 0.1 * amps(atS) : 12.6);
    const [wobbleA, wobbleV] = [noise(0.02), noise(0.01, 7)];
    const trace = draw(1000, 6, (atS) => amps(atS) + wobbleA(), (atS) => bent(atS) + wobbleV());
    const highestV = trace.voltageV?.reduce((most, volts) => Math.max(most, volts), 0) ?? 0;
    const { supply } = analyseActuation(trace, {}).actuations[0] ?? {};
    expect(supply).not.toBeNull();
    expect(supply?.open_v).toBeLessThanOrEqual(highestV);
  });

  it('are at the motor those of the vehicle, whatever the current and the volts do (property)', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.005, max: 0.6, noNaN: true }), fc.double({ min: 0.5, max: 12, noNaN: true }), fc.double({ min: -0.5, max: 0.5, noNaN: true }), fc.integer({ min: 1, max: 1000 }), (ohm, runA, bendV, seed) => {
        const [wobbleA, wobbleV] = [noise(0.05, seed), noise(0.02, seed + 1)];
        const amps = (atS: number): number => press(atS, 0.5, 2, 3 * runA, runA, 0.03);
        const volts = (atS: number): number => (atS >= 0.5 && atS < 2 ? Math.max(0.5, 12.6 - ohm * amps(atS) + bendV * Math.sin(40 * atS)) : 0);
        const { supply } = analyseActuation(draw(500, 2.5, (atS) => amps(atS) + wobbleA(), (atS) => volts(atS) + wobbleV()), {}).actuations[0] ?? {};
        expect(supply?.open_v ?? 0).toBeLessThan(18);
      }),
      { numRuns: 40, seed: 5 },
    );
  });
});
