import { describe, expect, it } from 'vitest';
import { notchTrain } from '../../../../../src/core/analysis/motor/commutator/notches.ts';
import { noise } from '../traces.ts';
import { pressOf, readBy, sampledAt } from '../ripple/columns.ts';

const RATE_HZ = 5000;

interface Notched {
  readonly turnHz?: number;
  readonly depthA?: number;
  /** of a turn */
  readonly width?: number;
  readonly seconds?: number;
  readonly sign?: 1 | -1;
  readonly scale?: number;
}

/** A run at 4 A with a notch once a turn. */
function found({ turnHz = 40, depthA = 2, width = 0.1, seconds = 2, sign = 1, scale = 1 }: Notched) {
  const hiss = noise(0.02, 5);
  const values = Float32Array.from({ length: seconds * RATE_HZ }, (_value, i) => scale * sign * (4 - (((turnHz * i) / RATE_HZ) % 1 < width ? depthA : 0) + hiss()));
  const baseline = { ...readBy(values), noiseA: 0.02 * scale };
  return notchTrain(pressOf(0, values.length, sign), { startIndex: 0, endIndex: values.length }, baseline, sampledAt(RATE_HZ, values.length));
}

describe('a lost coil, seen without averaging', () => {
  // 2 of 4 A gone for a tenth of each of 80 turns
  it('gives the turns by its notches, and how deep they are', () => {
    const notch = found({});
    expect(notch?.revolutions_per_s).toBeCloseTo(40, 1);
    expect(notch?.revolutions).toBeGreaterThanOrEqual(77);
    expect(Math.abs((notch?.depth_a ?? 0) - 2)).toBeLessThan(0.1);
    expect(notch?.low_a).toBeLessThanOrEqual(notch?.depth_a ?? 0);
    expect(notch?.high_a).toBeGreaterThanOrEqual(notch?.depth_a ?? 0);
    expect(Math.abs((notch?.share ?? 0) - 0.5)).toBeLessThan(0.03);
    expect(notch?.ripples_per_revolution).toBeNull();
  });

  it('does not change with the direction, and goes with the scale of the sensor', () => {
    const plain = found({});
    expect(found({ sign: -1 })?.revolutions_per_s).toBeCloseTo(plain?.revolutions_per_s ?? NaN, 2);
    expect(found({ scale: 10 })?.depth_a).toBeCloseTo(10 * (plain?.depth_a ?? NaN), 3);
  });

  it('is none where the notch is shallower than a quarter of the level', () => {
    expect(found({ depthA: 0.9 })).toBeNull();
    expect(found({ depthA: 1.2 })).not.toBeNull();
  });

  it('is none where the notch is wider than two commutations of six', () => {
    expect(found({ width: 0.35 })).toBeNull();
    expect(found({ width: 0.25 })).not.toBeNull();
  });

  it('is none at a rate at which no motor turns, nor in fewer than twenty turns', () => {
    expect(found({ turnHz: 130 })).toBeNull();
    expect(found({ turnHz: 6 })).toBeNull();
    expect(found({ turnHz: 19, seconds: 1 })).toBeNull();
  });
});
