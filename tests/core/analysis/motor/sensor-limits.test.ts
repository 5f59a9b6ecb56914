import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../../../analyse.ts';
import { switchOnCurve, switchOnPeak, type SwitchOn } from '../../../../src/core/reference/motor.ts';
import type { ActuationResult } from '../../../../src/core/analysis/results.ts';
import type { Trace } from '../../../../src/core/trace.ts';
import { draw, noise, press } from './traces.ts';

const textOf = (result: ActuationResult, code: string): string => result.problems.filter((problem) => problem.code === code).map((problem) => problem.text).join(' ');

describe('a sensor that ends before the current does', () => {
  const clipped = (peakA: number, runA: number, stallA: number | null, fullScaleA: number, reported: boolean): ActuationResult => {
    const wobble = noise(0.02);
    const trace = draw(1000, 5, (atS) => Math.min(fullScaleA, (stallA !== null && atS >= 3 && atS < 4 ? stallA : press(atS, 1, 4, peakA, runA)) + wobble()));
    return analyseActuation(trace, reported ? { fullScaleA } : {});
  };

  it.each([true, false])('gives a lower bound instead of a peak, and no upper one (full scale typed in: %s)', (reported) => {
    const result = clipped(40, 4, null, 10, reported);
    const inrush = result.actuations[0]?.inrush;
    expect(inrush?.peak_at_least).toBe(true);
    expect(inrush?.low_peak_a).toBeCloseTo(10, 1);
    expect(inrush?.high_peak_a).toBeNull();
    expect(inrush?.fit).toBeNull();
    expect(result.actuations[0]?.run?.at_least).toBeUndefined();
    expect(result.actuations[0]?.run?.median_a).toBeCloseTo(4, 1);
    expect(textOf(result, 'clipped')).toMatch(/1 inrush peak is at least that.*larger range/);
  });

  it('gives a lower bound of a stall too, and still calls it one', () => {
    const result = clipped(9, 3, 14, 10, true);
    expect(result.verdict.finding).toBe('stalled');
    expect(result.actuations[0]?.stalls[0]?.at_least).toBe(true);
    expect(result.verdict.because.join(' ')).toMatch(/Stalled from .*: at least 10\.0 A for/);
    // a bound is no figure to judge the winding by
    expect(result.verdict.because.join(' ')).not.toMatch(/the stall agrees/);
  });

  it('cannot tell a running from a stalled motor where every reading is at the end, and says what to do', () => {
    const result = clipped(40, 12, null, 10, true);
    expect(result.verdict.finding).toBe('unclear');
    expect(result.verdict.because[0]).toMatch(/end of the sensor's range/);
    expect(result.verdict.next[0]).toMatch(/larger range/);
  });

  it('keeps a stall a stall where a peak would have to be absurd to stand at the end for so long', () => {
    // 0.6 s at the end, then a fall of 20 ms: a peak would have been 30 time constants above it
    const wobble = noise(0.02);
    const level = (atS: number): number => (atS < 1.6 ? press(atS, 1, 4, 14, 14) : press(atS, 1.6, 4, 14, 6, 0.02));
    const result = analyseActuation(draw(1000, 5, (atS) => Math.min(13, level(atS) + wobble())), {});
    expect(result.verdict.finding).toBe('stalled');
    expect(result.actuations[0]?.stalls[0]).toMatchObject({ at: 'start', at_least: true });
  });

  it('keeps quiet below the end', () => {
    const result = clipped(9, 3, null, 10, true);
    expect(result.problems.map(({ code }) => code)).not.toContain('clipped');
    expect(result.actuations[0]?.inrush?.low_peak_a).toBeUndefined();
  });
});

/** What a first-order sensor of this time constant reads of a motor's switch-on and switch-off; exact between samples. */
function through(followS: number, motor: SwitchOn, rateHz: number, sourceOhm: number | null): Trace {
  const curve = switchOnCurve(motor);
  const steps = 20;
  const stepS = 1 / rateHz / steps;
  let seenA = 0;
  const wobble = noise(0.005 * motor.runA);
  const wobbleV = noise(0.01, 5);
  const amps = (atS: number): number => (atS >= 0.5 && atS < 2.5 ? curve(atS - 0.5) : 0);
  return draw(
    rateHz,
    3.5,
    (atS) => {
      for (let s = 0; s < steps; s++) seenA += (amps(atS + (s - steps) * stepS) - seenA) * (followS > 0 ? 1 - Math.exp(-stepS / followS) : 1);
      return seenA + wobble();
    },
    sourceOhm === null ? undefined : (atS) => 12.6 - sourceOhm * amps(atS) + wobbleV(),
  );
}

describe('a clamp too slow for the switch-on', () => {
  const motor: SwitchOn = { standstillA: 20, runA: 4, electricalS: 0.001, mechanicalS: 0.05 };
  const trueA = switchOnPeak(motor)?.peakA as number;

  it.each([20, 40, 80])('of %i Hz gives bounds that hold the peak that flowed, and says that it was rounded off', (bandwidthHz) => {
    const result = analyseActuation(through(1 / (2 * Math.PI * bandwidthHz), motor, 2000, null), {});
    const inrush = result.actuations[0]?.inrush;
    expect(inrush?.peak_a).toBeLessThan(0.95 * trueA);
    expect(inrush?.low_peak_a).toBeLessThanOrEqual(trueA);
    expect(inrush?.high_peak_a as number).toBeGreaterThanOrEqual(trueA * 0.99);
    expect(inrush?.high_peak_a as number).toBeLessThan(1.35 * trueA);
    expect(textOf(result, 'slow-sensor')).toMatch(/rounded off and is between/);
    expect(inrush?.fit?.tau_electrical_s ?? null).toBeNull();
  });

  it('says so by its typed-in bandwidth as well', () => {
    const result = analyseActuation(through(1 / (2 * Math.PI * 40), motor, 2000, null), { sensorBandwidthHz: 40 });
    expect(textOf(result, 'slow-sensor')).toMatch(/A sensor of 40 Hz takes 4 ms/);
  });

  it('leaves a fast one alone', () => {
    const result = analyseActuation(through(1 / (2 * Math.PI * 20_000), motor, 2000, null), {});
    expect(result.problems.map(({ code }) => code)).not.toContain('slow-sensor');
    expect(result.actuations[0]?.inrush?.low_peak_a).toBeUndefined();
    expect(Math.abs((result.actuations[0]?.inrush?.peak_a as number) / trueA - 1)).toBeLessThan(0.02);
  });

  // without slowing the voltage down too, a clamp of 20 Hz makes 0.0835 of 0.1 ohm
  it.each([[20, 0.1], [20, 0.4], [40, 0.1], [80, 0.2]])('of %i Hz does not change the resistance of the feed: %d ohm within 5 %%', (bandwidthHz, sourceOhm) => {
    const supply = analyseActuation(through(1 / (2 * Math.PI * bandwidthHz), motor, 2000, sourceOhm), {}).actuations[0]?.supply;
    expect(Math.abs((supply?.source_ohm as number) / sourceOhm - 1)).toBeLessThan(0.05);
  });
});
