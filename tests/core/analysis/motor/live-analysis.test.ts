import { describe, expect, it } from 'vitest';
import { createLiveMotor } from '../../../../src/core/analysis/motor/live-analysis.ts';
import type { MotorReading } from '../../../../src/core/analysis/motor/reading.ts';
import type { Gap } from '../../../../src/core/trace.ts';
import { draw, noise, press } from './traces.ts';

const RATE_HZ = 500;
type Span = readonly [onS: number, offS: number, sign?: number];

/** A motor that starts at 12 A and runs at 4 A, forward unless said otherwise. */
const motor = (spans: readonly Span[]) => (atS: number): number => spans.reduce((sum, [onS, offS, sign = 1]) => sum + sign * press(atS, onS, offS, 12, 4), 0);

interface Fed {
  readonly durationS: number;
  readonly amps: (atS: number) => number;
  readonly volts?: (atS: number) => number;
  readonly gaps?: readonly Gap[];
  readonly windowS?: number;
  readonly kept?: number;
}

/** Fed by blocks of a tenth of a second, gaps as their time comes. */
function fed({ durationS, amps, volts, gaps = [], windowS = Infinity, kept = Infinity }: Fed): MotorReading {
  const hiss = noise(0.02);
  const { timeS, currentA, voltageV } = draw(RATE_HZ, durationS, (atS) => amps(atS) + hiss(), volts);
  const live = createLiveMotor({}, windowS === Infinity ? undefined : windowS * RATE_HZ, kept);
  const isThere = (i: number): boolean => !gaps.some(({ startS, endS }) => timeS[i]! > startS && timeS[i]! < endS);
  for (let from = 0; from < timeS.length; from += RATE_HZ / 10) {
    const indices = Array.from({ length: RATE_HZ / 10 }, (_value, k) => from + k).filter(isThere);
    for (const gap of gaps) if (gap.endS >= timeS[from]! && gap.endS < timeS[from]! + 0.1) live.gap(gap);
    live.push({ timeS: Float64Array.from(indices, (i) => timeS[i]!), currentA: Float32Array.from(indices, (i) => currentA[i]!), voltageV: voltageV === null ? null : Float32Array.from(indices, (i) => voltageV[i]!) });
  }
  return live.result();
}
const told = ({ actuations }: MotorReading): unknown => actuations.map(({ start_s, end_s, direction, cut }) => [Math.round(10 * start_s) / 10, Math.round(10 * end_s) / 10, direction, cut ?? 'whole']);

describe('a recording longer than its window', () => {
  it('is cut in the last idle moment, so that a press across the end of the window stays whole', () => {
    const spans: Span[] = [[1, 2], [4.5, 5.5], [7, 8]];
    expect(told(fed({ durationS: 9, amps: motor(spans), windowS: 5 }))).toEqual(spans.map(([onS, offS]) => [onS, offS, 'forward', 'whole']));
  });

  it('is cut in an idle moment of more than a tenth of a second, behind half of the window', () => {
    // the 0.09 s between a press and its reversal leave the motor turning: that is no place to cut, and the end of the window is
    expect(told(fed({ durationS: 8, amps: motor([[3, 4.2], [4.29, 6, -1]]), windowS: 5 }))).toEqual([[3, 4.2, 'forward', 'whole'], [4.3, 5, 'reverse', 'end'], [5, 6, 'reverse', 'start']]);
    expect(told(fed({ durationS: 8, amps: motor([[3, 4.2], [4.35, 6, -1]]), windowS: 5 }))).toEqual([[3, 4.2, 'forward', 'whole'], [4.4, 6, 'reverse', 'whole']]);
    // the last moment without current is in the first half: the press is cut by the end of the window
    expect(told(fed({ durationS: 8, amps: motor([[1.5, 7]]), windowS: 5 }))).toEqual([[1.5, 5, 'forward', 'end'], [5, 7, 'forward', 'start']]);
    expect(told(fed({ durationS: 8, amps: motor([[3, 7]]), windowS: 5 }))).toEqual([[3, 5, 'forward', 'end'], [5, 7, 'forward', 'start']]);
    expect(told(fed({ durationS: 8, amps: motor([[0.5, 1], [4.5, 7]]), windowS: 5 }))).toEqual([[0.5, 1, 'forward', 'whole'], [4.5, 7, 'forward', 'whole']]);
  });

  it('has each sample once, and the first and the last moment', () => {
    expect(fed({ durationS: 9, amps: motor([[1, 2], [4.5, 5.5]]), windowS: 2 }).trace).toMatchObject({ samples: 9 * RATE_HZ, duration_s: 9 - 1 / RATE_HZ, rate_hz: expect.closeTo(RATE_HZ, 6) });
  });

  it('tells each gap once, wherever the window was cut', () => {
    const spans: Span[] = [[1, 2], [6.5, 7.5]];
    // the window of 5 s is cut at about 3.5 s: gaps before, across, and after that, and across its end
    for (const startS of [2.5, 3.3, 3.4, 4.2, 4.9]) {
      const gap = { startS, endS: startS + 0.3 };
      for (const windowS of [5, Infinity]) expect(fed({ durationS: 10, amps: motor(spans), gaps: [gap], windowS }).trace.gaps.map(({ start_s, end_s }) => [start_s, end_s]), `${startS} s, ${windowS} s`).toEqual([[startS, startS + 0.3].map((atS) => expect.closeTo(atS, 6))]);
    }
  });

  it('tells a gap between two samples that lie on either side of the end of a full window', () => {
    // nothing idle: the window of 4 s ends at 3.998 s
    const gap = { startS: 3.998, endS: 4.3 };
    expect(fed({ durationS: 8, amps: motor([[0, 8]]), gaps: [gap], windowS: 4 }).trace.gaps).toEqual([{ start_s: 3.998, end_s: 4.3 }]);
  });

  it('keeps a gap for later that ends after the last sample', () => {
    const live = createLiveMotor({});
    const { timeS, currentA } = draw(RATE_HZ, 4, motor([[1, 2]]));
    live.gap({ startS: 1.998, endS: 2.4 });
    live.push({ timeS: timeS.slice(0, 1000), currentA: currentA.slice(0, 1000), voltageV: null });
    expect(live.result().trace.gaps).toEqual([]);
    live.push({ timeS: timeS.slice(1200), currentA: currentA.slice(1200), voltageV: null });
    expect(live.result().trace.gaps).toEqual([{ start_s: 1.998, end_s: 2.4 }]);
    // without any sample it is all that is known
    const none = createLiveMotor({});
    none.gap({ startS: 1, endS: 2 });
    expect(none.result().trace.gaps).toEqual([{ start_s: 1, end_s: 2 }]);
  });
});

describe('a test whose first presses are only counted', () => {
  /** A press a second long every two seconds, in windows that hold two. */
  const spans: Span[] = [1, 3, 5, 7, 9, 11].map((onS) => [onS, onS + 1]);
  const all = { durationS: 13, amps: motor(spans), windowS: 4 };
  const kept = (count: number) => {
    const { earlier_actuations: earlier, actuations, trace } = fed({ ...all, kept: count });
    return [earlier, actuations.length, trace.samples];
  };

  it('keeps the sections of so many presses, and all samples', () => {
    expect(fed(all).actuations).toHaveLength(6);
    const samples = 13 * RATE_HZ;
    const [one, three, many] = [kept(1), kept(3), kept(6)];
    expect([(one[0] ?? 0) + one[1]!, (three[0] ?? 0) + three[1]!, many]).toEqual([6, 6, [undefined, 6, samples]]);
    // those of a section stay together, and those of the window that is still open are there too
    expect(one[1]).toBeLessThan(three[1]!);
    expect(three[1]).toBeLessThan(6);
    expect([one[2], three[2]]).toEqual([samples, samples]);
    expect(fed({ ...all, kept: 1 }).trace.duration_s).toBeCloseTo(13 - 1 / RATE_HZ, 9);
  });

  it('keeps what their sections had in common: the place of the lead, presses without current, problems', () => {
    const onV = (span: Span) => (atS: number): number => (atS >= span[0] && atS < span[1] ? 12 : 0);
    const dead = (...deadSpans: Span[]) => {
      const alive = spans.filter((span) => !deadSpans.includes(span));
      return fed({ ...all, amps: motor(alive), volts: (atS) => spans.reduce((sum, span) => sum + onV(span)(atS), 0), kept: 1 });
    };
    const read = dead(spans[0]!, spans[2]!);
    expect(read.trace.voltage_at).toBe('motor');
    expect(read.verdict).toMatchObject({ finding: 'dead', because: [{ code: 'dead', presses: 2, topV: expect.closeTo(12, 3) }] });
    expect(dead().verdict.finding).not.toBe('dead');
  });

  it('does not call a press dead that the clamp missed, at first', () => {
    // the feed dips at each switch-on as a motor's does, with the clamp beside the wire for the first four of nine
    const nine: Span[] = Array.from({ length: 9 }, (_value, n) => [2 * n + 1, 2 * n + 2]);
    const volts = (atS: number): number => (nine.some(([onS, offS]) => atS >= onS && atS < offS) ? 12 - 0.1 * motor(nine)(atS) : 0);
    const read = (count: number) => fed({ durationS: 19, windowS: 4, amps: (atS) => (atS < 8.5 ? 0 : motor(nine)(atS)), volts, kept: count });
    expect([read(Infinity), read(3)].map(({ verdict }) => verdict.finding)).toEqual(['normal', 'normal']);
    expect(read(3).problems.map(({ code }) => code)).toContain('clamp-off');
  });
});
