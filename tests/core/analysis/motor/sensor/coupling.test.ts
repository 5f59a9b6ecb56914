import { describe, expect, it } from 'vitest';
import { findAcCoupling } from '../../../../../src/core/analysis/motor/sensor/ac-coupling.ts';
import { sampledAt } from '../ripple/columns.ts';
import { noise } from '../traces.ts';

const RATE_HZ = 1000;

/** Ten seconds of a wire that carries 10 A from 1 to 3 s and from 5 to 6 s, as something shows it. */
function shown(currentA: (atS: number) => number): Float32Array {
  const n = noise(0.01);
  return Float32Array.from({ length: 10 * RATE_HZ }, (_value, i) => currentA(i / RATE_HZ) + n());
}

const find = (currentA: Float32Array) => findAcCoupling(currentA, sampledAt(RATE_HZ, currentA.length));

/** What a first-order high-pass leaves of steps: each dies away as e^(-t/tau) from its own moment. */
const highPassed = (tauS: number) => (atS: number): number => {
  const step = (fromS: number, sizeA: number): number => (atS < fromS ? 0 : sizeA * Math.exp(-(atS - fromS) / tauS));
  return step(1, 10) + step(3, -10) + step(5, 10) + step(6, -10);
};

describe('a clamp that lets no direct current through', () => {
  it.each([0.3, 1, 3])('is found by its time constant, here %s s, and what it lost is put back', (tauS) => {
    const coupling = find(shown(highPassed(tauS)));
    expect(Math.abs((coupling?.timeConstantS ?? 0) / tauS - 1)).toBeLessThan(0.06);
    const at = (atS: number): number => coupling?.currentA[Math.round(atS * RATE_HZ)] ?? NaN;
    for (const atS of [1.2, 2.8, 5.5]) expect(Math.abs(at(atS) - 10)).toBeLessThan(1);
    for (const atS of [0.5, 4, 8]) expect(Math.abs(at(atS))).toBeLessThan(1);
  });

  it('is none where the level holds, nor where the motor is braked after it', () => {
    const isOn = (t: number): boolean => (t >= 1 && t < 3) || (t >= 5 && t < 6);
    expect(find(shown((t) => (isOn(t) ? 10 : 0)))).toBeNull();
    const braked = (t: number, fromS: number): number => (t < fromS ? 0 : -8 * Math.exp(-(t - fromS) / 0.08));
    expect(find(shown((t) => (isOn(t) ? 10 : t < 5 ? braked(t, 3) : braked(t, 6))))).toBeNull();
  });

  it('is none in less than half a second', () => {
    expect(find(shown(highPassed(0.3)).subarray(800, 1290))).toBeNull();
  });
});
