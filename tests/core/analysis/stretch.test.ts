import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { joinedFigures, StretchMeter } from '../../../src/core/analysis/stretch.ts';
import { stretchesCsv, stretchFigures } from '../../../src/core/present/wording/stretch-words.ts';
import type { Samples } from '../../../src/core/trace.ts';

/** Samples of a course given in closed form: what is expected of them is known without any program. */
function course(count: number, rateHz: number, startS: number, currentA: (timeS: number) => number, voltageV: ((timeS: number) => number) | null = null): Samples {
  const timeS = Float64Array.from({ length: count }, (_, i) => startS + i / rateHz);
  return { timeS, currentA: Float32Array.from(timeS, currentA), voltageV: voltageV === null ? null : Float32Array.from(timeS, voltageV) };
}

function measured(samples: Samples, startS: number, endS: number): ReturnType<StretchMeter['figures']> {
  const meter = new StretchMeter(startS, endS);
  meter.push(samples, false);
  return meter.figures();
}

/** Another generator of noise than any the analysis knows: a linear congruence (Park and Miller 1988). */
function noise(seed: number): () => number {
  let state = seed;
  return () => (state = (state * 16_807) % 2_147_483_647) / 2_147_483_647 - 0.5;
}

describe('figures of a measured stretch', () => {
  it('tell extremes, volts, slope and the frequency of a sine on a ramp', () => {
    const figures = measured(course(4000, 1000, 50, (at) => 3 + 0.25 * (at - 50) + 0.8 * Math.sin(2 * Math.PI * 37.3 * at), (at) => 12 + 0.5 * Math.cos(2 * Math.PI * at)), 50, 54);
    expect(figures.frequency_hz).toBeCloseTo(37.3, 1);
    expect(figures.slope_a_per_s).toBeCloseTo(0.25, 2);
    expect(figures.max_a).toBeCloseTo(4.8, 1);
    expect(figures.min_a).toBeCloseTo(2.2, 1);
    expect(figures.peak_to_peak_a).toBeCloseTo(figures.max_a! - figures.min_a!, 6);
    expect(figures.mean_v).toBeCloseTo(12, 3);
    expect([figures.min_v, figures.max_v]).toEqual([expect.closeTo(11.5, 4), expect.closeTo(12.5, 4)]);
  });

  it('keep a slope of a microampere a second three days into a recording', () => {
    const startS = 3 * 86_400;
    expect(measured(course(20_000, 100, startS, (at) => 0.02 + 1e-6 * (at - startS)), startS, startS + 200).slope_a_per_s).toBeCloseTo(1e-6, 8);
  });

  it('call no frequency in noise, in a drift, in a switch-on, and in a line that goes round less than five times', () => {
    const random = noise(20261129);
    let walk = 0;
    const none: ((at: number) => number)[] = [() => random(), (at) => 5 * Math.exp(-at), (at) => (at < 1 ? 0 : 4), () => (walk += random()), (at) => Math.sin(2 * Math.PI * 0.5 * at), (at) => Math.sqrt(at)];
    for (const [i, shape] of none.entries()) expect(measured(course(4096, 1000, 0, shape), 0, 5).frequency_hz, `course ${i}`).toBeNull();
  });

  it('read no frequency from uneven samples, nor across a gap', () => {
    const even = course(1000, 1000, 0, (at) => Math.sin(2 * Math.PI * 50 * at));
    const thinned = { timeS: even.timeS.filter((_, i) => i < 100 || i % 10 === 0), currentA: even.currentA.filter((_, i) => i < 100 || i % 10 === 0), voltageV: null };
    expect(measured(thinned, 0, 1).frequency_hz).toBeNull();
    const meter = new StretchMeter(0, 10);
    meter.push(course(100, 1000, 0, (at) => Math.sin(2 * Math.PI * 50 * at)), false);
    meter.push(course(1000, 1000, 5, (at) => Math.sin(2 * Math.PI * 50 * at)), true);
    expect(meter.figures()).toMatchObject({ frequency_hz: null, max_a: expect.closeTo(1, 3) });
    // a gap before its first sample lies outside the stretch
    const after = new StretchMeter(0, 10);
    after.push(course(1000, 1000, 5, (at) => Math.sin(2 * Math.PI * 50 * at)), true);
    expect(after.figures().frequency_hz).toBeCloseTo(50, 1);
  });

  it('are the same however the samples come in pieces', () => {
    const whole = course(3000, 1000, 2, (at) => Math.sin(2 * Math.PI * 21 * at) + 0.1 * at, (at) => at);
    const wanted = measured(whole, 2.2, 4.7);
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 2999 }), { maxLength: 6 }), (cuts) => {
        const meter = new StretchMeter(2.2, 4.7);
        const edges = [0, ...cuts.sort((a, b) => a - b), 3000];
        for (let i = 1; i < edges.length; i++) {
          const [from, to] = [edges[i - 1]!, edges[i]!];
          meter.push({ timeS: whole.timeS.subarray(from, to), currentA: whole.currentA.subarray(from, to), voltageV: whole.voltageV!.subarray(from, to) }, false);
        }
        expect(meter.figures()).toEqual(wanted);
      }),
      { numRuns: 20 },
    );
  });

  it('are null where there is no sample, and joined ones tell no slope', () => {
    const empty = measured(course(10, 1000, 0, () => 1), 5, 6);
    expect(Object.values(empty).every((value) => value === null)).toBe(true);
    const one = measured(course(300, 1000, 0, (at) => at), 0, 1);
    expect(joinedFigures(one, measured(course(300, 1000, 1, (at) => -at), 1, 2), 0.5)).toMatchObject({ max_a: one.max_a, min_a: expect.closeTo(-1.299, 3), slope_a_per_s: null, frequency_hz: null });
    expect(joinedFigures(one, empty, 0.5)).toMatchObject({ min_a: one.min_a, peak_to_peak_a: one.peak_to_peak_a });
  });
});

describe('a line that stands out', () => {
  it('is reported from 128 samples and five periods on', () => {
    const sine = (count: number, periods: number): number | null => measured(course(count, 1000, 0, (at) => Math.sin((2 * Math.PI * periods * 1000 * at) / 128)), 0, 1).frequency_hz;
    // 128 samples at 1 kHz: 7.8125 Hz a period
    expect(sine(128, 8)).toBeCloseTo(62.5, 1);
    expect(sine(127, 8)).toBeNull();
    expect(sine(128, 5)).toBeCloseTo(39.06, 1);
    expect(sine(128, 4)).toBeNull();
    // 200 samples: the first 128 are looked at
    expect(sine(200, 8)).toBeCloseTo(62.5, 1);
    expect(measured(course(1024, 1000, 0, (at) => Math.sin(2 * Math.PI * 480 * at)), 0, 2).frequency_hz).toBeCloseTo(480, 0);
  });

  it('is none beside another that is a third as high, and one beside a tenth', () => {
    const beside = (share: number): number | null => measured(course(1024, 1024, 0, (at) => Math.sin(2 * Math.PI * 100 * at) + share * Math.sin(2 * Math.PI * 106 * at)), 0, 2).frequency_hz;
    // power goes with the square of the amplitude: 10 dB are a factor of 3.16
    expect([beside(0.34), beside(0.29)]).toEqual([null, expect.closeTo(100, 1)]);
  });

  it('is none among six of nearly the same height: it must hold a fifth of the power', () => {
    // 1 of 1 + n x 0.9 squared: 0.24 with four others, 0.17 with six
    const among = (others: number): number | null => measured(course(1024, 1024, 0, (at) => Math.sin(2 * Math.PI * 60 * at) + 0.9 * Array.from({ length: others }, (_, k) => Math.sin(2 * Math.PI * (120 + 50 * k) * at + k)).reduce((sum, value) => sum + value, 0)), 0, 2).frequency_hz;
    expect([among(4), among(6)]).toEqual([expect.closeTo(60, 1), null]);
  });

  it('is none in samples of which one is more than twice the usual away', () => {
    const shifted = (byS: number): number | null => {
      const even = course(256, 1000, 0, (at) => Math.sin(2 * Math.PI * 100 * at));
      return measured({ ...even, timeS: even.timeS.map((at, i) => (i >= 100 ? at + byS : at)) }, 0, 1).frequency_hz;
    };
    expect(shifted(0.0009)).not.toBeNull();
    expect(shifted(0.0012)).toBeNull();
  });
});

describe('two stretches that follow each other', () => {
  const part = (min_a: number | null, max_a: number | null, mean_v: number | null) => ({ min_a, max_a, peak_to_peak_a: null, min_v: mean_v, max_v: mean_v, mean_v, slope_a_per_s: 1, frequency_hz: 1 });

  it('have the extremes of both and the mean by their shares', () => {
    expect(joinedFigures(part(1, 5, 12), part(-2, 4, 10), 0.25)).toEqual({ min_a: -2, max_a: 5, peak_to_peak_a: 7, min_v: 10, max_v: 12, mean_v: 10.5, slope_a_per_s: null, frequency_hz: null });
    for (const [min, max] of [[2, 4], [-4, -2]] as const) {
      expect(joinedFigures(part(null, null, null), part(min, max, 10), 0.5)).toMatchObject({ min_a: min, max_a: max, peak_to_peak_a: 2, mean_v: 10 });
      expect(joinedFigures(part(min, max, 10), part(null, null, null), 0.5)).toMatchObject({ min_a: min, max_a: max, peak_to_peak_a: 2, mean_v: 10 });
    }
    expect(joinedFigures(part(null, null, null), part(null, null, null), 0.5)).toMatchObject({ min_a: null, max_a: null, peak_to_peak_a: null, mean_v: null, min_v: null });
  });

  it('have the least and the greatest volts, wherever they lie', () => {
    expect(measured(course(5, 1, 0, () => 1, (at) => [12, 11, 14, 13, 12][at]!), 0, 9)).toMatchObject({ min_v: 11, max_v: 14, mean_v: expect.closeTo(12.4, 6), min_a: 1, max_a: 1 });
  });

  it('of two or of one moment tell no slope', () => {
    expect(measured(course(2, 1, 0, (at) => at), 0, 9).slope_a_per_s).toBeNull();
    expect(measured(course(3, 1, 0, (at) => 2 * at), 0, 9).slope_a_per_s).toBeCloseTo(2, 12);
    expect(measured(course(3, Infinity, 1, () => 2), 0, 9).slope_a_per_s).toBeNull();
  });
});

describe('a measured stretch in words', () => {
  const view = { charge_c: 36, charge_ah: 0.01, mean_a: 4, duration_s: 9, gap_s: 0.5, min_a: -0.02, max_a: 14.1, peak_to_peak_a: 14.12, min_v: 11.2, max_v: 12.4, mean_v: 11.9, slope_a_per_s: 0.12, frequency_hz: null };

  it('has coulombs and ampere-hours, volts, and says that no frequency stands out', () => {
    const lines = Object.fromEntries(stretchFigures(view).map(({ name, value }) => [name, value]));
    expect(lines).toMatchObject({ Length: '9.00 s', Minimum: '−20.0 mA', Charge: '36.0 C (10.0 mAh)', Volts: '11.90 V (11.20 V to 12.40 V)', Frequency: 'none found', 'Peak to peak': '14.1 A', 'Not measured': '500 ms' });
  });

  it('has volts no finer than loggers tell them, and a length that fits the moments of its ends', () => {
    const lines = Object.fromEntries(stretchFigures({ ...view, duration_s: 12.63, min_v: -0.0390625, max_v: 9.41, mean_v: -0.0001 }).map(({ name, value }) => [name, value]));
    expect(lines).toMatchObject({ Length: '12.6 s', Volts: '0.000 V (−0.039 V to 9.410 V)' });
  });

  it('leaves out what cannot be reported', () => {
    const names = stretchFigures({ ...view, gap_s: 0, mean_v: null, min_v: null, max_v: null, slope_a_per_s: null }).map(({ name }) => name);
    expect(names).toEqual(['Length', 'Mean', 'Minimum', 'Maximum', 'Peak to peak', 'Charge', 'Frequency']);
  });

  it('is a row for other programs, in which a name is no formula', () => {
    const csv = stretchesCsv([{ mark: { timeS: 1.5, endS: 10.5, kind: 'stretch', label: '=1+1 "dip"' }, view }]);
    expect(csv.split('\n')).toEqual(['label,time_s,end_s,duration_s,gap_s,mean_a,min_a,max_a,peak_to_peak_a,charge_c,charge_ah,mean_v,min_v,max_v,frequency_hz,slope_a_per_s', `"'=1+1 ""dip""",1.5,10.5,9,0.5,4,-0.02,14.1,14.12,36,0.01,11.9,11.2,12.4,,0.12`, '']);
  });
});
