import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { SampleBlock } from '../../../src/core/trace.ts';
import { traceWindow } from '../../core/trace-window.ts';
import { reduceToColumns } from '../../../src/daemon/live/reduce.ts';
import { SampleRing } from '../../../src/daemon/live/ring.ts';

function ramp(startS: number, count: number, rateHz: number, withVoltage = false): SampleBlock {
  return {
    timeS: Float64Array.from({ length: count }, (_, i) => startS + i / rateHz),
    currentA: Float32Array.from({ length: count }, (_, i) => Math.sin(startS * 7 + i) * 10),
    voltageV: withVoltage ? Float32Array.from({ length: count }, (_, i) => 12 + Math.cos(i)) : null,
  };
}

describe('the ring of the last samples', () => {
  it('gives back any window exactly as a plain list of everything would, however the samples were split', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 700 }), { minLength: 1, maxLength: 12 }), fc.double({ min: -1, max: 9, noNaN: true }), fc.double({ min: -1, max: 9, noNaN: true }), fc.boolean(), (sizes, a, b, withVoltage) => {
        const ring = new SampleRing();
        const total = sizes.reduce((sum, size) => sum + size, 0);
        const all = ramp(0, total, 1000, withVoltage);
        let at = 0;
        for (const size of sizes) {
          ring.push({ timeS: all.timeS.subarray(at, at + size), currentA: all.currentA.subarray(at, at + size), voltageV: all.voltageV?.subarray(at, at + size) ?? null });
          at += size;
        }
        const { gaps: _gaps, ...expected } = traceWindow({ ...all, gaps: [] }, Math.min(a, b), Math.max(a, b));
        expect(ring.slice(Math.min(a, b), Math.max(a, b))).toEqual(expected);
        expect(ring.lastS).toBe(all.timeS[total - 1]);
        expect(ring.rawFromS).toBe(0);
      }),
    );
  });

  it('keeps at least ten minutes at 50 kHz in bounded memory, the oldest part reduced but with its peaks', () => {
    const ring = new SampleRing();
    const rateHz = 50_000;
    const seconds = 660;
    const block = ramp(0, rateHz, rateHz);
    for (let second = 0; second < seconds; second++) {
      const currentA = block.currentA.map((value) => value * 0.01);
      // a spike of one sample each minute, which no reduction may lose
      if (second % 60 === 0) currentA[12_345] = 99;
      ring.push({ timeS: block.timeS.map((timeS) => timeS + second), currentA, voltageV: null });
    }
    const held = ring.slice(seconds - 600, seconds);
    expect(held.timeS[0]!).toBeLessThan(seconds - 600 + 0.01);
    expect(held.timeS.length).toBeLessThan(2 * 4 * 1024 * 1024 + 1);
    expect([...held.currentA].filter((value) => value === 99)).toHaveLength(10);
    expect(held.timeS.every((timeS, i) => i === 0 || timeS > held.timeS[i - 1]!)).toBe(true);
    expect(ring.rawFromS!).toBeGreaterThan(seconds - 100);
  });

  it('starts anew when the logger comes back with other channels', () => {
    const ring = new SampleRing();
    ring.push(ramp(0, 100, 1000, false));
    ring.push(ramp(1, 100, 1000, true));
    expect(ring.slice(0, 10).timeS[0]).toBe(1);
    expect(ring.slice(0, 10).voltageV).toHaveLength(100);
  });
});

describe('reducing to columns', () => {
  it('keeps first, last, least and greatest of every column, in order, and nothing that was not measured', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 2000 }), fc.integer({ min: 1, max: 60 }), fc.boolean(), (count, columns, withVoltage) => {
        const block = ramp(0, count, count, withVoltage);
        const reduced = reduceToColumns(block, 0, 1, columns);
        const index = new Map(Array.from(block.timeS, (timeS, i) => [timeS, i]));
        const kept = new Set(Array.from(reduced.timeS, (timeS) => index.get(timeS)));
        expect(kept.has(undefined)).toBe(false);
        for (let column = 0; column < columns; column++) {
          const members = Array.from(block.timeS.keys()).filter((i) => block.timeS[i]! >= column / columns && (column === columns - 1 || block.timeS[i]! < (column + 1) / columns));
          if (members.length === 0) continue;
          for (const values of [block.currentA, ...(block.voltageV === null ? [] : [block.voltageV])]) {
            const within = members.filter((i) => kept.has(i)).map((i) => values[i]!);
            expect(Math.max(...within)).toBe(Math.max(...members.map((i) => values[i]!)));
            expect(Math.min(...within)).toBe(Math.min(...members.map((i) => values[i]!)));
          }
          expect(kept.has(members[0]!) && kept.has(members.at(-1)!)).toBe(true);
        }
        expect(reduced.timeS.length).toBeLessThanOrEqual(columns * (withVoltage ? 6 : 4));
      }),
      { numRuns: 50 },
    );
  });
});

describe('the ring of a slow logger', () => {
  it('keeps an hour as measured and two hours reduced, and does not go on growing for days', () => {
    const ring = new SampleRing();
    const hours = 4;
    // a logger of 1000 samples a second
    for (let second = 0; second < hours * 3600; second += 10) ring.push(ramp(second, 10_000, 1000));
    const endS = hours * 3600;
    expect(endS - ring.rawFromS!).toBeGreaterThan(3500);
    const [oldest] = ring.blocks(0, endS);
    expect(endS - oldest!.timeS[0]!).toBeGreaterThan(7000);
    expect(endS - oldest!.timeS[0]!).toBeLessThan(3 * 3600);
  });
});
