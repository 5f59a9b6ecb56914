import { describe, expect, it } from 'vitest';
import type { ActuationOptions } from '../../../../src/core/analysis/options.ts';
import { readSection, type Section } from '../../../../src/core/analysis/motor/section.ts';
import { draw, noise, press } from './traces.ts';

const RATE_HZ = 1000;
function read(durationS: number, currentA: (atS: number) => number, voltageV?: (atS: number) => number, options: ActuationOptions = {}, rateHz = RATE_HZ): Section {
  const [hissA, hissV] = [noise(0.02), noise(0.01, 2)];
  return readSection(draw(rateHz, durationS, (atS) => currentA(atS) + hissA(), voltageV === undefined ? undefined : (atS) => voltageV(atS) + hissV()), options);
}
const within = (atS: number, fromS: number, toS: number): boolean => atS >= fromS && atS < toS;
/** A commutator's ripple of so many hertz. */
const ripple = (hz: number) => (atS: number): number => 0.15 * Math.sin(2 * Math.PI * hz * atS);

describe('a stretch of a recording', () => {
  it('has its samples, its first and its last moment, its rate and its gaps', () => {
    const trace = draw(RATE_HZ, 2, () => 0);
    const shifted = { ...trace, timeS: trace.timeS.map((atS) => atS + 7), gaps: [{ startS: 7.5, endS: 7.6 }] };
    expect(readSection(shifted, {})).toMatchObject({ samples: 2000, startS: 7, endS: expect.closeTo(8.999, 9), rateHz: expect.closeTo(RATE_HZ, 6), gaps: [{ start_s: 7.5, end_s: 7.6 }], place: null, hasVoltage: false, topV: 0, deadPresses: 0, unseenLoads: 0, flags: [], actuations: [] });
    expect(readSection({ timeS: new Float64Array(0), currentA: new Float32Array(0), voltageV: null, gaps: [] }, {})).toMatchObject({ samples: 0, startS: 0, endS: 0, rateHz: 0, actuations: [], problems: [{ code: 'no-samples' }] });
  });

  it('has a limit that was passed for longer than was asked for', () => {
    const passed = (flagHoldS?: number) => read(3, (atS) => press(atS, 1, 2, 12, 4), undefined, { flagLimitA: 6, ...(flagHoldS === undefined ? {} : { flagHoldS }) }).flags.length;
    // 4 + 8 e^(-t/40 ms) falls to 6 A within 55 ms
    expect([passed(), passed(0.03), passed(0.2), read(3, (atS) => press(atS, 1, 2, 12, 4)).flags.length]).toEqual([1, 1, 0, 0]);
  });

  it('has its presses with direction, first and last moment, and where it cuts them', () => {
    const { actuations, problems } = read(5, (atS) => press(atS, 1, 2, 12, 4) - press(atS, 3, 9, 12, 4));
    expect(problems.map(({ code }) => code)).toEqual(['ends-midway']);
    expect(actuations.map(({ start_s, end_s, direction, cut }) => [start_s, end_s, direction, cut])).toEqual([[expect.closeTo(1, 2), expect.closeTo(2, 2), 'forward', undefined], [expect.closeTo(3, 2), 4.999, 'reverse', 'end']]);
    expect(actuations.map(({ inrush }) => Math.round(inrush?.peak_a ?? 0))).toEqual([12, 12]);
  });
});

describe('presses without current', () => {
  const dead = (volts: (atS: number) => number, amps: (atS: number) => number = () => 0): number => read(6, amps, volts).deadPresses;

  it('are those of 50 ms or more at the full volts of the motor', () => {
    const up = (...lastsS: number[]) => dead((atS) => (within(atS, 4, 5) || lastsS.some((long, n) => within(atS, 1 + n, 1 + n + long)) ? 12 : 0), (atS) => press(atS, 4, 5, 12, 4));
    expect([up(0.5), up(0.06), up(0.04), up(0.5, 0.3)]).toEqual([1, 1, 0, 2]);
  });

  it('are none where current flows, or where a motor that coasts makes the volts', () => {
    const amps = (atS: number): number => press(atS, 2, 3, 12, 4);
    const volts = (atS: number): number => (within(atS, 2, 3) ? 12 : 0);
    expect([dead(volts, amps), dead((atS) => volts(atS) + (within(atS, 4, 4.5) ? 12 : 0), amps), dead((atS) => volts(atS) + (within(atS, 0.5, 1) ? 12 : 0), amps)]).toEqual([0, 1, 1]);
    // up for 62 ms above half of 12 V, at three quarters of it for less than half of that
    expect(dead((atS) => volts(atS) + (atS >= 4 ? 12 * Math.exp(-(atS - 4) / 0.09) : 0), amps)).toBe(0);
  });

  it('are none at the battery', () => {
    expect(read(6, () => 0, () => 12.6)).toMatchObject({ deadPresses: 0, place: 'battery', hasVoltage: true, topV: expect.closeTo(12.6, 1) });
  });
});

describe('the volts of a press', () => {
  it('are those of its run, or of the middle half of one that never ran', () => {
    // 12 V in the run, 10 V in the first 0.15 s
    const ran = read(4, (atS) => press(atS, 1, 3, 12, 4), (atS) => (within(atS, 1, 1.15) ? 10 : within(atS, 1, 3) ? 12 : 0)).actuations[0]!;
    expect(ran.run).not.toBeNull();
    expect(ran.feed_v).toBeCloseTo(12, 1);
    // 8 V in the middle of a stall of a second, 11 V in the quarters at its ends
    const stood = read(4, (atS) => (within(atS, 1, 2) ? 10 : 0), (atS) => (within(atS, 1.25, 1.75) ? 8 : within(atS, 1, 2) ? 11 : 0)).actuations[0]!;
    expect(stood.feed_v).toBeCloseTo(8, 1);
    expect(read(4, (atS) => press(atS, 1, 3, 12, 4)).actuations[0]).not.toHaveProperty('feed_v');
  });
});

describe('a line in the current', () => {
  const rippled = (hz: number, hz2 = hz) => read(8, (atS) => press(atS, 1, 3.5, 12, 4) + (within(atS, 1, 3.5) ? ripple(hz)(atS) : 0) + press(atS, 4.5, 7, 12, 4) + (within(atS, 4.5, 7) ? ripple(hz2)(atS) : 0), undefined, {}, 2000).actuations.map((one) => (one.ripple === null ? null : Math.round(one.ripple.frequency_hz)));

  it('is a speed, unless each press has it at a simple fraction of the sampling rate', () => {
    expect([rippled(310), rippled(250), rippled(310, 250)]).toEqual([[310, 310], [null, null], [310, 250]]);
  });

  it('is a motor that turns, however level its current', () => {
    // fed softly: up to 4 A along 0.4 s, without a switch-on
    const soft = (more: (atS: number) => number) => read(5, (atS) => (within(atS, 1, 4) ? 4 * Math.min(1, (atS - 1) / 0.02) + more(atS) : 0), undefined, {}, 2000).actuations[0]!;
    const [level, turning] = [soft(() => 0), soft(ripple(310))];
    expect(level.finding).not.toBe('normal');
    expect([Math.round(turning.run?.median_a ?? 0), turning.stalls, turning.ripple === null]).toEqual([4, [], false]);
  });
});

describe('a break of the current', () => {
  const gone = (breakS: number) => (atS: number): boolean => within(atS, breakS, breakS + 0.06);
  it('is a lost contact in the run, and none where it ends a stall', () => {
    const stalledAt = (atS: number): number => (within(atS, 3, 4) ? 11 : press(atS, 1, 5.5, 12, 4));
    const finding = (breakS: number): string => read(7, (atS) => (gone(breakS)(atS) ? 0 : stalledAt(atS)), undefined, {}, 1000).actuations[0]!.finding;
    expect([finding(2), finding(4), finding(9)]).toEqual(['intermittent', 'stalled', 'stalled']);
  });
});

describe('a clamp that was zeroed with current flowing', () => {
  /** It runs at 5 A with a ripple up to 2 s and from 4 s on: the pause reads -5 A. */
  const amps = (atS: number): number => (atS < 2 || within(atS, 4, 5.5) ? ripple(310)(atS) + (atS >= 4 ? 8 * Math.exp(-(atS - 4) / 0.04) : 0) : -5);

  it('is read again with the level of the pauses for nothing', () => {
    const section = read(6, amps, undefined, { fullScaleA: 13 }, 2000);
    expect(section.problems.find(({ code }) => code === 'zeroed-under-current')).toMatchObject({ restsAtA: expect.closeTo(-5, 1) });
    expect(section.baseline.current_a).toBeCloseTo(-5, 1);
    expect([section.load.kind, section.isUnusable, section.actuations.length]).toEqual(['motor', false, 2]);
    // 5 A are added to all: the end of the range is no longer where it was typed in, at 13 A
    expect(section.problems.map(({ code }) => code)).not.toContain('clipped');
  });
});
