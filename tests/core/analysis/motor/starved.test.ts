import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../../../analyse.ts';
import type { ActuationResult } from '../../../../src/core/analysis/results.ts';
import { draw, noise, press } from './traces.ts';

/** A window motor of 20 A stall and 4 A run (within what an owners' wiki gives for window motors) on 12.6 V behind this resistance. */
function behind(sourceOhm: number): ActuationResult {
  const windingOhm = 12.6 / 20;
  const share = windingOhm / (windingOhm + sourceOhm);
  const currentA = (atS: number): number => press(atS, 1, 4, 20 * share, 4 * share) + press(atS, 5, 8, 20 * share, 4 * share);
  const wobbleA = noise(0.02);
  const wobbleV = noise(0.02, 2);
  const trace = draw(1000, 9, (atS) => currentA(atS) + wobbleA(), (atS) => 12.6 - sourceOhm * currentA(atS) + wobbleV());
  return analyseActuation(trace, {});
}

describe('a feed too weak to judge the motor', () => {
  it('is reported by its collapse at switch-on even where the running motor draws too little to show it', () => {
    // 1.5 ohm takes 1.8 V of the run (14 %), but 8.9 V (70 %) of the moment at which the motor does not turn yet
    const result = behind(1.5);
    const supply = result.actuations[0].supply;
    expect(1 - (supply?.run_v ?? 0) / (supply?.open_v ?? 1)).toBeLessThan(0.22);
    expect(result.verdict.finding).toBe('starved');
    expect(result.verdict.because[0]).toContain('1.5 ohm');
  });

  it('is not seen in the usual tenth of an ohm of battery and wire', () => {
    expect(behind(0.1).verdict.finding).toBe('normal');
  });
});

describe('volts that no vehicle has', () => {
  const currentA = (atS: number): number => press(atS, 1, 4, 18, 4) + press(atS, 5, 8, 18, 4);

  it.each([
    ['a lead that came off and picks up hum', (atS: number) => 0.03 + 0.1 * Math.sin(2 * Math.PI * 50 * atS)],
    ['a divider that halves them, at the battery', (atS: number) => (12.6 - 0.05 * currentA(atS)) / 2],
  ])('starve no motor and are no figure of its feed: %s', (_what, voltsV) => {
    const wobbleA = noise(0.02);
    const result = analyseActuation(draw(1000, 9, (atS) => currentA(atS) + wobbleA(), voltsV), {});
    expect(result.verdict.finding).toBe('normal');
    expect(result.trace.voltage_at).toBeNull();
    expect(result.actuations.map(({ supply }) => supply)).toEqual([null, null]);
    expect(result.problems.map(({ code }) => code)).toContain('implausible-voltage');
  });
});

describe('a locked motor behind a slow clamp', () => {
  it('says nothing of the feed: all there is besides one level is a clamp that lags', () => {
    // the voltage sags at once, the clamp (12 ms) comes up after it: a line through that has no slope and would blame a weak battery
    const level = (atS: number): number => (atS < 1 || atS >= 4 ? 0 : 19.4);
    const seenA = (atS: number): number => (atS < 1 ? 0 : atS < 4 ? 19.4 * (1 - Math.exp(-(atS - 1) / 0.012)) : 19.4 * Math.exp(-(atS - 4) / 0.012));
    const wobbleA = noise(0.05);
    const wobbleV = noise(0.02, 3);
    const result = analyseActuation(draw(200, 6, (atS) => seenA(atS) + wobbleA(), (atS) => (level(atS) > 0 ? 12.6 - 0.1 * level(atS) : 0) + wobbleV()), {});
    // one level behind a clamp this slow may as well be a heater's
    expect(result.verdict.finding).toBe('unclear');
    expect(result.actuations[0].supply).toBeNull();
  });
});
