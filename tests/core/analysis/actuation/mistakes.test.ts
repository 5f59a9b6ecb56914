import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../../../../src/core/analysis/actuation/analyse.ts';
import { draw, noise, press } from './traces.ts';

const codes = (result: { problems: readonly { code: string }[] }): string[] => result.problems.map((problem) => problem.code);

describe('typical mistakes in reading a motor trace', () => {
  it('does not take the switch-on peak for the stall current', () => {
    const n = noise(0.02);
    const result = analyseActuation(draw(2000, 4, (t) => press(t, 1, 3, 18, 4) + n()), {});
    expect(result.verdict.finding).toBe('normal');
    expect(result.actuations[0]?.stalls).toEqual([]);
    expect(result.actuations[0]?.inrush?.peak_a).toBeCloseTo(18, 0);
    expect(result.actuations[0]?.run?.median_a).toBeCloseTo(4, 1);
  });

  it('does not read a clamp that was not zeroed as a running motor', () => {
    const n = noise(0.02);
    const result = analyseActuation(draw(1000, 4, (t) => 0.15 + press(t, 1, 3, 9, 2) + n()), {});
    expect(result.actuations).toHaveLength(1);
    expect(result.actuations[0]?.run?.median_a).toBeCloseTo(2, 1);
    expect(codes(result)).toContain('offset');
  });

  it('does not count the current of a braked motor as a press of the other direction', () => {
    const n = noise(0.02);
    const result = analyseActuation(draw(2000, 4, (t) => press(t, 1, 2.5, 15, 4) + (t >= 2.5 ? -9 * Math.exp(-(t - 2.5) / 0.05) : 0) + n()), {});
    expect(result.actuations.map((actuation) => actuation.direction)).toEqual(['forward']);
    expect(result.actuations[0]?.end_s).toBeCloseTo(2.5, 2);
  });

  it('does not swallow a quick reversal as braking', () => {
    const n = noise(0.02);
    const result = analyseActuation(draw(2000, 4, (t) => press(t, 1, 2, 15, 4) - press(t, 2, 3, 26, 4) + n()), {});
    expect(result.actuations.map((actuation) => actuation.direction)).toEqual(['forward', 'reverse']);
  });

  it('does not merge braking with the press that follows when the switch goes straight across', () => {
    const n = noise(0.02);
    const result = analyseActuation(draw(2000, 4, (t) => press(t, 1, 2, 15, 4) + (t >= 2 && t < 2.06 ? -9 * Math.exp(-(t - 2) / 0.05) : 0) - press(t, 2.06, 3, 17, 4) + n()), {});
    expect(result.actuations.map((actuation) => actuation.direction)).toEqual(['forward', 'reverse']);
    expect(result.actuations[1]?.start_s).toBeCloseTo(2.06, 2);
  });

  it('does not count the chatter of a closing contact as presses', () => {
    const n = noise(0.02);
    const result = analyseActuation(draw(10_000, 3, (t) => (t > 1.001 && t < 1.003 ? 0 : press(t, 1, 2, 15, 4)) + n()), {});
    expect(result.actuations).toHaveLength(1);
    expect(result.actuations[0]?.dropouts).toEqual([]);
  });

  it('does not call a short lost contact a second press', () => {
    const n = noise(0.02);
    const result = analyseActuation(draw(2000, 4, (t) => (t >= 2 && t < 2.05 ? 0 : press(t, 1, 3, 15, 4)) + n()), {});
    expect(result.verdict.finding).toBe('intermittent');
    expect(result.actuations).toHaveLength(1);
    expect(result.actuations[0]?.dropouts[0]?.start_s).toBeCloseTo(2, 2);
  });

  // a small slide motor draws 3 to 5 A while moving and 12 to 15 A when something jams it (common practice, no published source)
  it('calls a slide motor that goes from 4 A to 14 A and stays there stalled', () => {
    const n = noise(0.02);
    const result = analyseActuation(draw(1000, 4, (t) => (t >= 2 && t < 3 ? 14 : press(t, 1, 3, 13, 4)) + n()), {});
    expect(result.verdict.finding).toBe('stalled');
    expect(result.actuations[0]?.stalls[0]?.level_a).toBeCloseTo(14, 1);
    expect(result.actuations[0]?.stalls[0]?.at).toBe('travel');
  });

  it('does not call a slow heavy patch that keeps turning a stall', () => {
    const n = noise(0.02);
    const ripple = (t: number, a: number): number => (t > 1 && t < 4 ? 0.06 * a * Math.sin(2 * Math.PI * 180 * t) : 0);
    const level = (t: number): number => press(t, 1, 4, 20, 4) + (t > 2 && t < 3 ? 5 * Math.sin(Math.PI * (t - 2)) ** 2 : 0);
    const result = analyseActuation(draw(2000, 5, (t) => level(t) + ripple(t, level(t)) + n()), {});
    expect(result.verdict.finding).toBe('normal');
  });

  it('calls a motor that goes straight to a flat level locked, with no running level made up', () => {
    const n = noise(0.02);
    const result = analyseActuation(draw(1000, 3, (t) => (t >= 1 && t < 2 ? 15 * (1 - Math.exp(-(t - 1) / 0.002)) : 0) + n()), {});
    expect(result.verdict.finding).toBe('locked');
    expect(result.actuations[0]?.run).toBeNull();
    expect(result.actuations[0]?.inrush).toBeNull();
    expect(result.actuations[0]?.stalls[0]?.at).toBe('start');
  });

  it('says heavy and light only against limits that were typed in', () => {
    const n = noise(0.02);
    const trace = draw(1000, 4, (t) => press(t, 1, 3, 20, 7) + n());
    expect(analyseActuation(trace, {}).verdict.finding).toBe('normal');
    expect(analyseActuation(trace, { runLimitsA: [3, 5] }).verdict.finding).toBe('heavy');
    expect(analyseActuation(trace, { runLimitsA: [8, 12] }).verdict.finding).toBe('light');
  });

  it('tells a dead motor only at the motor\'s feed', () => {
    const n = noise(0.02);
    const v = noise(0.02, 9);
    const at = (t: number): number => (t >= 1 && t < 2 ? 12.3 : 0) + v();
    expect(analyseActuation(draw(1000, 3, () => n(), at), {}).verdict.finding).toBe('dead');
    expect(analyseActuation(draw(1000, 3, () => n(), () => 12.4 + v()), {}).verdict.finding).toBe('unclear');
    expect(analyseActuation(draw(1000, 3, () => n(), () => v()), {}).verdict.finding).toBe('unpowered');
    expect(analyseActuation(draw(1000, 3, () => n()), {}).verdict.finding).toBe('unclear');
  });

  it('does not condemn a motor on a starved feed', () => {
    const n = noise(0.02);
    const amps = (t: number): number => press(t, 1, 3, 12, 5);
    const result = analyseActuation(draw(1000, 4, (t) => amps(t) + n(), (t) => (t >= 1 && t < 3 ? 12.6 - 0.8 * amps(t) : 0)), {});
    expect(result.verdict.finding).toBe('starved');
    expect(result.actuations[0]?.supply?.source_ohm).toBeCloseTo(0.8, 1);
    expect(result.trace.voltage_at).toBe('motor');
  });

  it('does not take mains hum for ripple, nor for presses', () => {
    const n = noise(0.01);
    const result = analyseActuation(draw(2000, 4, (t) => 0.2 * Math.sin(2 * Math.PI * 50.03 * t) + press(t, 1, 3, 10, 3) + n()), {});
    expect(result.actuations).toHaveLength(1);
    expect(result.actuations[0]?.ripple).toBeNull();
  });

  it('does not take the rotation rate for the commutation when it is the stronger line', () => {
    const n = noise(0.01);
    const turning = (t: number): number => (t > 1 && t < 3 ? 0.3 * Math.cos(2 * Math.PI * 30 * t) + 0.1 * Math.cos(2 * Math.PI * 360 * t) : 0);
    const result = analyseActuation(draw(4000, 4, (t) => press(t, 1, 3, 15, 4) + turning(t) + n()), { commutationsPerRevolution: 12 });
    expect(result.actuations[0]?.ripple?.frequency_hz).toBeCloseTo(360, 0);
    expect(result.actuations[0]?.ripple?.revolutions_per_s).toBeCloseTo(30, 1);
  });

  it('says that a trace begins and ends in the middle of a press', () => {
    const n = noise(0.02);
    const result = analyseActuation(draw(1000, 4, (t) => (t < 0.8 ? 4 : 0) + press(t, 3, 9, 15, 4) + n()), {});
    expect(codes(result)).toEqual(expect.arrayContaining(['starts-midway', 'ends-midway']));
    expect(result.actuations[0]?.inrush).toBeNull();
  });

  it('says that a clipped reading is a bound', () => {
    const n = noise(0.02);
    const result = analyseActuation(draw(1000, 4, (t) => Math.min(10, press(t, 1, 3, 40, 4) + n())), { fullScaleA: 10 });
    expect(codes(result)).toContain('clipped');
  });

  it('hints that readings in the thousands may be milliamps', () => {
    const n = noise(20);
    expect(codes(analyseActuation(draw(1000, 4, (t) => 1000 * press(t, 1, 3, 15, 4) + n()), {}))).toContain('implausible-unit');
  });

  it.each([
    ['nothing', draw(1000, 0, () => 0)],
    ['one sample', draw(1000, 0.001, () => 4)],
    ['two samples', draw(1000, 0.002, () => 4)],
    ['a constant', draw(1000, 2, () => 0)],
    ['a constant current', draw(1000, 2, () => 5)],
    ['noise', draw(1000, 2, noise(0.1))],
  ])('makes no press out of %s, and does not fail', (_name, trace) => {
    const result = analyseActuation(trace, {});
    expect(result.actuations.filter((actuation) => actuation.finding !== 'normal' && actuation.finding !== 'locked')).toEqual([]);
    expect(result.verdict.next.length).toBeGreaterThan(0);
    expect(JSON.stringify(result)).not.toMatch(/NaN|Infinity/);
  });
});

describe('switch-on of real appliances', () => {
  const starts = JSON.parse(readFileSync(new URL('../../../reference/data/starts.json', import.meta.url), 'utf8')) as Record<string, number[][]>;
  // PLAID, UCR edition (see tests/reference/data/LICENSE.starts.txt): shape only, so rate and scale are chosen here
  const ratio = (kind: string): number => {
    const ratios = (starts[kind] ?? []).map((values) => {
      const settled = values.slice(-60).sort((a, b) => a - b);
      return Math.max(...values) / (settled[Math.floor(settled.length * 0.9)] as number);
    });
    return [...ratios].sort((a, b) => a - b)[ratios.length >> 1] as number;
  };
  it('has peaks of about three times running for commutator motors and none for heaters', () => {
    expect(ratio('vacuum')).toBeGreaterThan(2);
    expect(ratio('washer')).toBeGreaterThan(2);
    expect(ratio('heater')).toBeLessThan(1.2);
  });
  // washers are left out: some of the recordings hold a drum that pauses and starts again
  it.each(['vacuum', 'heater', 'fan'])('finds one press in every recorded start of a %s, with a peak only for commutator motors', (kind) => {
    for (const values of starts[kind] ?? []) {
      const scale = 5 / Math.max(...values.slice(-60));
      const trace = { timeS: Float64Array.from(values, (_v, i) => i / 200), currentA: Float32Array.from(values, (v) => v * scale), voltageV: null, gaps: [] };
      const result = analyseActuation(trace, {});
      expect(result.actuations.length).toBe(1);
      if (kind === 'heater' || kind === 'fan') expect(result.actuations[0]?.inrush === null || (result.actuations[0]?.inrush?.peak_a ?? 0) < 8).toBe(true);
    }
  });
});
