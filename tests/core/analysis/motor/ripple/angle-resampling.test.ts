import { describe, expect, it } from 'vitest';
import { evenedViews, viewRipple } from '../../../../../src/core/analysis/motor/ripple/angle-resampling.ts';
import { strongestBin } from '../../../../../src/core/analysis/motor/signal/spectrum.ts';
import { noise } from '../traces.ts';
import { pressOf, readBy, sampledAt } from './columns.ts';

const RATE_HZ = 2000;
const HIGHEST_A = 14;

/** Share of the usual speed at a current by the motor's law: v = R i + k w, standing at 14 A. */
const byLaw = (amps: number): number => 1 - (amps - 4) / (HIGHEST_A - 4);

/** Three seconds at 4 A with a ripple of 300 Hz at that current; the load waves by `waveA`, and the speed with it. */
function readings(waveA: number, rateHz = RATE_HZ, seconds = 3) {
  return turningAt((timeS) => 4 + waveA * Math.sin(2 * Math.PI * timeS), byLaw, rateHz, seconds);
}

function turningAt(ampsAt: (timeS: number) => number, speedAt: (amps: number) => number, rateHz = RATE_HZ, seconds = 3) {
  const hiss = noise(0.01, 7);
  let turned = 0;
  const values = Float32Array.from({ length: Math.round(seconds * rateHz) }, (_value, i) => {
    const amps = ampsAt(i / rateHz);
    turned += (300 * speedAt(amps)) / rateHz;
    return amps + 0.15 * Math.sin(2 * Math.PI * turned) + hiss();
  });
  const press = pressOf(0, values.length);
  const read = { baseline: readBy(values), sampling: sampledAt(rateHz, values.length) };
  return { read, view: viewRipple(press, [{ startIndex: 0, endIndex: values.length }], read, () => null) };
}

describe('a run read again at its usual speed', () => {
  it('has its line where the usual speed puts it, and narrower than as recorded', () => {
    const { read, view } = readings(1.5);
    expect(view).not.toBeNull();
    if (view === null) return;
    const [even] = evenedViews([view], HIGHEST_A, read);
    expect(even?.course).not.toBeNull();
    if (even === undefined) return;
    const { total, binHz, lowestBin } = even.even;
    const best = strongestBin(total, lowestBin, total.length - 2);
    expect(Math.abs(best * binHz - 300)).toBeLessThanOrEqual(binHz);
    // 15 % of speed either way spreads 300 Hz over 90 Hz, some ten bins; straightened all of it lies in the Hann window's three
    const shareIn = (power: Float64Array): number => power.subarray(best - 1, best + 2).reduce((sum, value) => sum + value, 0) / power.subarray(lowestBin).reduce((sum, value) => sum + value, 0);
    expect(shareIn(total)).toBeGreaterThan(0.8);
    expect(shareIn(view.windows.total)).toBeLessThan(0.5);
  });

  it('is left as it was recorded where the current hardly changes', () => {
    const { read, view } = readings(0);
    const [even] = view === null ? [] : evenedViews([view], HIGHEST_A, read);
    expect(even?.course).toBeNull();
    expect(even?.values).toBe(read.baseline.deviationA);
  });

  // by the motor's law 5.5 A go with 15 % less speed: 255 Hz
  it('is left as it was recorded where another load changes the current alone, and straightened where its own changes the speed too', () => {
    const steps = (timeS: number): number => (timeS % 1 < 0.5 ? 4 : 5.5);
    const courseOf = ({ read, view }: ReturnType<typeof turningAt>) => (view === null ? undefined : evenedViews([view], HIGHEST_A, read)[0]?.course);
    expect(courseOf(turningAt(steps, () => 1))).toBeNull();
    expect(courseOf(turningAt(steps, byLaw))).not.toBeNull();
  });

  it('needs 60 readings a second and 32 in a row', () => {
    expect(readings(0, 59, 3).view).toBeNull();
    expect(readings(0, 60, 3).view).not.toBeNull();
    expect(readings(0, 1000, 0.031).view).toBeNull();
    expect(readings(0, 1000, 0.064).view).not.toBeNull();
  });
});
