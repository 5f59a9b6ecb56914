import { describe, expect, it } from 'vitest';
import type { Trace } from '../../../../src/core/trace.ts';
import { read, recording, withGaps } from './recording.ts';

const NIGHT_S = 4 * 3600;
/** lamps for 35 s, modules until 1200 s, then 20 mA with a wake-up of 45 s each 600 s */
const nightA = (atS: number): number => (atS < 35 ? 2.2 : atS < 1200 ? 0.13 : 0.02 + (atS % 600 >= 300 && atS % 600 < 345 ? 0.135 : 0));
const codes = (problems: readonly { code: string }[]): string[] => problems.map((problem) => problem.code);

describe('a night that did not go as planned', () => {
  it('reads a capture with gaps like one without, counts them, and says that a wake-up in them is not seen', () => {
    const whole = recording(NIGHT_S, 5, 0.003, nightA);
    const holed = withGaps(whole, [[2000, 2120], [6250, 6400], [9000, 9003]]);
    const result = read(holed);
    expect(result.trace.gaps).toHaveLength(3);
    expect(result.trace.rate_hz).toBeCloseTo(5, 1);
    expect(result.problems.find((problem) => problem.code === 'gaps')?.text).toContain('4 min 34 s');
    expect(Math.abs((result.asleep?.at_s ?? 0) - 1200)).toBeLessThan(5);
    expect(result.asleep?.level_a).toBeCloseTo(0.02, 3);
    // of the 22 wake-ups after 1200 s the one at 6300 s lies in a gap
    expect(result.wakeups).toHaveLength(21);
    expect(result.wake_period_s).toBeCloseTo(600, 0);
  });

  it('finds the same sleep when the key-off moment itself lies in a gap, at one of the gap edges', () => {
    const result = read(withGaps(recording(3600, 5, 0.003, (atS) => (atS < 1200 ? 0.13 : 0.02)), [[1150, 1260]]));
    expect(result.verdict.finding).toBe('asleep');
    expect(result.asleep?.at_s).toBeGreaterThanOrEqual(1149);
    expect(result.asleep?.at_s).toBeLessThanOrEqual(1261);
  });

  it('keeps what a capture cut by a flat laptop shows, at rest or in the middle of a wake-up', () => {
    for (const endS of [7000, 7525]) {
      const result = read(recording(endS, 5, 0.003, nightA));
      expect(result.verdict.finding).toBe('asleep');
      expect(result.trace.duration_s).toBeCloseTo(endS, 0);
      expect(result.asleep?.level_a).toBeCloseTo(0.02, 3);
      expect(result.wake_period_s).toBeCloseTo(600, 0);
    }
  });

  it('asks to go on recording when the laptop went flat before the module timed out', () => {
    const result = read(recording(1100, 5, 0.003, nightA));
    expect(result.verdict.finding).toBe('too-short');
    expect(result.over_limit).not.toBe(false);
    expect(result.wait_s).toBeGreaterThan(0);
  });

  it('measures wake-ups and battery of a trace that starts asleep', () => {
    const result = read(recording(5400, 5, 0.003, (atS) => nightA(atS + 1200)), [], { batteryAh: 60 });
    expect(result.asleep?.at_s).toBe(0);
    expect(result.wakeups).toHaveLength(9);
    expect(result.battery?.days_to_half).toBeGreaterThan(0);
  });

  it('counts in trace time: a night that begins at any moment of the trace clock gives the same answers, moved', () => {
    // a clock set back or forth at night moves the start time of the file, never the trace clock
    const early = recording(4800, 5, 0.003, nightA);
    const late = { ...early, timeS: early.timeS.map((atS) => atS + 86_400) };
    const a = read(early);
    const b = read(late);
    expect(b.asleep?.at_s).toBeCloseTo((a.asleep?.at_s ?? 0) + 86_400, 1);
    expect(b.asleep?.level_a).toBeCloseTo(a.asleep?.level_a ?? NaN, 4);
    expect(b.wakeups).toHaveLength(a.wakeups.length);
    expect(b.wake_period_s).toBeCloseTo(a.wake_period_s ?? NaN, 0);
  });

  it('calls a phone charger left in a drain while it charges, and no drain once it idles', () => {
    // under 10 mA idle, 300 to 400 mA while charging: common practice, no published source
    const charging = read(recording(5400, 5, 0.003, (atS) => (atS < 400 ? 0.9 : 0.02 + 0.35)));
    expect(charging.verdict.finding).toBe('drain');
    expect(charging.verdict.next.join(' ')).toContain('phone charger');
    const idle = read(recording(2700, 5, 0.003, (atS) => (atS < 1500 ? 0.37 : 0.02 + 0.009)));
    expect(idle.verdict.finding).toBe('asleep');
    expect(idle.over_limit).toBe(false);
    expect(Math.abs((idle.asleep?.at_s ?? 0) - 1500)).toBeLessThan(5);
  });

  it('reads a trace whose logger switched to its fine range as one, and notes the resolution at the end', () => {
    const coarse = 0.0125;
    const switchS = 905;
    const trace = recording(2400, 10, 0.001, (atS) => (atS < 900 ? 0.8 : 0.0173));
    for (let i = 0; i < trace.timeS.length; i++) {
      if (trace.timeS[i] < switchS) trace.currentA[i] = Math.round(trace.currentA[i] / coarse) * coarse;
    }
    const options = { ranges: [{ atS: 0, resolutionA: coarse }, { atS: switchS, resolutionA: 0.00005 }] };
    const result = read(trace, [], options);
    expect(Math.abs((result.asleep?.at_s ?? 0) - 900)).toBeLessThan(6);
    expect(Math.abs((result.asleep?.level_a ?? 0) - 0.0173)).toBeLessThan(0.0005);
    expect(result.asleep?.low_a).toBeLessThan(0.0173);
    expect(result.asleep?.high_a).toBeGreaterThan(0.0173);
    expect(result.problems.find((problem) => problem.code === 'range-switched')?.text).toMatch(/once.*0\.050 mA/);
    expect(codes(read(trace).problems)).not.toContain('range-switched');
  });

  it('keeps the sign of a negative drain and asks for the charger or the clamp', () => {
    const { asleep, average_a: averageA, problems, over_limit, verdict } = read(recording(900, 5, 0.002, () => -0.04));
    expect(asleep).toBeNull();
    expect(averageA).toBeCloseTo(-0.04, 3);
    expect(over_limit).toBeNull();
    expect(verdict.finding).toBe('unclear');
    expect(problems.find((problem) => problem.code === 'negative-drain')?.text).toMatch(/charger.*wrong way round/);
  });
});

describe('a clamp whose zero drifts', () => {
  const driftingA = (atS: number): number => 0.025 + 0.012 + (0.03 * atS) / 3600 + (atS < 420 ? 0.8 : 0);

  it('calls nothing a drain that may be the zero, and says that a clamp cannot prove 25 mA', () => {
    for (const seed of [1, 2, 3]) {
      const result = read(recording(3000, 10, 0.012, driftingA, seed));
      expect(['asleep', 'unclear']).toContain(result.verdict.finding);
      expect(result.over_limit).toBeNull();
      expect(result.problems.find((problem) => problem.code === 'zero-drift')?.text).toContain('cannot prove a 25 mA drain');
      expect(result.asleep?.low_a).toBeLessThan(0.037);
    }
  });

  it('still calls a drain one that no such zero explains', () => {
    const result = read(recording(5400, 5, 0.012, (atS) => driftingA(atS) + 0.3));
    expect(result.verdict.finding).toBe('drain');
    expect(result.over_limit).toBe(true);
  });

  it('widens the bounds by what the second zero step found', () => {
    const steady = recording(2400, 10, 0.004, (atS) => (atS < 420 ? 0.8 : 0.04));
    const plain = read(steady);
    const moved = read(steady, [], { zeroDriftA: -0.03 });
    expect(plain.over_limit).toBe(false);
    expect(moved.over_limit).toBeNull();
    expect((moved.asleep?.high_a ?? 0) - 0.04).toBeGreaterThanOrEqual(0.029);
    expect(moved.problems.find((problem) => problem.code === 'zero-drift')?.text).toContain('cannot prove a 25 mA drain');
  });
});

describe('wake-ups in noise that hangs together', () => {
  it('finds short wake-ups that stand nine deviations out of slow swings, and none in the swings alone', () => {
    // first-order autoregression, correlation time 4 s, standard deviation 16 mA
    const memoryS = 4;
    const rateHz = 2.7;
    const keep = Math.exp(-1 / (rateHz * memoryS));
    const swings = (wakeA: number): Trace => {
      const trace = recording(7200, rateHz, 1, () => 0, 5);
      let swing = 0;
      for (let i = 0; i < trace.timeS.length; i++) {
        swing = keep * swing + Math.sqrt(1 - keep * keep) * 0.016 * trace.currentA[i];
        const atS = trace.timeS[i];
        trace.currentA[i] = swing + (atS < 365 ? 0.9 : 0.009 + (atS % 184 < 6 ? wakeA : 0));
      }
      return trace;
    };
    const { wakeups, wake_period_s } = read(swings(0.155));
    expect(wakeups.length).toBeGreaterThanOrEqual(36);
    expect(wakeups.length).toBeLessThanOrEqual(38);
    expect(Math.abs((wake_period_s ?? 0) - 184)).toBeLessThan(3.7);
    expect(read(swings(0)).wakeups).toHaveLength(0);
  });

  it('follows the rest back to its start although the zero falls between many wake-ups', () => {
    // 8 mA an hour, a wake-up of 20 s each 136 s
    const trace = recording(4700, 10, 0.0005, (atS) => (atS < 490 ? 0.05 : 0.01 + (atS % 136 < 20 ? 0.1 : 0)) - (0.008 * atS) / 3600);
    expect(Math.abs((read(trace).asleep?.at_s ?? 0) - 490)).toBeLessThan(5);
  });
});
