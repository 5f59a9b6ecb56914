import { describe, expect, it } from 'vitest';
import { badCommutation } from '../../../../../src/core/analysis/motor/commutator/folding.ts';
import { noise } from '../traces.ts';
import { pressOf, readBy, sampledAt } from '../ripple/columns.ts';

const RATE_HZ = 5000;
const PER_TURN = 10;
const TURN_HZ = 40;

interface Folded {
  /** missing in one commutation of ten, of the level */
  readonly lost?: number;
  readonly sign?: 1 | -1;
  readonly scale?: number;
  readonly seconds?: number;
  /** of the level; a wave once a turn */
  readonly uneven?: number;
  /** readings of the clamp with the motor at rest, A, the farthest of them told; none where nothing was read */
  readonly idleA?: (index: number) => number;
  readonly reachA?: number;
}

/** A run at 4 A with a rectified wave ten times a turn, forty turns a second: 400 Hz. */
function found({ lost = 0.15, sign = 1, scale = 1, seconds = 2, uneven = 0.01, idleA, reachA = 0.03 }: Folded) {
  const hiss = noise(0.01, 9);
  const idle = idleA === undefined ? 0 : RATE_HZ;
  const values = Float32Array.from({ length: idle + seconds * RATE_HZ }, (_value, i) => {
    if (i < idle) return (idleA?.(i) ?? 0) + hiss();
    const place = ((TURN_HZ * i) / RATE_HZ) % 1;
    const ripple = 0.04 * (Math.abs(Math.sin(Math.PI * PER_TURN * place)) - 2 / Math.PI);
    const gone = place < 1 / PER_TURN ? lost : 0;
    return scale * sign * (4 * (1 + ripple - gone + uneven * Math.cos(2 * Math.PI * place + 1)) + hiss());
  });
  const press = pressOf(idle, values.length, sign);
  const ripple = { frequency_hz: TURN_HZ * PER_TURN, low_hz: 399, high_hz: 401, revolutions_per_s: TURN_HZ, count: 800 };
  return badCommutation(press, [{ startIndex: idle, endIndex: values.length }], ripple, PER_TURN, { baseline: { ...readBy(values, Int32Array.of(0, idle)), noiseA: 0.01 * scale, reachA }, sampling: sampledAt(RATE_HZ, values.length) });
}

describe('one commutation of ten that is low', () => {
  // 15 % of 4 A are 0.6 A, in each of 80 turns. The notch is fitted with both flanks rounded by L/R of half a ripple, twice, and a height of one: a
  // square one of the same area is higher, by up to a half
  it('is found with its depth and the turns it was seen in', () => {
    const bad = found({});
    expect(bad?.revolutions_per_s).toBeCloseTo(TURN_HZ, 1);
    expect(bad?.ripples_per_revolution).toBe(PER_TURN);
    expect(Math.abs((bad?.revolutions ?? 0) - 80)).toBeLessThanOrEqual(1);
    expect(bad?.depth_a).toBeGreaterThan(0.6);
    expect(bad?.depth_a).toBeLessThan(0.9);
    // of the level that is left: 4 A less a tenth of 0.6 A
    expect(bad?.share).toBeCloseTo((bad?.depth_a ?? NaN) / 3.94, 2);
    expect(bad?.low_a).toBeLessThanOrEqual(bad?.depth_a ?? 0);
    expect(bad?.high_a).toBeGreaterThanOrEqual(bad?.depth_a ?? Infinity);
  });

  it('is the same in the other direction, and goes with the scale of the sensor', () => {
    const plain = found({})?.depth_a ?? NaN;
    expect(found({ sign: -1 })?.depth_a).toBeCloseTo(plain, 3);
    expect(found({ scale: 5 })?.depth_a).toBeCloseTo(5 * plain, 2);
  });

  it('is none on a sound commutator, though its rotor is uneven by three times the ripple', () => {
    expect(found({ lost: 0 })).toBeNull();
    expect(found({ lost: 0, uneven: 0.12 })).toBeNull();
  });

  it('is none where it is shallower than the differences that every commutator has, nor in fewer than twenty turns', () => {
    expect(found({ lost: 0.02 })).toBeNull();
    expect(found({ seconds: 0.45 })).toBeNull();
  });

  // a notch of 0.6 to 0.9 A beside pulses that are on the wire for a fifth of the time, 37 a second
  it('is none where pulses of a clear part of its depth are on the wire while the motor rests', () => {
    const pulses = (sizeA: number) => (i: number): number => (((37 * i) / RATE_HZ) % 1 < 0.2 ? sizeA : 0);
    expect(found({ idleA: pulses(0.6), reachA: 0.6 })).toBeNull();
    expect(found({ idleA: pulses(0.3), reachA: 0.3 })).toBeNull();
    expect(found({ idleA: pulses(0.1), reachA: 0.1 })).not.toBeNull();
  });

  // the 99 % reach of a normal noise of 0.2 A
  it('stays where the clamp at rest is as noisy all along', () => {
    const loud = noise(0.2, 4);
    expect(found({ idleA: loud, reachA: 0.52 })).not.toBeNull();
  });
});
