import { describe, expect, it } from 'vitest';
import { language } from '../../../src/core/present/language.ts';
import { sawDeadLead, takeZero, type ZeroConditions } from '../../../src/daemon/live/zero.ts';
import type { SampleBlock } from '../../../src/core/trace.ts';

const AT = new Date('2026-03-02T10:00:00Z');
const CLAMP: ZeroConditions = { fullScaleA: 30, statedErrorA: null, leadWasDead: false };

function block(valueA: (timeS: number) => number, volts: number | null = 12.5): SampleBlock {
  const timeS = Float64Array.from({ length: 2000 }, (_, i) => i / 1000);
  return { timeS, currentA: Float32Array.from(timeS, valueA), voltageV: volts === null ? null : new Float32Array(timeS.length).fill(volts) };
}
const noise = (timeS: number): number => (Math.round(timeS * 1000) % 2 === 0 ? 0.02 : -0.02);

describe('setting zero', () => {
  it('takes the mean of a clamp at rest', () => {
    const zero = takeZero(block((timeS) => 0.12 + noise(timeS)), null, CLAMP, AT);
    expect(zero).toMatchObject({ zeroA: expect.closeTo(0.12, 4), readings: 2000 });
  });

  // a running motor: 2.37 A was taken as zero, ticked
  it('refuses the current of a running motor', () => {
    const running = block((timeS) => 2.37 + 0.15 * Math.sin(2 * Math.PI * 180 * timeS));
    expect(takeZero(running, null, CLAMP, AT)).toContain('Zero not set: the reading is 2.37 A');
    expect(takeZero(running, null, { ...CLAMP, fullScaleA: null }, AT)).toContain('Zero not set');
  });

  it('refuses a reading that moves, however small its mean', () => {
    expect(takeZero(block((timeS) => 0.2 * timeS - 0.2 + noise(timeS)), null, CLAMP, AT)).toContain('the reading moves');
    expect(takeZero(block((timeS) => (timeS > 1.2 ? 0.3 : 0) + noise(timeS)), null, CLAMP, AT)).toContain('the reading moves');
    expect(takeZero(block((timeS) => (timeS > 0.5 && timeS < 0.52 ? 4 : 0)), null, CLAMP, AT)).toContain('the reading moves');
  });

  it('refuses while volts are at the motor, however small the reading', () => {
    const small = block((timeS) => 0.1 + noise(timeS), 12.4);
    expect(takeZero(small, null, { ...CLAMP, leadWasDead: true }, AT)).toContain('12.4 V at the motor');
    expect(takeZero(block((timeS) => 0.1 + noise(timeS), 0.02), null, { ...CLAMP, leadWasDead: true }, AT)).toMatchObject({ readings: 2000 });
    expect(sawDeadLead([block(noise, 12.4)])).toBe(false);
    expect(sawDeadLead([block(noise, 12.4), block(noise, 0.02)])).toBe(true);
    expect(sawDeadLead([block(noise, null)])).toBe(false);
  });

  it('goes by the zero error of the data sheet where it was typed in', () => {
    expect(takeZero(block((timeS) => 0.3 + noise(timeS)), null, { ...CLAMP, statedErrorA: 0.05 }, AT)).toContain('at most 50.0 mA');
    expect(takeZero(block((timeS) => 1.4 + noise(timeS)), null, { ...CLAMP, statedErrorA: 2 }, AT)).toMatchObject({ zeroA: expect.closeTo(1.4, 3) });
  });

  it('does not let several steps add up to what one step may not take', () => {
    const first = takeZero(block((timeS) => 0.5 + noise(timeS)), null, CLAMP, AT);
    expect(first).toBeTypeOf('object');
    expect(takeZero(block((timeS) => 0.5 + noise(timeS)), first as Exclude<typeof first, string>, CLAMP, AT)).toContain('Zero not set');
  });

  it('needs ten readings, says their noise and how far zero moved since', () => {
    const few = (count: number) => ({ timeS: Float64Array.from({ length: count }, (_, i) => i), currentA: Float32Array.from({ length: count }, (_, i) => (i % 2 === 0 ? 0.03 : -0.01)), voltageV: null });
    expect(takeZero(few(9), null, CLAMP, AT)).toBeTypeOf('string');
    // 0.02 off the mean each: 0.02 x sqrt(10 / 9)
    expect(takeZero(few(10), null, CLAMP, AT)).toMatchObject({ zeroA: expect.closeTo(0.01, 7), noiseA: expect.closeTo(0.02 * Math.sqrt(10 / 9), 7), readings: 10, takenAt: '2026-03-02T10:00:00.000Z' });
    const before = { zeroA: 0.2, noiseA: 0, readings: 10, takenAt: '2026-03-02T09:30:00.000Z', text: '' };
    const moved = takeZero(few(10), before, CLAMP, AT);
    expect(moved).toMatchObject({ zeroA: expect.closeTo(0.21, 7), text: expect.stringMatching(/10\.0 mA.*09:30/) });
  });

  it('takes 2 % of full scale, or 0.6 A where no range is known, and no more', () => {
    for (const fullScaleA of [30, null]) {
      expect(takeZero(block((timeS) => 0.595 + noise(timeS)), null, { ...CLAMP, fullScaleA }, AT)).toMatchObject({ zeroA: expect.closeTo(0.595, 4) });
      expect(takeZero(block((timeS) => 0.605 + noise(timeS)), null, { ...CLAMP, fullScaleA }, AT)).toBeTypeOf('string');
      expect(takeZero(block((timeS) => -0.605 + noise(timeS)), null, { ...CLAMP, fullScaleA }, AT)).toBeTypeOf('string');
    }
  });

  it('leaves readings without volts out of the volts at the lead', () => {
    const some = block((timeS) => 0.1 + noise(timeS), 12);
    some.voltageV!.fill(Number.NaN, 0, 1000);
    expect(takeZero(some, null, { ...CLAMP, leadWasDead: true }, AT)).toBe(language.pages.zero.volts(12));
    some.voltageV!.fill(Number.NaN);
    expect(takeZero(some, null, { ...CLAMP, leadWasDead: true }, AT)).toMatchObject({ readings: 2000 });
    expect(takeZero(block((timeS) => 0.1 + noise(timeS), 12), null, CLAMP, AT)).toMatchObject({ readings: 2000 });
  });
});
