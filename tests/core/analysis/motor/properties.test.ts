import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../../../analyse.ts';
import type { Actuation, ActuationResult } from '../../../../src/core/analysis/results.ts';
import type { Trace } from '../../../../src/core/trace.ts';
import { draw, noise, press } from './traces.ts';

/** Every number of the result, however deep, is a finite one. */
function expectFinite(value: unknown, path = 'result'): void {
  if (typeof value === 'number') expect(Number.isFinite(value), path).toBe(true);
  else if (Array.isArray(value)) value.forEach((item, i) => expectFinite(item, `${path}[${i}]`));
  else if (typeof value === 'object' && value !== null) for (const [key, item] of Object.entries(value)) expectFinite(item, `${path}.${key}`);
}

function traceOf(current: readonly number[], rateHz: number, voltage: readonly number[] | null = null): Trace {
  return { timeS: Float64Array.from(current, (_value, i) => i / rateHz), currentA: Float32Array.from(current), voltageV: voltage === null ? null : Float32Array.from(voltage), gaps: [] };
}

/** A motor pressed forward and back, with noise, and with ripple as long as it turns: worth analysing. */
function ride(scale: number, sigmaShare: number, rateHz: number): Trace {
  const n = noise(sigmaShare * scale, 7);
  return draw(rateHz, 8, (t) => {
    const forward = press(t, 1, 3, 6 * scale, 2 * scale);
    const back = press(t, 4.5, 6.5, 6 * scale, 1.5 * scale) + (t >= 5.8 && t < 6.5 ? 5 * scale : 0);
    return (forward - back) * (t >= 5.8 ? 1 : 1 + 0.02 * Math.sin(2 * Math.PI * 180 * t)) + n();
  });
}

function mapped(trace: Trace, time: (atS: number) => number, amps: (value: number) => number): Trace {
  return { ...trace, timeS: trace.timeS.map(time), currentA: trace.currentA.map(amps) };
}

const wild = fc.oneof(fc.double({ min: -1e3, max: 1e3, noNaN: true }), fc.constantFrom(0, 1e-30, -1e-30, 1e30, -1e30, 3e38, 1023, 4095));

describe('whatever the readings', () => {
  it('nothing throws and every figure is finite: any column at any rate, of any length', () => {
    fc.assert(
      fc.property(fc.array(wild, { maxLength: 400 }), fc.double({ min: 0.01, max: 1e6, noNaN: true }), fc.boolean(), (values, rateHz, hasVoltage) => {
        expectFinite(analyseActuation(traceOf(values, rateHz, hasVoltage ? values.map((value) => value / 2) : null), { runLimitsA: [1, 2], commutationsPerRevolution: 10, fuseRatingA: 15 }));
      }),
      { numRuns: 150 },
    );
  });

  it('nothing throws on long runs of one value, steps, spikes and full-scale readings', () => {
    const piece = fc.record({ level: fc.constantFrom(0, 0.001, 0.15, 1, -1, 5, 30, -30, 1e4), length: fc.integer({ min: 1, max: 400 }), sigma: fc.constantFrom(0, 0.01, 0.5) });
    fc.assert(
      fc.property(fc.array(piece, { minLength: 1, maxLength: 8 }), fc.constantFrom(1, 200, 1000, 10_000, 50_000), (pieces, rateHz) => {
        const n = noise(1, 3);
        expectFinite(analyseActuation(traceOf(pieces.flatMap(({ level, length, sigma }) => Array.from({ length }, () => level + sigma * n())), rateHz), { commutationsPerRevolution: 12 }));
      }),
      { numRuns: 60 },
    );
  });

  it.each([
    ['no sample', [], 'no-samples'],
    ['one sample', [3.2], 'too-short'],
    ['two samples', [0, 3.2], 'too-short'],
  ])('%s is reported as a problem, not thrown', (_name, values, problem) => {
    const result = analyseActuation(traceOf(values, 1000), {});
    expect(result.actuations).toEqual([]);
    expect(result.problems.map(({ code }) => code)).toContain(problem);
  });

  it('a reading that is no number, should one ever get past the readers, makes no finding and no exception', () => {
    const trace = ride(1, 0.01, 1000);
    trace.currentA[1500] = NaN;
    trace.currentA[20] = Infinity;
    expect(() => analyseActuation(trace, {})).not.toThrow();
  });
});

describe('a trace without a press', () => {
  it('has none: constant readings at any offset a bad clamp shows', () => {
    fc.assert(
      fc.property(fc.double({ min: -0.15, max: 0.15, noNaN: true }), fc.constantFrom(200, 1000, 10_000), (offsetA, rateHz) => {
        expect(analyseActuation(draw(rateHz, 2, () => offsetA), {}).actuations).toEqual([]);
      }),
      { numRuns: 40 },
    );
  });

  it('has none: noise alone, from 2 mA to half an ampere, plain or in 10-bit steps of a 30 A sensor', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.002, max: 0.5, noNaN: true }), fc.integer({ min: 1, max: 1e6 }), fc.boolean(), (sigmaA, seed, stepped) => {
        const n = noise(sigmaA, seed);
        const step = 60 / 1024;
        expect(analyseActuation(draw(2000, 3, () => (stepped ? Math.round(n() / step) * step : n())), {}).actuations).toEqual([]);
      }),
      { numRuns: 40 },
    );
  });
});

/** What must not change, in a form that can be compared. */
function shapeOf(result: ActuationResult, shiftS = 0, scale = 1): unknown {
  const near = (value: number): number => Math.round(value * 1e4) / 1e4;
  return result.actuations.map((one: Actuation) => ({
    start: near(one.start_s - shiftS), end: near(one.end_s - shiftS), finding: one.finding,
    stalls: one.stalls.map((stall) => [near(stall.start_s - shiftS), near(stall.end_s - shiftS), stall.at]),
    run: one.run === null ? null : Math.round((one.run.median_a / scale) * 1e3) / 1e3,
    peak: one.inrush === null ? null : Math.round((one.inrush.peak_a / scale) * 1e2) / 1e2,
    ripple: one.ripple === null ? null : Math.round(one.ripple.frequency_hz),
  }));
}

describe('what is read does not hang on how the trace was taken', () => {
  const plain = ride(2, 0.004, 2000);
  const knownReading = (): ActuationResult => analyseActuation(plain, {});

  it('reads two presses, the second one stalled, to begin with', () => {
    const known = knownReading();
    expect(known.actuations.map(({ finding, direction }) => [finding, direction])).toEqual([['normal', 'forward'], ['stalled', 'reverse']]);
  });

  it('a later start of the clock moves the times and nothing else', () => {
    const known = knownReading();
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 4000 }), (quarters) => {
        const shiftS = quarters / 4;
        expect(shapeOf(analyseActuation(mapped(plain, (t) => t + shiftS, (a) => a), {}), shiftS)).toEqual(shapeOf(known));
      }),
      { numRuns: 8 },
    );
  });

  it('a clamp the other way round swaps the directions and nothing else', () => {
    const known = knownReading();
    const turned = analyseActuation(mapped(plain, (t) => t, (a) => -a), {});
    expect(shapeOf(turned)).toEqual(shapeOf(known));
    expect(turned.actuations.map(({ direction }) => direction)).toEqual(['reverse', 'forward']);
    expect(turned.baseline.current_a).toBeCloseTo(-known.baseline.current_a, 6);
  });

  it('a motor of k times the current reads k times the amps, from 1 A to 60 A running', () => {
    const known = knownReading();
    fc.assert(
      fc.property(fc.double({ min: 0.5, max: 30, noNaN: true }), (k) => {
        const read = analyseActuation(mapped(plain, (t) => t, (a) => a * k), {});
        expect(read.actuations.map(({ finding }) => finding)).toEqual(known.actuations.map(({ finding }) => finding));
        read.actuations.forEach((one, i) => {
          expect((one.run?.median_a ?? 0) / k / (known.actuations[i].run?.median_a ?? 1)).toBeCloseTo(1, 2);
          expect(Math.abs(one.start_s - known.actuations[i].start_s)).toBeLessThanOrEqual(0.002);
        });
      }),
      { numRuns: 15 },
    );
  });

  it('an offset of the clamp up to 0.15 A either way changes no finding and no level by 1 %', () => {
    for (const offsetA of [-0.15, -0.06, 0.03, 0.15]) {
      const read = analyseActuation(mapped(plain, (t) => t, (a) => a + offsetA), {});
      expect(read.actuations.map(({ finding }) => finding)).toEqual(['normal', 'stalled']);
      expect(Math.abs((read.actuations[0].run?.median_a ?? 0) / 4 - 1)).toBeLessThan(0.01);
    }
  });
});
