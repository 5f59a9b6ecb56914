import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../../../analyse.ts';
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

  it('does not take three samples for a circuit without current', () => {
    const result = analyseActuation({ timeS: Float64Array.of(0, 0.01, 0.03), currentA: Float32Array.of(0.01, 0.02, 4.1), voltageV: Float32Array.of(12.6, 12.6, 12.4), gaps: [] }, {});
    expect(result.verdict.finding).toBe('unclear');
    expect(result.verdict.because.join(' ')).toMatch(/3 readings.*too little to judge/);
    expect(result.verdict.because.join(' ')).not.toMatch(/No current flowed/);
    expect(result.verdict.next).toEqual(['Record from before the switch is pressed until after it is released.']);
  });

  it('does not say of a motor that it never turned when the recording began in mid-press', () => {
    const wobble = noise(0.02);
    const result = analyseActuation(draw(1000, 8, (atS) => (atS < 2 ? 14 : press(atS, 4, 6, 12, 4)) + wobble()), {});
    expect(codes(result)).toContain('starts-midway');
    expect(result.actuations[0].finding).toBe('stalled');
    expect(result.actuations[0].cut).toBe('start');
    expect(result.verdict.finding).toBe('normal');
    expect(result.verdict.because.join(' ')).toMatch(/does not count: its start is missing/);
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

  it('does not take a motor held at its end stop for one that runs heavy', () => {
    const n = noise(0.02);
    const result = analyseActuation(draw(1000, 8, (t) => (t >= 2.5 && t < 7 ? 14 : press(t, 1, 2.5, 13, 4)) + n()), { runLimitsA: [3, 5] });
    expect(result.verdict.finding).toBe('stalled');
    expect(result.actuations[0]?.finding).toBe('stalled');
  });

  it('does not average a stall, three times as long as the run, into the running level', () => {
    const n = noise(0.02);
    const result = analyseActuation(draw(1000, 8, (t) => (t >= 2.5 && t < 7 ? 14 : press(t, 1, 2.5, 13, 4)) + n()), {});
    expect(Math.abs((result.actuations[0]?.run?.median_a as number) / 4 - 1)).toBeLessThan(0.02);
  });

  it('does not count every one of several short stalls as a press of its own', () => {
    const n = noise(0.02);
    const bump = (t: number): boolean => [2, 3, 4].some((at) => t >= at && t < at + 0.4);
    const result = analyseActuation(draw(1000, 6, (t) => (bump(t) ? 14 : press(t, 1, 5, 13, 4)) + n()), {});
    expect(result.actuations).toHaveLength(1);
    expect(result.actuations[0]?.stalls).toHaveLength(3);
  });

  it('does not take the cut-out in the motor, opening and closing, for a switch let go and pressed again', () => {
    const n = noise(0.02);
    const v = noise(0.02, 4);
    // the switch is held from 1 to 12 s, as the volts at the motor show; the cut-out opens after 2 s of stall and closes after 3 s
    const amps = (t: number): number => {
      if (t < 1 || t >= 12) return 0;
      if (t < 2.5) return press(t, 1, 2.5, 15, 4);
      if (t < 4.5) return 15;
      if (t < 7.5) return 0;
      return t < 9.5 ? 15 : 0;
    };
    const result = analyseActuation(draw(1000, 14, (t) => amps(t) + n(), (t) => (t >= 1 && t < 12 ? 12.4 - 0.1 * amps(t) : 0) + v()), {});
    expect(result.verdict.finding).toBe('stalled');
    expect(result.actuations.map(({ finding }) => finding)).toEqual(['stalled']);
    expect(result.actuations[0]?.end_s).toBeGreaterThan(9.4);
    expect(result.actuations[0]?.stalls.map(({ cut_out: opened }) => opened)).toEqual([true, true]);
    expect(result.verdict.because.join(' ')).toMatch(/and once more current stopped while voltage stayed on: the motor's own cut-out opened, 2\.0 s into the stall/);
    expect(result.actuations.flatMap(({ stalls }) => stalls).map(({ level_a: levelA }) => Math.round(levelA))).toEqual([15, 15]);
  });

  // a clamp that follows slowly shows less of the switch-on than of the stall: 7 A and 8 A; the volts are not recorded
  it('knows the cut-out by the current alone where the motor ran below its stall, and not where its current only climbed', () => {
    const n = noise(0.02);
    const stands = (t: number): number => (t >= 4 && t < 8.5) || (t >= 9.5 && t < 12) ? 8 : 0;
    const after = (runA: (t: number) => number) => analyseActuation(draw(1000, 13, (t) => (t < 4 ? runA(t) : stands(t)) + n()), {}).actuations;
    const [ran, ...more] = after((t) => press(t, 1, 4, 7, 3, 0.02));
    expect(more).toEqual([]);
    expect(ran?.stalls.map(({ level_a: levelA }) => Math.round(levelA))).toEqual([8, 8]);
    expect(after((t) => (t < 1 ? 0 : 2 * (t - 1) + 2))).toHaveLength(2);
  });

  it('does not count the kick of the coil as it is switched off as a press of the other direction', () => {
    const n = noise(0.02);
    const result = analyseActuation(draw(10_000, 3, (t) => press(t, 1, 2, 15, 4) - (t >= 2 && t < 2.0015 ? 6 : 0) + n()), {});
    expect(result.actuations.map(({ direction }) => direction)).toEqual(['forward']);
  });

  it('does not take a single wild reading for a press', () => {
    const n = noise(0.02);
    const result = analyseActuation(draw(1000, 4, (t) => (Math.abs(t - 0.5) < 2e-4 ? 25 : 0) + press(t, 1, 3, 13, 4) + n()), {});
    expect(result.actuations).toHaveLength(1);
    expect(result.actuations[0]?.start_s).toBeCloseTo(1, 2);
  });

  it('does not take missing samples for a lost contact', () => {
    const n = noise(0.02);
    const whole = draw(1000, 4, (t) => press(t, 1, 3, 13, 4) + n());
    const keep = [...whole.timeS.keys()].filter((i) => (whole.timeS[i] as number) < 2 || (whole.timeS[i] as number) >= 2.12);
    const result = analyseActuation({ timeS: Float64Array.from(keep, (i) => whole.timeS[i] as number), currentA: Float32Array.from(keep, (i) => whole.currentA[i] as number), voltageV: null, gaps: [] }, {});
    expect(codes(result)).toContain('gaps');
    expect(result.verdict.finding).toBe('normal');
    expect(result.actuations.flatMap(({ dropouts }) => dropouts)).toEqual([]);
  });

  it('does not take a clamp that wanders behind a long press for a current that stays', () => {
    const n = noise(0.02);
    const result = analyseActuation(draw(500, 40, (t) => 0.003 * t + press(t, 5, 30, 13, 4) + n()), {});
    expect(result.actuations).toHaveLength(1);
    expect(result.actuations[0]?.end_s).toBeCloseTo(30, 1);
    expect(Math.abs((result.actuations[0]?.run?.median_a as number) - 4)).toBeLessThan(0.04);
  });

  it('does not take the tail that a slow clamp draws for current after the switch-off', () => {
    let slow = 0;
    const n = noise(0.02);
    const result = analyseActuation(draw(1000, 4, (t) => (slow += (press(t, 1, 3, 13, 4) - slow) * (1 - Math.exp(-1 / 8))) + n()), {});
    expect(Math.abs((result.actuations[0]?.end_s as number) - 3)).toBeLessThan(0.02);
  });

  it('does not give a frequency to a ripple too fast for the rate', () => {
    const n = noise(0.01);
    const result = analyseActuation(draw(1000, 4, (t) => press(t, 1, 3, 15, 4) + (t > 1 && t < 3 ? 0.2 * Math.cos(2 * Math.PI * 455 * t) : 0) + n()), {});
    expect(result.actuations[0]?.ripple).toBeNull();
    expect(codes(result)).toContain('aliasing');
  });

  it('does not blame a battery\'s sag on a wire that lies behind the voltage lead', () => {
    const n = noise(0.02);
    const v = noise(0.01, 7);
    const wire = { areaMm2: 1.5, lengthM: 6, temperatureC: 20 };
    const amps = (t: number): number => press(t, 1, 3, 18, 4);
    const atBattery = analyseActuation(draw(1000, 4, (t) => amps(t) + n(), (t) => 12.6 - 0.02 * amps(t) + v()), { wire });
    expect(atBattery.trace.voltage_at).toBe('battery');
    expect(atBattery.actuations[0]?.wire).toBeUndefined();
    const atMotor = analyseActuation(draw(1000, 4, (t) => amps(t) + n(), (t) => (t >= 1 && t < 3 ? 12.6 - 0.12 * amps(t) : 0) + v()), { wire });
    expect(atMotor.trace.voltage_at).toBe('motor');
    expect(atMotor.actuations[0]?.wire?.share).toBeCloseTo(0.0798 / 0.12, 1);
  });

  it('does not believe a clamp that sits the wrong way round against the volts', () => {
    const n = noise(0.02);
    const v = noise(0.02, 3);
    const amps = (t: number): number => press(t, 1, 2, 13, 4) - press(t, 3, 4, 13, 4);
    const volts = (t: number): number => (amps(t) === 0 ? 0 : Math.sign(amps(t)) * 12) + v();
    expect(codes(analyseActuation(draw(1000, 5, (t) => -amps(t) + n(), volts), {}))).toContain('reversed-clamp');
    expect(codes(analyseActuation(draw(1000, 5, (t) => amps(t) + n(), volts), {}))).not.toContain('reversed-clamp');
  });

  it('does not judge a feed by millivolts read as volts', () => {
    const n = noise(0.02);
    const result = analyseActuation(draw(1000, 4, (t) => press(t, 1, 3, 13, 4) + n(), (t) => (t >= 1 && t < 3 ? 12_400 - 100 * press(t, 1, 3, 13, 4) : 0)), {});
    expect(codes(result)).toContain('implausible-voltage');
  });

  it('does not fold the current of a motor still coasting into the standing current of its others', () => {
    const n = noise(0.02);
    const amps = (t: number): number => press(t, 1, 3, 18, 4) - press(t, 4.5, 6.5, 18, 4) + press(t, 7, 9, 23, 4) - press(t, 10.5, 12.5, 18, 4);
    const { actuations } = analyseActuation(draw(2000, 14, (t) => amps(t) + n()), {});
    expect(actuations.map(({ inrush }) => inrush?.fit === null)).toEqual([false, false, true, false]);
    expect(actuations[2]?.inrush?.no_fit).toMatch(/coasting|turning/);
  });

  it('does not call a press that the recording cuts off stalled or locked', () => {
    const n = noise(0.02);
    const result = analyseActuation(draw(1000, 1.4, (t) => press(t, 1, 9, 13, 4) + n()), {});
    expect(result.actuations.map(({ finding, cut }) => [finding, cut])).toEqual([['normal', 'end']]);
    expect(result.verdict).toMatchObject({ finding: 'unclear', basis: 'none' });
    expect(codes(result)).toContain('ends-midway');
  });

  it('does not expect a switch-on peak from a logger too slow to see it', () => {
    const n = noise(0.02);
    expect(codes(analyseActuation(draw(100, 6, (t) => press(t, 1, 4, 13, 4, 0.03) + n()), {}))).toContain('rate-too-low');
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
    expect(result.actuations.filter(({ cut }) => cut !== 'both')).toEqual([]);
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
  it.each(['vacuum', 'heater', 'fan', 'bulb'])('finds one press in every recorded start of a %s, with a high peak only for motors and cold bulbs', (kind) => {
    for (const values of starts[kind] ?? []) {
      const result = recorded(values);
      expect(result.actuations.length).toBe(1);
      if (kind === 'heater' || kind === 'fan') expect(result.actuations[0]?.inrush === null || (result.actuations[0]?.inrush?.peak_a ?? 0) < 8).toBe(true);
      if (kind === 'vacuum') expect(result.actuations[0]?.inrush?.peak_a).toBeGreaterThan(8);
    }
  });

  // the drum of one washer stands still for 58 readings in the middle of its recording and starts again with a peak of its own
  it('finds one press in every recorded start of a washer, and two where its drum pauses', () => {
    const counts = (starts['washer'] ?? []).map((values) => {
      const { actuations } = recorded(values);
      for (const { inrush, run } of actuations) expect((inrush?.peak_a as number) / (run?.median_a as number)).toBeGreaterThan(2);
      return actuations.length;
    });
    expect(counts).toEqual([1, 1, 1, 1, 1, 1, 1, 2, 1, 1]);
  });

  function recorded(values: readonly number[]): ReturnType<typeof analyseActuation> {
    const scale = 5 / Math.max(...values.slice(-60));
    return analyseActuation({ timeS: Float64Array.from(values, (_v, i) => i / 200), currentA: Float32Array.from(values, (v) => v * scale), voltageV: null, gaps: [] }, {});
  }
});
