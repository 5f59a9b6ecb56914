import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../../../../analyse.ts';
import type { LoadKind } from '../../../../../src/core/analysis/results.ts';
import { draw, noise, press } from '../traces.ts';

/** A cold engine of four cylinders at 200 turns a minute: two compressions a turn (common practice, no published source). */
const COMPRESSIONS_HZ = (2 * 200) / 60;

function kindOf(loadA: (afterS: number) => number, peakA = 600): LoadKind {
  const jitter = noise(1);
  return analyseActuation(draw(2000, 4, (atS) => (press(atS, 0.5, 3, peakA, 0) + (atS >= 0.5 && atS < 3 ? loadA(atS - 0.5) : 0)) + jitter()), {}).load.kind;
}

/** up to the new level within a tenth of a second, as a rope tightens */
const joined = (afterS: number, atS: number): number => 1 / (1 + Math.exp(-(afterS - atS) / 0.02));

describe('a load of hundreds of amperes', () => {
  it('is a starter where the current comes and goes with the compressions', () => {
    expect(kindOf((afterS) => 150 + 40 * Math.sin(2 * Math.PI * COMPRESSIONS_HZ * afterS))).toBe('starter');
    // the engine fires after 1.2 s and leaves the starter spinning by itself
    expect(kindOf((afterS) => (afterS < 1.2 ? 150 + 40 * Math.sin(2 * Math.PI * COMPRESSIONS_HZ * afterS) : 60))).toBe('starter');
  });

  it.each([
    ['takes up its load', (afterS: number) => 80 + 90 * joined(afterS, 1.2)],
    ['loses its load', (afterS: number) => 170 - 90 * joined(afterS, 1.2)],
    ['is loaded harder for a while', (afterS: number) => 80 + 90 * (joined(afterS, 1) - joined(afterS, 1.8))],
  ])('is none where a winch %s', (_what, loadA) => {
    expect(kindOf(loadA)).not.toBe('starter');
  });
});

describe('a motor is told by what only a motor does', () => {
  const read = (currentA: (afterS: number) => number, rateHz = 2000) => {
    const jitter = noise(0.02, 7);
    return analyseActuation(draw(rateHz, 4, (atS) => (atS >= 0.5 && atS < 3 ? currentA(atS - 0.5) : 0) + jitter()), {});
  };
  const ripple = (afterS: number): number => 0.1 * Math.sin(2 * Math.PI * 210 * afterS);

  it('is one where the current falls as a rotor gains speed and carries its ripple', () => {
    expect(read((afterS) => 4 + 12 * Math.exp(-afterS / 0.04) + ripple(afterS)).load.kind).toBe('motor');
  });

  it.each([
    ['filaments on a flasher, warm each time: no ripple at all', (afterS: number) => (afterS % 0.7 < 0.35 ? 3.9 * (1 + 5.5 * Math.exp(-(afterS % 0.7) / 0.03)) : 0)],
    ['a capacitor that fills in 4 ms before music plays', (afterS: number) => 1 + 25 * Math.exp(-afterS / 0.004) + (1 + Math.sin(2 * Math.PI * 3.1 * afterS)) * (1 - 0.6 * Math.cos(2 * Math.PI * 110 * afterS))],
    ['a solenoid whose pull-in winding is cut off after 45 ms', (afterS: number) => 8.3 + (afterS < 0.045 ? 28 : 0)],
    ['a horn that breaks its own current', (afterS: number) => ((afterS * 400) % 1 < 0.55 ? 9 * (1 - Math.exp(-((afterS * 400) % 1) / 0.4)) : 0)],
    ['a heater whose level wanders', (afterS: number) => 6 + 0.05 * Math.sin(2 * Math.PI * 3 * afterS)],
  ])('is none, and no suspect, where it is %s', (_what, currentA) => {
    const result = read(currentA);
    expect(result.load.kind).not.toBe('motor');
    expect(['normal', 'unclear']).toContain(result.verdict.finding);
    expect(result.verdict.because.join(' ')).not.toMatch(/motor started|still turning/);
  });

  // three time constants, up to the bounds to which noise lets the shorter one be known
  it.each([0.1, 0.048])('is not called overworked where a fan gains speed with a time constant of %d s beside a heater of 6 A', (tauS) => {
    const result = read((afterS) => 6.9 + 1.6 * Math.exp(-afterS / tauS) + 0.4 * ripple(afterS));
    expect(result.verdict.finding).toBe('normal');
    expect(result.verdict.basis).toBe('none');
  });

  it('is called overworked where it is up to its speed sooner than a fan', () => {
    expect(read((afterS) => 6.9 + 1.6 * Math.exp(-afterS / 0.03) + 0.4 * ripple(afterS)).verdict.finding).toBe('suspect');
  });
});

// a starter's solenoid: 35 to 55 A pull it in, then its contact takes the pull-in winding off and 8 to 13 A hold it (common practice, no published source)
describe('a coil that takes a part of itself off the wire', () => {
  const read = (currentA: (afterS: number) => number, rateHz = 2000) => {
    const jitter = noise(0.03, 5);
    return analyseActuation(draw(rateHz, 3, (atS) => (atS >= 0.5 && atS < 2 ? currentA(atS - 0.5) : 0) + jitter()), {}).load;
  };
  const rise = (afterS: number, riseS: number): number => 1 - Math.exp(-afterS / riseS);

  it('is a solenoid: it comes up as a coil does, and most of it goes at once', () => {
    const load = read((afterS) => 10 * rise(afterS, 0.008) + (afterS < 0.045 ? 30 * rise(afterS, 0.004) : 0));
    expect(load.kind).toBe('solenoid');
    expect(load.because).toMatch(/closed a contact/);
  });

  it.each([
    ['comes up as a resistance does', (afterS: number) => 10 + (afterS < 0.045 ? 30 : 0)],
    ['falls as a rotor gains speed', (afterS: number) => 10 + 30 * rise(afterS, 0.004) * (afterS < 0.045 ? 1 : Math.exp(-(afterS - 0.045) / 0.015))],
    ['loses a part only later than any switch-on takes', (afterS: number) => 10 * rise(afterS, 0.008) + (afterS < 0.4 ? 30 * rise(afterS, 0.004) : 0)],
  ])('is none where it %s', (_what, currentA) => {
    expect(read(currentA).kind).not.toBe('solenoid');
  });
});
