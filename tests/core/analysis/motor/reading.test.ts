import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../../../analyse.ts';
import { settle } from '../../../../src/core/analysis/motor/motion/settling.ts';
import type { Envelope } from '../../../../src/core/analysis/motor/signal/envelope.ts';
import { SpectrumMaker } from '../../../../src/core/analysis/motor/signal/spectrum.ts';
import { stepUncertainty } from '../../../../src/core/analysis/motor/sensor/converter-step.ts';
import { draw, noise, press } from './traces.ts';

function shapeFrom(levelAt: (atS: number) => number, lengthS: number): Envelope {
  const stepS = 0.005;
  const cells = Math.round(lengthS / stepS);
  return { step: 5, stepS, cells, startIndex: 0, levelA: Float64Array.from({ length: cells }, (_value, k) => levelAt(k * stepS)), rippleVarianceA2: new Float64Array(cells) };
}

describe('where a switch-on is over', () => {
  // an exponential is down to 0.8 % after ln(125) = 4.8 time constants
  it.each([0.02, 0.06, 0.2])('is after 3 to 6 time constants of %d s', (tauS) => {
    const { cell } = settle(shapeFrom((t) => 4 + 16 * Math.exp(-t / tauS), 4), 0, 0, 800, 0);
    expect(cell * 0.005).toBeGreaterThan(3 * tauS);
    expect(cell * 0.005).toBeLessThan(6 * tauS + 0.04);
  });

  it('does not move with a load that waves by a third afterwards, as of a crank', () => {
    const { cell } = settle(shapeFrom((t) => 4 + 1.4 * Math.cos(2 * Math.PI * t * 0.7 + 1) + 16 * Math.exp(-t / 0.06), 4), 0, 0, 800, 0);
    expect(cell * 0.005).toBeGreaterThan(0.12);
    expect(cell * 0.005).toBeLessThan(0.55);
  });

  it('does not move with a stall that follows', () => {
    const { cell } = settle(shapeFrom((t) => (t < 0.6 ? 4 + 12 * Math.exp(-t / 0.06) : 18), 3), 0, 0, 600, 0);
    expect(cell * 0.005).toBeLessThan(0.4);
  });
});

describe('two spectra in one transform', () => {
  it('are the same as one at a time, and hold a sine\'s power where it belongs', () => {
    const maker = new SpectrumMaker(256);
    const n = noise(0.2, 5);
    const values = Float64Array.from({ length: 700 }, (_value, i) => Math.cos((2 * Math.PI * 20 * i) / 256) + (i > 300 ? Math.cos((2 * Math.PI * 55 * i) / 256) : 0) + n());
    const [alone, alsoAlone, first, second] = [0, 1, 2, 3].map(() => new Float64Array(129));
    maker.addPower(values, 10, alone);
    maker.addPower(values, 400, alsoAlone);
    maker.addPowers(values, 10, 400, first, second);
    for (let k = 0; k <= 128; k++) {
      expect(first[k]).toBeCloseTo(alone[k], 6);
      expect(second[k]).toBeCloseTo(alsoAlone[k], 6);
    }
    expect(Math.sqrt(first[20])).toBeCloseTo(64, -1);
    expect(second[55]).toBeGreaterThan(100 * first[55]);
  });
});

describe('what the steps of a converter leave open', () => {
  it('is at most half a step without noise, and nothing once the readings scatter by a whole one (Widrow 1996; here by brute force)', () => {
    for (const sigma of [0, 0.3, 0.5, 1]) {
      let worst = 0;
      for (let offset = -0.5; offset <= 0.5; offset += 0.05) {
        const n = noise(sigma, 9);
        let sum = 0;
        for (let i = 0; i < 20_000; i++) sum += Math.round(offset + n());
        worst = Math.max(worst, Math.abs(sum / 20_000 - offset));
      }
      expect(worst).toBeLessThan(stepUncertainty(1, Math.hypot(sigma, 1 / Math.sqrt(12))) * 1.2 + 0.025);
    }
    expect(stepUncertainty(1, 1)).toBeLessThan(1e-3);
  });
});

describe('typical mistakes with mechanisms', () => {
  const rateHz = 5000;
  const quiet = (): (() => number) => noise(0.02, 2);

  it('does not take the play of a gear, run through at the start, for a lost contact', () => {
    const n = quiet();
    const trace = draw(rateHz, 4, (t) => (t < 1 || t >= 3 ? 0 : t < 1.07 ? 1.2 + 14 * Math.exp(-(t - 1) / 0.012) : 5 - 3.8 * Math.exp(-(t - 1.07) / 0.012)) + n());
    const { actuations } = analyseActuation(trace, {});
    expect(actuations.map(({ finding, dropouts }) => [finding, dropouts.length])).toEqual([['normal', 0]]);
  });

  it('does not take the current of a mechanism that springs back into its shorted motor for a run', () => {
    const n = quiet();
    const trace = draw(rateHz, 4, (t) => (t < 1 ? 0 : t < 2 ? 12 * (1 - Math.exp(-(t - 1) / 0.001)) : t < 2.08 ? 12 * Math.exp(-(t - 2) / 0.0004) + 1.8 * Math.sin((Math.PI * (t - 2)) / 0.08) : 0) + n());
    const [only] = analyseActuation(trace, {}).actuations;
    expect(only.finding).toBe('locked');
    expect(Math.abs(only.end_s - 2)).toBeLessThan(0.01);
  });

  it('does not take the run of a 0.34 A motor between its start and its stop for a clamp that has wandered', () => {
    const n = noise(0.003, 4);
    const trace = draw(500, 11, (t) => 0.01 + (t < 2 || t >= 9 ? 0 : t < 7 ? 0.34 + 1.9 * Math.exp(-(t - 2) / 0.02) : 2.5) + n());
    const { actuations } = analyseActuation(trace, {});
    expect(actuations.map(({ finding }) => finding)).toEqual(['stalled']);
    expect(actuations[0].run?.median_a).toBeCloseTo(0.34, 2);
  });

  it('does not call a stalled motor running again when its cut-out lets a little through', () => {
    const n = quiet();
    const trace = draw(rateHz, 12, (t) => (t < 1 || t >= 11 ? 0 : t < 2.5 ? press(t, 1, 11, 15, 4) : t < 6 ? 16 : 0.7 + 15 * Math.exp(-(t - 6) / 0.2)) + n());
    const [only] = analyseActuation(trace, {}).actuations;
    expect(only.finding).toBe('stalled');
    expect(only.run?.median_a).toBeCloseTo(4, 1);
    expect(Math.abs(only.end_s - 11)).toBeLessThan(0.02);
  });

  it('does not call a motor that only presses into its stop, after little play, one that ran', () => {
    const n = quiet();
    const trace = draw(rateHz, 3, (t) => (t < 1 || t >= 2 ? 0 : 20 * (1 - 0.18 * Math.exp(-(((t - 1.04) / 0.025) ** 2)))) + n());
    expect(analyseActuation(trace, {}).actuations.map(({ finding, stalls }) => [finding, stalls[0]?.at])).toEqual([['locked', 'start']]);
  });
});

describe('the 95 % bounds of a run', () => {
  it('hold the level in at least 94 of 100 traces with ripple, slow waves, coarse steps and a wandering zero', () => {
    let held = 0;
    const step = 30 / 1024;
    for (let seed = 1; seed <= 100; seed++) {
      const n = noise(0.02, seed);
      const phase = seed * 1.7;
      const trueA = 3 + (seed % 7) * 0.011;
      const trace = draw(1000, 5, (t) => {
        const amps = press(t, 1, 4, 4 * trueA, trueA, 0.03);
        const waves = 1 + 0.03 * Math.sin(2 * Math.PI * 1.3 * t + phase) + 0.02 * Math.sin(2 * Math.PI * 210 * t);
        return Math.round((amps * waves + 0.004 * t * Math.cos(phase) + n()) / step) * step;
      });
      const run = analyseActuation(trace, {}).actuations[0]?.run;
      if (run !== null && run !== undefined && run.low_a <= trueA && run.high_a >= trueA) held++;
    }
    expect(held).toBeGreaterThanOrEqual(94);
  });
});
