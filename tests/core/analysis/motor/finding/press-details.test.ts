import { describe, expect, it } from 'vitest';
import { withDetails, type PressContext } from '../../../../../src/core/analysis/motor/finding/press-details.ts';
import type { PressReading } from '../../../../../src/core/analysis/motor/codes.ts';
import { viewPress } from '../../../../../src/core/analysis/motor/motion/press-view.ts';
import type { Motion } from '../../../../../src/core/analysis/motor/types.ts';
import { pressOf, readBy, sampledAt } from '../ripple/columns.ts';
import { noise } from '../traces.ts';
import { press, stall } from './readings.ts';

const RATE_HZ = 1000;

/** A press of three seconds at 4 A, with what the trace as a whole says. */
function details(plain: PressReading, change: Partial<PressContext> = {}, motion: Partial<Motion> = {}, currentA: number | ((atS: number) => number) = 4): PressReading {
  const hiss = noise(0.01, 3);
  const values = Float32Array.from({ length: 3 * RATE_HZ }, (_value, i) => (typeof currentA === 'number' ? currentA : currentA(i / RATE_HZ)) + hiss());
  const baseline = readBy(values);
  const sampling = sampledAt(RATE_HZ, values.length);
  const trace = { timeS: Float64Array.from(values, (_value, i) => 1 + i / RATE_HZ), currentA: values, voltageV: null, gaps: [] };
  const context: PressContext = {
    recordedA: values, trace, baseline, sampling, options: {}, clamp: { followS: 0, atMostS: null, known: false }, place: null, clipA: null,
    wire: { trace, spikes: new Int32Array(0), chopping: null, coupling: null, choppedSizes: null }, ...change,
  };
  return withDetails(plain, viewPress(pressOf(0, values.length), baseline, sampling), { stalls: [], running: [{ startIndex: 0, endIndex: values.length }], inrushEnd: null, turned: true, certain: true, ...motion }, context);
}

describe('what is worked out from the figures of a press', () => {
  // 4 A of a 10 A fuse for three seconds: I²t 16 x 3 = 48 A² s
  it('is the fuse\'s load where a rating was typed in', () => {
    const { fuse } = details(press(), { options: { fuseRatingA: 10 } });
    expect(fuse?.share).toBeCloseTo(0.4, 6);
    expect(Math.abs((fuse?.i2t_a2s ?? 0) - 48)).toBeLessThan(0.2);
    expect(details(press())).not.toHaveProperty('fuse');
  });

  // IEC 60228, class 5: 19.5 ohm/km at 20 °C for 1 mm²; 5 m are 97.5 milliohm of 200
  it('is the wire\'s share where the lead is at the motor, and not at the battery, which sees nothing of the wire', () => {
    const supply = { open_v: 12.6, run_v: 11.8, source_ohm: 0.2, low_ohm: 0.18, high_ohm: 0.22 };
    const wire = { areaMm2: 1, lengthM: 5, temperatureC: 20 };
    expect(details(press({ supply }), { place: 'motor', options: { wire } }).wire?.share).toBeCloseTo(0.0975 / 0.2, 6);
    expect(details(press({ supply }), { place: 'battery', options: { wire } })).not.toHaveProperty('wire');
  });

  // 100 ripples a second for the 2.7 s of the run and half of the 0.3 s beside it: 285, at ten a turn 28.5
  it('is how far it turned, in ripples, and in turns where those of a turn are typed in', () => {
    const ripple = { frequency_hz: 100, low_hz: 99, high_hz: 101, revolutions_per_s: null, count: 270 };
    const { travel } = details(press({ ripple }), { options: { commutationsPerRevolution: 10 } });
    expect(travel?.ripples).toBeCloseTo(285, 6);
    expect(travel?.revolutions).toBeCloseTo(28.5, 6);
    expect(details(press({ ripple })).travel?.revolutions).toBeNull();
    expect(details(press()).travel).toBeNull();
  });
});

describe('a notch that comes twenty times a second', () => {
  // ten ripples a turn, one of them a fifth of the level lower
  const notched = (atS: number): number => 4 + 0.1 * Math.cos(2 * Math.PI * 200 * atS) - ((20 * atS) % 1 < 0.1 ? 0.8 : 0);
  const read = (rippleHz: number): PressReading => details(press({ ripple: { frequency_hz: rippleHz, low_hz: rippleHz - 1, high_hz: rippleHz + 1, revolutions_per_s: null, count: 540 } }), {}, {}, notched);

  it('is a bad segment where the ripple comes a whole number of times in that turn, and another load\'s where it does not', () => {
    expect(read(200).bad_commutation?.revolutions_per_s).toBeCloseTo(20, 1);
    // 10.5 ripples a turn
    expect(read(210)).not.toHaveProperty('bad_commutation');
  });
});

describe('a press at the end of the sensor\'s range', () => {
  const recordedA = new Float32Array(3 * RATE_HZ).fill(20);
  const standing = { stalls: [{ startIndex: 0, endIndex: recordedA.length, approachIndex: 0, levelA: 20, at: 'start' as const }], running: [] };

  it('shows neither a fall nor a ripple: unclear, with its level a bound', () => {
    const hidden = details(press({ run: null, stalls: [stall(1, 4, 20, { at: 'start' })], finding: 'locked' }), { recordedA, clipA: 20 }, standing, 20);
    expect(hidden).toMatchObject({ finding: 'unclear', stalls: [], run: { median_a: 20, at_least: true } });
  });

  it('stays a stall where it ran before', () => {
    const half = Float32Array.from(recordedA, (value, i) => (i < 1500 ? 4 : value));
    const reported = details(press({ stalls: [stall(2.5, 4, 20)], finding: 'stalled' }), { recordedA: half, clipA: 20 }, { stalls: [{ ...standing.stalls[0]!, startIndex: 1500, at: 'travel' }], running: [{ startIndex: 0, endIndex: 1500 }] });
    expect(reported.finding).toBe('stalled');
    expect(reported.stalls[0]?.at_least).toBe(true);
    expect(reported.run?.at_least).toBeUndefined();
  });
});
