import { describe, expect, it } from 'vitest';
import { composeResult } from '../../../../src/core/analysis/motor/compose.ts';
import type { MotorProblem } from '../../../../src/core/analysis/motor/codes.ts';
import type { Section } from '../../../../src/core/analysis/motor/section.ts';
import type { LoadReading } from '../../../../src/core/analysis/motor/wire/load-kind.ts';
import { fitted, press } from './finding/readings.ts';
import { section } from './sections.ts';

const compose = (...sections: Partial<Section>[]) => composeResult(sections.map(section), {});
const motor: LoadReading = { kind: 'motor', reason: 'run-up' };
const lamp: LoadReading = { kind: 'lamp', reason: 'filament' };
const unknown: LoadReading = { kind: 'unknown', reason: 'mixed' };

describe('the sections of a recording as one', () => {
  it('add up: samples, gaps, presses and limits that were passed, in order, from the first moment to the last', () => {
    const flag = (start_s: number) => ({ start_s, end_s: start_s + 1, limit_a: 5, peak_a: 9 });
    const gap = (start_s: number) => ({ start_s, end_s: start_s + 1 });
    const result = compose({ startS: 2, gaps: [gap(3)], flags: [flag(4)], actuations: [press({ start_s: 5 })] }, { samples: 500, gaps: [gap(12)], flags: [flag(13), flag(14)], actuations: [press({ start_s: 15 })], startS: 11, endS: 20 });
    expect(result.trace).toMatchObject({ samples: 1500, duration_s: 18, gaps: [gap(3), gap(12)] });
    expect(result.flags).toEqual([flag(4), flag(13), flag(14)]);
    expect(result.actuations.map(({ start_s }) => start_s)).toEqual([5, 15]);
  });

  it('have the rate, the zero and the background of the longest, the first of two alike', () => {
    const short = { samples: 10, rateHz: 1, backgroundA: 1, baseline: { current_a: 0.1, noise_a: 0.1 } };
    const long = { samples: 20, rateHz: 2, backgroundA: 2, baseline: { current_a: 0.2, noise_a: 0.2 } };
    const also = { ...long, rateHz: 3 };
    expect([compose(short, long), compose(long, short), compose(long, also, short)].map(({ trace, baseline, background_a }) => [trace.rate_hz, baseline.current_a, background_a])).toEqual([[2, 0.2, 2], [2, 0.2, 2], [2, 0.2, 2]]);
  });

  it('have the lead at the motor where one shows it there, or where the first saw it', () => {
    const places = (...at: Section['place'][]) => compose(...at.map((place) => ({ place }))).trace.voltage_at;
    expect([places(null, 'battery', 'motor'), places(null, 'battery'), places('motor', 'battery'), places(null, null)]).toEqual(['motor', 'battery', 'motor', null]);
  });

  it('have the load that one shows surely, a motor before all others', () => {
    const loads = (...of: LoadReading[]) => compose(...of.map((load) => ({ load }))).load;
    expect([loads(lamp, unknown, motor), loads(unknown, lamp), loads(unknown, { kind: 'unknown', reason: 'winding' })]).toEqual([{ kind: 'motor', because: 'run-up' }, { kind: 'lamp', because: 'filament' }, { kind: 'unknown', because: 'mixed' }]);
  });

  it('tell each problem once, as it was first met; only the first can begin, and only the last end, within a press', () => {
    const offset = (levelA: number): MotorProblem => ({ code: 'offset', levelA });
    const of = (...problems: MotorProblem[][]) => compose(...problems.map((list) => ({ problems: list }))).problems;
    expect(of([offset(1)], [offset(2), { code: 'uneven-rate' }])).toEqual([offset(1), { code: 'uneven-rate' }]);
    const [starts, ends, short]: MotorProblem[] = [{ code: 'starts-midway' }, { code: 'ends-midway' }, { code: 'too-short', samples: 3, durationS: 1 }];
    expect(of([starts!, ends!, short!], [starts!, ends!, short!]).map(({ code }) => code)).toEqual(['starts-midway', 'ends-midway', 'too-short']);
    expect([of([ends!, short!], []), of([], [starts!]), of([], [ends!])].map((list) => list.map(({ code }) => code))).toEqual([[], [], ['ends-midway']]);
  });
});

describe('the verdict of all sections', () => {
  const found = (...sections: Partial<Section>[]): string => compose(...sections).verdict.finding;
  const ran = { actuations: [press()] };

  it('has a press without current wherever it was, unless as many loads were missed by the clamp', () => {
    expect([found(ran, { deadPresses: 1 }), found({ ...ran, unseenLoads: 1 }, { ...ran, deadPresses: 1 }), found({ ...ran, unseenLoads: 1 }, { ...ran, deadPresses: 2 })]).toEqual(['dead', 'normal', 'dead']);
    expect(compose({ deadPresses: 1, topV: 12 }, { deadPresses: 2, topV: 11 }).verdict.because[0]).toEqual({ code: 'dead', presses: 3, topV: 12 });
    expect([found({ ...ran, unseenLoads: 1 }, { ...ran, unseenLoads: 1 }), found({ ...ran, unseenLoads: 1 }, ran)]).toEqual(['unclear', 'normal']);
  });

  it('has no feed where volts were recorded and none came up', () => {
    expect([found({ hasVoltage: true, topV: 1 }, {}), found({}, {})]).toEqual(['unpowered', 'unclear']);
  });

  it('is open where one section is unusable, or does not tell whether the motor turned', () => {
    expect([found(ran, { isUnusable: true }), found(ran, { certain: false }), found(ran, ran)]).toEqual(['unclear', 'unclear', 'normal']);
    // a lock stands by design
    expect(found({ ...ran, certain: false, load: { kind: 'latch', reason: 'stands-by-design' } })).toBe('normal');
  });

  it('calls one level that is there at once a sharp edge', () => {
    const because = (load: LoadReading) => compose({ load, actuations: [press({ finding: 'unclear' })] }).verdict.because[0]?.code;
    expect([because({ kind: 'unknown', reason: 'sharp-edge' }), because({ kind: 'unknown', reason: 'slow-edge' }), because({ kind: 'unknown', reason: 'mixed' })]).toEqual(['sharp-edge', 'sharp-edge', 'one-level']);
  });
});

describe('what a press means beside the others', () => {
  it('is open where it stood on a feed that hardly carried it: a creeping motor draws as even a level', () => {
    // of a charged battery of 12.5 V less than 58 % is left at a standing motor: 7.25 V; of 25 V 14.5 V
    const locked = (feed_v: number, topV = 12.5) => compose({ topV, actuations: [press({ finding: 'locked', run: null, feed_v, stalls: [{ start_s: 1, end_s: 4, level_a: 20, at: 'start' }] })] }).actuations[0]!;
    expect([locked(7.2), locked(7.3)].map(({ finding, stalls }) => [finding, stalls.length])).toEqual([['unclear', 0], ['locked', 1]]);
    expect([locked(14.4, 25).finding, locked(14.6, 25).finding]).toEqual(['unclear', 'locked']);
    expect(compose({ topV: 25, actuations: [] }, { topV: 12, actuations: [locked(14.4, 12)] }).actuations[0]?.finding).toBe('unclear');
    expect(compose({ topV: 12.5, actuations: [press({ feed_v: 5 })] }).actuations[0]?.finding).toBe('normal');
  });

  it('is suspect where its own trace speaks against it: it runs at more than 0.6 of its standing current', () => {
    // 4 A of 6 A, whose lower bounds are 3.9 of 6.3 A
    expect(compose({ actuations: [fitted(6)] }).actuations[0]?.finding).toBe('suspect');
    expect([compose({ actuations: [fitted(12)] }), composeResult([section({ actuations: [fitted(6)] })], { runLimitsA: [3, 5] })].map(({ actuations }) => actuations[0]?.finding)).toEqual(['normal', 'normal']);
    expect(compose({ actuations: [fitted(6, { finding: 'stalled' })] }).actuations[0]?.finding).toBe('stalled');
  });

  it('is compared with the other direction by whole presses only', () => {
    const both = (cut?: 'start') => compose({ actuations: [press(), press({ direction: 'reverse', ...(cut === undefined ? {} : { cut }) })] }).asymmetry;
    expect([both()?.run_ratio, both('start')]).toEqual([1, null]);
  });
});
