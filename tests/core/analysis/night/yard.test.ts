import { describe, expect, it } from 'vitest';
import type { Mark } from '../../../../src/core/trace.ts';
import { read, recording } from './recording.ts';

const H = 3600;
const NOISE_A = 0.001;
/** ignition's lamps and modules until 600 s, then the floor */
const parkedA = (floorA: number) => (atS: number): number => floorA + (atS < 60 ? 2.5 : atS < 180 ? 1.5 : atS < 600 ? 0.4 : 0);
const between = (atS: number, fromS: number, toS: number): boolean => atS >= fromS && atS < toS;
const pulled = (label: string, fromS: number, toS: number, lateS: number): Mark[] => [{ kind: 'pull', label, timeS: fromS + lateS }, { kind: 'refit', label, timeS: toS + lateS }];
const codes = (problems: readonly { code: string }[]): string[] => problems.map((problem) => problem.code);

describe('what happens in a yard', () => {
  it('leaves out what follows when the clamp comes off for good, and reads the rest before it', () => {
    const { asleep, average_a, verdict, problems } = read(recording(3 * H, 5, NOISE_A, (atS) => (atS < 1.4 * H ? parkedA(0.03)(atS) : 0)));
    expect(verdict.finding).toBe('asleep');
    expect(asleep?.level_a).toBeCloseTo(0.03, 3);
    expect(average_a).toBeCloseTo(0.03, 3);
    expect(codes(problems)).toContain('left-out');
  });

  it('does not take a clamp that came off before the time-outs for sleep at nothing', () => {
    const { asleep, verdict } = read(recording(3 * H, 5, NOISE_A, (atS) => (atS < 0.4 * H ? parkedA(0.08)(atS) : 0)));
    expect(asleep).toBeNull();
    expect(['too-short', 'unclear']).toContain(verdict.finding);
  });

  it('keeps a drain that was proven where the clamp reads next to nothing from one moment on, by its own zero or by one that was set with the drain flowing', () => {
    for (const left of [0.002, -0.002]) {
      const { asleep, verdict, over_limit, problems } = read(recording(4 * H, 5, NOISE_A, (atS) => (atS < 2 * H ? parkedA(0.3)(atS) : left)));
      expect(verdict.finding).toBe('drain');
      expect(asleep?.level_a).toBeCloseTo(0.3, 2);
      expect(over_limit).toBe(true);
      expect(codes(problems)).toContain('left-out');
    }
    // a shunt whose zero is known to a tenth of a milliamp shows 2 mA, and that is what the vehicle draws from then on
    const { asleep } = read(recording(6 * H, 5, NOISE_A, (atS) => (atS < 2 * H ? parkedA(0.3)(atS) : 0.002)), [], { zeroUncertaintyA: 1e-4, zeroDriftAPerHour: 0 });
    expect(asleep?.level_a).toBeCloseTo(0.002, 3);
  });

  it('lets a vehicle that draws next to nothing fall asleep', () => {
    const { asleep, verdict } = read(recording(4 * H, 5, NOISE_A, parkedA(0.003)));
    expect(verdict.finding).toBe('asleep');
    expect(asleep?.level_a).toBeCloseTo(0.003, 3);
    // woken after any time-out, it comes back to where it was
    expect(read(recording(4 * H, 5, NOISE_A, (atS) => (between(atS, 2 * H, 2 * H + 60) ? 0.5 : parkedA(0.003)(atS)))).asleep?.level_a).toBeCloseTo(0.003, 3);
  });

  it('takes no clamp that switched itself off for sleep: next to nothing to the last digit, with control units still awake before', () => {
    for (const offA of [0.002, 0, -0.001]) {
      const trace = recording(3 * H, 5, NOISE_A, parkedA(0.03));
      const { asleep, verdict } = read({ ...trace, currentA: trace.currentA.map((value, i) => (trace.timeS[i]! < 500 ? value : offA)) });
      expect(asleep).toBeNull();
      expect(['too-short', 'unclear']).toContain(verdict.finding);
    }
  });

  it('reads a drain past a clamp that was off for a while', () => {
    const { asleep, verdict, wakeups } = read(recording(3 * H, 5, NOISE_A, (atS) => (between(atS, 5000, 6000) ? 0 : parkedA(0.08)(atS))));
    expect(verdict.finding).toBe('drain');
    expect(asleep?.level_a).toBeCloseTo(0.08, 3);
    expect(wakeups).toEqual([]);
  });

  it('says that no sensor reads one value all night', () => {
    for (const levelA of [0, 0.031]) {
      const { asleep, verdict, problems } = read(recording(2 * H, 5, 0, () => levelA));
      expect([verdict.finding, asleep, codes(problems)]).toEqual(['unclear', null, ['constant']]);
    }
  });

  it('keeps the level from before the battery was empty', () => {
    const trace = recording(8 * H, 2, NOISE_A, (atS) => (atS < 4 * H ? parkedA(0.3)(atS) : 0.3 * Math.max(0.05, 1 - (atS - 4 * H) / (3 * H))));
    const voltageV = Float32Array.from(trace.timeS, (atS) => (atS < 4 * H ? 12.2 - (0.25 * atS) / H : Math.max(3, 11.2 - (5 * (atS - 4 * H)) / H)));
    const { asleep, verdict } = read({ ...trace, voltageV });
    expect(verdict.finding).toBe('drain');
    expect(asleep?.level_a).toBeCloseTo(0.3, 2);
  });

  it('leaves a charger in the middle out of the average', () => {
    const { asleep, average_a } = read(recording(4 * H, 5, NOISE_A, (atS) => (between(atS, 5000, 8000) ? -5 : parkedA(0.03)(atS))));
    expect(asleep?.level_a).toBeCloseTo(0.03, 3);
    expect(average_a).toBeCloseTo(0.03, 3);
  });

  it('makes no wake-up of mains hum that the rate folds down to a slow swing', () => {
    const { wakeups, wake_period_s } = read(recording(3 * H, 5, 0.002, (atS) => parkedA(0.03)(atS) + 0.03 * Math.sin(2 * Math.PI * 50.0005 * atS)));
    expect(wakeups).toEqual([]);
    expect(wake_period_s).toBeNull();
  });

  it('gives the middle of such a swing, with bounds that hold it', () => {
    const { asleep } = read(recording(3 * H, 5, 0.002, (atS) => parkedA(0.03)(atS) + 0.03 * Math.sin(2 * Math.PI * 50.0005 * atS)));
    expect(asleep === null || (asleep.low_a <= 0.03 && asleep.high_a >= 0.03 && Math.abs(asleep.level_a - 0.03) < 0.005)).toBe(true);
  });

  it('weighs each reading alike where a bus pulses in step with the seconds', () => {
    const { asleep, average_a } = read(recording(3 * H, 5, NOISE_A, (atS) => parkedA(0.02)(atS) + (Math.round(5 * atS) % 5 === 0 ? 0.09 : 0)));
    expect(asleep?.level_a).toBeCloseTo(0.02 + 0.09 / 5, 3);
    expect(average_a).toBeCloseTo(0.02 + 0.09 / 5, 3);
  });

  it('carries what is known of the sensor in every level', () => {
    const { levels } = read(recording(2 * H, 5, NOISE_A, parkedA(0.03)), [], { zeroUncertaintyA: 0.004, gainUncertaintyPercent: 1, zeroDriftAPerHour: 0.002 });
    for (const level of levels) {
      // JCGM 100:2008: root sum of squares, times 1.96
      const least = 1.96 * Math.hypot(0.004, 0.01 * level.mean_a, (0.002 * level.start_s) / H);
      expect((level.high_a - level.low_a) / 2).toBeGreaterThanOrEqual(least * 0.999);
    }
  });

  it('makes one wake-up of a horn, and no busy feed', () => {
    const { asleep, wakeups, pulses } = read(recording(3 * H, 5, NOISE_A, (atS) => parkedA(0.03)(atS) + (between(atS, 4000, 4030) && Math.floor(5 * atS) % 5 < 3 ? 6 : 0)));
    expect(wakeups).toHaveLength(1);
    expect(pulses).toBeNull();
    expect(asleep?.level_a).toBeCloseTo(0.03, 3);
  });

  it('makes no wake-ups of modules that poll, each at its own beat', () => {
    const pollA = (atS: number): number => (Math.floor(5 * atS) % 9 === 0 ? 0.19 : 0) + (Math.floor(5 * atS) % 13 === 0 ? 0.1 : 0);
    const { asleep, wakeups, pulses } = read(recording(3 * H, 5, NOISE_A, (atS) => parkedA(0.015)(atS) + pollA(atS)));
    expect(wakeups).toEqual([]);
    expect(asleep?.level_a).toBeCloseTo(0.015 + 0.19 / 9 + 0.1 / 13, 3);
    expect(pulses?.floor_a).toBeCloseTo(0.015, 2);
  });

  it('makes no key-off of a heater that began with the recording', () => {
    const { key_off_s, verdict } = read(recording(4 * H, 5, NOISE_A, (atS) => (atS < 120 ? 10 : atS < 1900 ? 4 : atS < 2020 ? 1 : 0.03)));
    expect(key_off_s).toBeNull();
    expect(verdict.finding).toBe('asleep');
  });

  it('takes three doors that happen to come at a period for people, and a fridge that starts again and again for none', () => {
    const visitA = (atS: number): number => (atS >= 0 && atS < 60 ? 2.5 : atS >= 60 && atS < 180 ? 1.5 : atS >= 180 && atS < 600 ? 0.4 : 0);
    const doors = read(recording(8 * H, 2, NOISE_A, (atS) => parkedA(0.02)(atS) + visitA(atS - 7200) + visitA(atS - 14_410) + visitA(atS - 21_600)));
    expect(doors.verdict.finding).toBe('asleep');
    const fridge = read(recording(4 * H, 2, NOISE_A, (atS) => parkedA(0.03)(atS) + (atS > 300 && atS % 700 < 220 ? 4 : 0)));
    expect(['waking', 'drain', 'awake']).toContain(fridge.verdict.finding);
    expect(fridge.average_a).toBeGreaterThan(1);
  });

  it('takes the mark key pressed twice for one pull', () => {
    const marks: Mark[] = [...pulled('F7', 6000, 6100, 0), { kind: 'pull', label: 'F7', timeS: 6001 }].sort((a, b) => a.timeS - b.timeS) as Mark[];
    const { pulls, unexplained_a } = read(recording(3 * H, 5, NOISE_A, (atS) => parkedA(0.2)(atS) - (between(atS, 6000, 6100) ? 0.15 : 0)), marks);
    expect(pulls).toHaveLength(1);
    expect(pulls[0].carries).toBe(true);
    expect(unexplained_a).toBeCloseTo(0.05, 2);
  });

  it.each([[8, 100], [40, 100], [70, 100], [70, 60]])('claims nothing false when every mark comes %s s late and the fuses are out for %s s', (lateS, outS) => {
    const marks = [...pulled('F7', 6000, 6000 + outS, lateS), ...pulled('F3', 6200, 6200 + outS, lateS)];
    const trace = recording(3 * H, 5, NOISE_A, (atS) => parkedA(0.2)(atS) - (between(atS, 6000, 6000 + outS) ? 0.15 : 0) - (between(atS, 6200, 6200 + outS) ? 0.01 : 0));
    const { pulls } = read(trace, marks);
    for (const [label, truthA] of [['F7', -0.15], ['F3', -0.01]] as const) {
      const pull = pulls.find((one) => one.label === label)!;
      expect(pull.carries).not.toBe(false);
      if (pull.carries === true) expect(pull.change_a).toBeCloseTo(truthA, 3);
      else expect(lateS).toBeGreaterThan(8);
    }
  });

  it('measures no fuse pulled while the module of the one before still boots', () => {
    const marks = [...pulled('F7', 6000, 6020, 0), ...pulled('F3', 6060, 6080, 0)];
    const bootA = (atS: number): number => (between(atS, 6020, 6058) ? 0.3 : 0) + (between(atS, 6020, 6200) ? 0.06 : 0);
    const trace = recording(3 * H, 5, NOISE_A, (atS) => parkedA(0.15)(atS) + bootA(atS) - (between(atS, 6000, 6020) ? 0.005 : 0) - (between(atS, 6060, 6080) ? 0.14 : 0));
    const pull = read(trace, marks).pulls.find((one) => one.label === 'F3')!;
    expect(pull.carries === null || pull.low_a <= -0.14).toBe(true);
  });
});
