import { describe, expect, it } from 'vitest';
import { choppedOf } from '../../../../../src/core/analysis/motor/finding/press-events.ts';
import { viewPress } from '../../../../../src/core/analysis/motor/motion/press-view.ts';
import { averaged, dutyOf } from '../../../../../src/core/analysis/motor/wire/chopping.ts';
import { unseenLoads } from '../../../../../src/core/analysis/motor/wire/clamp-off.ts';
import { findDip, findPlunger } from '../../../../../src/core/analysis/motor/wire/plunger.ts';
import { pressOf, readBy, sampledAt } from '../ripple/columns.ts';
import { noise } from '../traces.ts';

const RATE_HZ = 1000;

describe('volts that sag while the clamp shows nothing', () => {
  const sampling = () => sampledAt(RATE_HZ, 4 * RATE_HZ);
  const baseline = readBy(new Float32Array(4 * RATE_HZ), Int32Array.of(0, 900));
  const volts = (at: (atS: number) => number): Float32Array => {
    const n = noise(0.002);
    return Float32Array.from({ length: 4 * RATE_HZ }, (_value, i) => at(i / RATE_HZ) + n());
  };
  const isOn = (t: number): boolean => t >= 1 && t < 3;
  const seen = (voltageV: Float32Array, place: 'motor' | 'battery' | null, presses = [] as ReturnType<typeof pressOf>[]): number => unseenLoads(voltageV, { topV: 12.6, place }, presses, baseline, sampling()).length;

  // half a percent of 12.6 V are 63 mV
  it('at the battery are a load that the clamp misses, from half a percent on', () => {
    expect(seen(volts((t) => (isOn(t) ? 12.5 : 12.6)), 'battery')).toBe(1);
    expect(seen(volts((t) => (isOn(t) ? 12.56 : 12.6)), 'battery')).toBe(0);
    expect(seen(volts((t) => (t >= 1 && t < 1.1 ? 12.3 : 12.6)), 'battery')).toBe(0);
  });

  it('at the battery are no load where the lead is turned round and the clamp shows what makes them sag', () => {
    const held = [pressOf(1000, 3000)];
    expect(seen(volts((t) => (isOn(t) ? -12.5 : -12.6)), 'battery', held)).toBe(0);
    expect(seen(volts((t) => (isOn(t) ? -12.5 : -12.6)), 'battery')).toBe(1);
  });

  it('at the motor are the dip of a switch-on as the feed comes up', () => {
    const dip = (t: number): number => 0.4 * Math.exp(-(t - 1) / 0.04);
    expect(seen(volts((t) => (isOn(t) ? 12.2 - dip(t) : 0)), 'motor')).toBe(1);
    // a dead motor's feed comes up and stays, and drops at once
    expect(seen(volts((t) => (isOn(t) ? 12.6 : 0)), 'motor')).toBe(0);
  });

  it('at the motor are the volts of one that coasts after the switch-off', () => {
    expect(seen(volts((t) => (isOn(t) ? 12.6 : t < 1 ? 0 : 10 * Math.exp(-(t - 3) / 0.1))), 'motor')).toBe(1);
  });

  it('are none beside a press, or without a lead', () => {
    const sagging = volts((t) => (isOn(t) ? 12.3 : 12.6));
    expect(seen(sagging, 'battery', [pressOf(1000, 3000)])).toBe(0);
    expect(seen(sagging, null)).toBe(0);
  });
});

describe('the dip of a plunger (TI SSIY001)', () => {
  const rateHz = 10_000;
  const count = rateHz >> 1;
  /** A coil of 2 A and 12 ms, whose plunger takes this share of the current for some milliseconds about 14 ms after the switch-on. */
  const coil = (share: number) => (atS: number): number => 2 * (1 - Math.exp(-atS / 0.012)) * (1 - share * Math.exp(-(((atS - 0.014) / 0.002) ** 2)));
  const find = (currentA: (atS: number) => number) => {
    const sampling = sampledAt(rateHz, count);
    const n = noise(0.001);
    const baseline = { ...readBy(Float32Array.from({ length: count }, (_value, i) => currentA(i / rateHz) + n())), noiseA: 0.001 };
    const press = pressOf(0, count);
    return findPlunger(viewPress(press, baseline, sampling), baseline, sampling, { followS: 0, atMostS: null, known: false });
  };

  it('is found where it is lowest', () => {
    const plunger = find(coil(0.25));
    expect(Math.abs((plunger?.index ?? 0) / rateHz - 0.014)).toBeLessThan(0.001);
  });

  it('is none where the coil only comes up, with a waver of a twentieth at the most', () => {
    expect(find(coil(0))).toBeNull();
    expect(find(coil(0.08))).toBeNull();
  });

  it('is none of a motor, whose current is highest first', () => {
    expect(find((atS) => 3 + 12 * Math.exp(-atS / 0.04) * (1 - Math.exp(-atS / 0.0005)))).toBeNull();
    expect(find((atS) => (atS < 0.002 ? 6 : 2))).toBeNull();
  });
});

describe('the dip of a rotor in its play', () => {
  const rateHz = 2000;
  const sampling = sampledAt(rateHz, rateHz);
  /** Up to 5 A with this time constant, back to 3 A in the play of so many seconds, then 6 A. */
  const by = (riseS: number, playS: number): string | null | undefined => {
    const n = noise(0.005);
    const readings = Float32Array.from({ length: rateHz }, (_value, i) => {
      const atS = i / rateHz - 6 * riseS;
      return (atS < 0 ? 5 * (1 - Math.exp(-(i / rateHz) / riseS)) : atS < playS ? 4 + Math.cos((2 * Math.PI * atS) / playS) : 6) + n();
    });
    const baseline = { ...readBy(readings), noiseA: 0.005 };
    return findDip(viewPress(pressOf(0, rateHz), baseline, sampling), baseline, sampling, { followS: 0, atMostS: null, known: false })?.by;
  };

  // contacts bounce for some milliseconds as they close: here for 3 ms, open for 1.5 ms at a time, with the rise of a winding of 4 ms seen once they stay shut
  it('is seen behind a contact that bounces, its rise counted from where the contact closed for good', () => {
    const bounces = (i: number): boolean => i < 12 && i % 6 >= 3;
    const n = noise(0.005);
    const readings = Float32Array.from({ length: rateHz }, (_value, i) => {
      const atS = (i - 12) / rateHz;
      if (atS < 0) return (bounces(i) ? 0 : 2) + n();
      return (atS < 0.004 ? 5 * (1 - Math.exp(-atS / 0.001)) : atS < 0.03 ? 4 + Math.cos((2 * Math.PI * (atS - 0.004)) / 0.026) : 6) + n();
    });
    const baseline = { ...readBy(readings), noiseA: 0.005 };
    expect(findDip(viewPress(pressOf(0, rateHz), baseline, sampling), baseline, sampling, { followS: 0, atMostS: null, known: false })?.by).toBe('rotor');
  });

  // the quickest rotors take 12 ms to gain or lose their speed
  it('lasts longer than its winding took to come up, and as long as a rotor takes', () => {
    expect(by(0.001, 0.04)).toBe('rotor');
    expect(by(0.0004, 0.04)).toBe('rotor');
    expect(by(0.001, 0.01)).toBe('plunger');
    expect(by(0.0007, 0.01)).toBeNull();
  });
});

describe('how a chopped supply feeds a press', () => {
  /** 400 periods of 50 readings each, on for so many of them at 6 A, with this left between. */
  const pulses = (on: number, left = 0): Float32Array => Float32Array.from({ length: 20_000 }, (_value, i) => (i % 50 < on ? 6 : left));

  it.each([10, 15, 40])('is on for %s of 50 readings', (on) => {
    expect(dutyOf(pulses(on), 0, 20_000)).toBeCloseTo(on / 50, 6);
  });

  it('has no duty where a diode carries the current on: it dies away, or more than a tenth is left', () => {
    expect(dutyOf(Float32Array.from({ length: 20_000 }, (_value, i) => 6 * Math.exp(-(i % 50) / 10)), 0, 20_000)).toBeNull();
    expect(dutyOf(pulses(15, 0.55), 0, 20_000)).toBeCloseTo(0.3, 6);
    expect(dutyOf(pulses(15, 0.65), 0, 20_000)).toBeNull();
    expect(dutyOf(pulses(15), 0, 3)).toBeNull();
  });

  // 15 of 50 at 6 A: 1.8 A
  it('has the mean of the run under the clamp, a reading of its middle over whole periods', () => {
    const sizes = pulses(15);
    const wire = { trace: { timeS: new Float64Array(0), currentA: sizes, voltageV: null, gaps: [] }, spikes: new Int32Array(0), coupling: null, choppedSizes: sizes, chopping: { frequencyHz: 200, samples: 50, part: null } };
    const chopped = choppedOf(pressOf(0, 20_000), wire, readBy(averaged(sizes, 50)));
    expect(chopped).toMatchObject({ frequency_hz: 200 });
    expect(chopped?.duty).toBeCloseTo(0.3, 2);
    expect(chopped?.mean_a).toBeCloseTo(1.8, 4);
    expect(choppedOf(pressOf(0, 20_000), { ...wire, chopping: null }, readBy(sizes))).toBeNull();
  });
});
