import { describe, expect, it } from 'vitest';
import type { Samples } from '../../src/core/trace.ts';
import { LiveBuffer } from '../../web/chart/live-buffer.ts';

function block(fromS: number, count: number, rateHz = 1000, withVoltage = true): Samples {
  return {
    timeS: Float64Array.from({ length: count }, (_, i) => fromS + i / rateHz), currentA: Float32Array.from({ length: count }, (_, i) => i),
    voltageV: withVoltage ? new Float32Array(count).fill(12) : null,
  };
}

describe('LiveBuffer', () => {
  it('holds what was pushed, in order', () => {
    const buffer = new LiveBuffer();
    for (let i = 0; i < 100; i++) buffer.push(block(i, 1000));
    expect(buffer.startS).toBe(0);
    expect(buffer.endS).toBeCloseTo(99.999, 9);
    expect(buffer.samples().timeS).toHaveLength(100_000);
  });

  it('drops the oldest when it is full and stays within its bound', () => {
    const buffer = new LiveBuffer();
    for (let i = 0; i < 400; i++) buffer.push(block(i * 10, 10_000));
    const { timeS, currentA } = buffer.samples();
    expect(timeS.length).toBeLessThanOrEqual(2 ** 20);
    expect(timeS.length).toBeGreaterThan(2 ** 19);
    expect(buffer.endS).toBeCloseTo(3999.999, 6);
    expect(currentA[currentA.length - 1]).toBe(9999);
  });

  it('leaves out what it has already, and begins anew when the time of the source does', () => {
    const buffer = new LiveBuffer();
    buffer.push(block(0, 2000));
    buffer.push(block(1, 2000));
    expect(buffer.samples().timeS).toHaveLength(3000);
    buffer.push(block(0, 10));
    expect(buffer.samples().timeS).toHaveLength(10);
  });

  it('begins anew when the voltage channel comes or goes', () => {
    const buffer = new LiveBuffer();
    buffer.push(block(0, 10));
    buffer.push(block(1, 10, 1000, false));
    expect(buffer.samples().voltageV).toBeNull();
    expect(buffer.startS).toBe(1);
  });
});
