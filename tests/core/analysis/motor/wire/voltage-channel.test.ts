import { describe, expect, it } from 'vitest';
import { channelLag, contactVolts, slowVoltage, usualVolts } from '../../../../../src/core/analysis/motor/wire/voltage-channel.ts';
import type { Sampling } from '../../../../../src/core/analysis/motor/sensor/sampling.ts';
import { pressOf, sampledAt } from '../ripple/columns.ts';

const RATE_HZ = 1000;
const volts = (count: number, at: (i: number) => number): Float32Array => Float32Array.from({ length: count }, (_value, i) => at(i));

describe('the usual volts', () => {
  it('are the median of a stretch, of a long one that of some thousand readings all over it', () => {
    const steps = volts(100, (i) => i);
    expect([usualVolts(steps, 10, 15), usualVolts(steps, 10, 14), usualVolts(steps, 99, 100)]).toEqual([12, 11.5, 99]);
    // every fifth reading of 25,000, up to the last
    expect(usualVolts(volts(25_000, (i) => i), 0, 25_000)).toBeCloseTo(12_497.5, 6);
    expect(usualVolts(volts(5001, (i) => i), 0, 5001)).toBeCloseTo(2500, 0);
  });

  it('are, halved, those below which the contact is open', () => {
    const swinging = volts(100, (i) => (i < 20 ? 0 : -12));
    expect([contactVolts(pressOf(20, 100), swinging), contactVolts(pressOf(0, 30), swinging)]).toEqual([6, 0]);
  });
});

describe('how long the voltage channel takes to follow', () => {
  const sampling = sampledAt(RATE_HZ, 400);
  /** Up to 12 V with this time constant from reading 100 on. */
  const lag = (tauS: number, startIndex = 100, sign = 1): number => channelLag(pressOf(startIndex, 400), volts(400, (i) => (i < 100 ? 0 : sign * 12 * (1 - Math.exp(-(i - 100) / RATE_HZ / tauS)))), 11.5, 300, sampling);

  it('is from a fifth to 85 hundredths of the volts: ln(0.8/0.15) = 1.674 time constants', () => {
    for (const tauS of [0.005, 0.01, 0.03]) {
      expect(Math.abs(lag(tauS) / tauS - 1.674) * tauS).toBeLessThanOrEqual(1 / RATE_HZ);
      expect(lag(tauS, 100, -1)).toBe(lag(tauS));
    }
  });

  it('is nothing within a sample, and is seen where the current comes up to five samples late', () => {
    expect(lag(0.0001)).toBe(0);
    expect([lag(0.001, 101), lag(0.001, 105)]).toEqual([lag(0.001), lag(0.001)]);
    expect(lag(0.001, 110)).toBe(0);
  });

  it('is told by the lowest volts of the press with the contact made, from where the current had risen', () => {
    // 12 V at first, which sag to 10 V: up to 8.5 V, not 10.2 V. A contact that opens is none of them
    const sag = (i: number): number => (i < 100 ? 0 : Math.min(i < 250 ? 12 : i === 300 ? 1 : 10, (i - 100) / 2));
    expect(channelLag(pressOf(100, 400), volts(400, sag), 6, 200, sampling)).toBeCloseTo((17 - 4) / RATE_HZ, 9);
    expect(channelLag(pressOf(100, 400), volts(400, (i) => (i < 240 ? sag(i) : 12)), 6, 200, sampling)).toBeCloseTo((21 - 5) / RATE_HZ, 9);
  });
});

describe('volts behind a first-order low-pass', () => {
  /** Each reading a millisecond after the other; a press from reading 10 on, whose contact is open below 6 V. */
  function slowed(voltageV: Float32Array, lagS: number, { from = 0, to = voltageV.length, openV = null as number | null, holes = [] as number[] } = {}): number[] {
    const sampling: Sampling = { ...sampledAt(RATE_HZ, voltageV.length), holes: Int32Array.from(holes) };
    const answer = new Float64Array(to - from);
    slowVoltage({ press: pressOf(10, voltageV.length), voltageV, sampling, contactV: 6 }, from, to, lagS, openV, answer);
    return [...answer];
  }

  it('are what they were without a lag, without their sign', () => {
    expect(slowed(Float32Array.of(-12, 11, -10), 0)).toEqual([12, 11, 10]);
    expect(slowed(Float32Array.of(-12, 11, -10), 0, { from: 1, to: 3 })).toEqual([11, 10]);
  });

  it('answer a straight line between two samples exactly', () => {
    // scipy.signal.lsim of 1/(0.002 s + 1) with first-order hold, from 12 V: 12, 12, 6, 6, 6, 9
    const answer = slowed(Float32Array.of(12, 12, 6, 6, 6, 9), 0.002);
    const reference = [12, 12, 10.72163208, 8.86381462, 7.73699137, 7.69272248];
    for (const [i, value] of reference.entries()) expect(answer[i]).toBeCloseTo(value, 6);
    // a ramp is followed one lag behind in the end
    expect(slowed(volts(200, (i) => 10 + 0.01 * i), 0.004).at(-1)).toBeCloseTo(10 + 0.01 * (199 - 4), 6);
  });

  it('start anew behind missing time, and only there', () => {
    expect(slowed(Float32Array.of(12, 12, 6, 6, 9, 9), 0.002, { holes: [2, 4] }).map((value) => Number(value.toFixed(6)))).toEqual([12, 12, 6, 6, 9, 9]);
    expect(slowed(Float32Array.of(12, 12, 6, 6), 0.002, { holes: [1] })[2]).toBeCloseTo(10.72163208, 6);
    // one that lies before the stretch is none of it
    expect(slowed(Float32Array.of(12, 12, 6, 6), 0.002, { from: 1, holes: [0] })[1]).toBeCloseTo(10.72163208, 6);
  });

  it('have the source\'s own volts where the contact of the press is open, and begin with them', () => {
    const bounced = volts(20, (i) => (i < 10 ? 0 : i === 14 ? 0.1 : 12));
    expect(slowed(bounced, 0, { openV: 12.5 }).map((value) => Number(value.toFixed(3)))).toEqual([...new Array<number>(10).fill(0), 12, 12, 12, 12, 12.5, ...new Array<number>(5).fill(12)]);
    expect(slowed(bounced, 0)[14]).toBeCloseTo(0.1, 6);
    expect(slowed(volts(20, () => 6), 0, { openV: 12.5, from: 10 })).toEqual(new Array<number>(10).fill(6));
    // from 12.5 V in one step of a millisecond to 12 V and on
    const half = (1 - Math.exp(-0.5)) / 0.5;
    expect(slowed(bounced, 0.002, { openV: 12.5, from: 10, to: 12 })[0]).toBeCloseTo(12 + 0.5 * half, 9);
  });
});
