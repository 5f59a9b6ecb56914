import { describe, expect, it } from 'vitest';
import { isBraking, splitAfterBraking } from '../../../../../src/core/analysis/motor/presses/braking.ts';
import type { Pulse, Scanned } from '../../../../../src/core/analysis/motor/presses/pulses.ts';
import { feedVoltage } from '../../../../../src/core/analysis/motor/sensor/feed-voltage.ts';
import { sampledAt } from '../ripple/columns.ts';

const RATE_HZ = 1000;
const COUNT = 1500;
const pulse = (startIndex: number, endIndex: number, sign: 1 | -1, tailIndex = endIndex): Pulse => ({ startIndex, endIndex, sign, tailIndex });

/** A press of 5 A up to reading 500, and what comes after it. */
function scanned(after: (i: number) => number, some: Partial<Scanned> = {}): Scanned {
  const timeS = Float64Array.from({ length: COUNT }, (_value, i) => i / RATE_HZ);
  return { timeS, deviationA: Float32Array.from({ length: COUNT }, (_value, i) => (i < 100 ? 0 : i < 500 ? 5 : after(i))), sampling: sampledAt(RATE_HZ, COUNT), thresholdA: 0.05, feed: null, isFrozen: () => false, ...some };
}
const press = pulse(100, 500, 1);
/** Braking that dies away with this time constant, from -4 A. */
const braked = (tauMs: number) => (i: number): number => -4 * Math.exp(-(i - 500) / tauMs);

describe('a current of the other sign after a press', () => {
  it('is braking where it dies away, and a reversal where it holds its level', () => {
    for (const tauMs of [20, 60, 150]) expect(isBraking(pulse(500, 500 + 4 * tauMs, -1), press, scanned(braked(tauMs)))).toBe(true);
    expect(isBraking(pulse(500, 1000, -1), press, scanned((i) => (i < 1000 ? -3 : 0)))).toBe(false);
    expect(isBraking(pulse(500, 1000, -1), press, scanned((i) => (i < 1000 ? -3 - 9 * Math.exp(-(i - 500) / 40) : 0)))).toBe(false);
  });

  it('is none of the same sign, none that comes more than 50 ms later, and none that the recording cuts', () => {
    expect(isBraking(pulse(500, 700, 1), press, scanned((i) => -braked(50)(i)))).toBe(false);
    const later = (gapMs: number): boolean => isBraking(pulse(500 + gapMs, 700 + gapMs, -1), press, scanned((i) => (i < 500 + gapMs ? 0 : braked(50)(i - gapMs))));
    expect([later(49), later(51)]).toEqual([true, false]);
    expect(isBraking(pulse(500, COUNT, -1, COUNT), press, scanned(braked(300)))).toBe(false);
    // counted from where the tail of a slow clamp ends
    expect(isBraking(pulse(560, 760, -1), pulse(100, 500, 1, 520), scanned((i) => (i < 560 ? 0 : braked(50)(i - 60))))).toBe(true);
  });

  it('is braking within what no hand takes to reverse and let go again, 50 ms, whatever its shape', () => {
    const brief = (lastsMs: number): boolean => isBraking(pulse(500, 500 + lastsMs, -1), press, scanned((i) => (i < 500 + lastsMs ? -3 : 0)));
    expect([brief(3), brief(49), brief(50)]).toEqual([true, true, false]);
  });

  it('is told by the volts at the motor where there are some: less than two fifths are left of them', () => {
    const by = (levelV: number): boolean => isBraking(pulse(500, 1000, -1), press, scanned((i) => (i < 1000 ? -3 : 0), { feed: feedVoltage(new Float32Array(COUNT).fill(levelV), 12) }));
    expect([by(4.7), by(4.9), by(-12)]).toEqual([true, false, false]);
    // two fifths of 10 V are no less than that
    expect(isBraking(pulse(500, 1000, -1), press, scanned((i) => (i < 1000 ? -3 : 0), { feed: feedVoltage(new Float32Array(COUNT).fill(4), 10) }))).toBe(false);
  });

  it('is a short press back where it is cut off at a level', () => {
    // 150 ms of a reversal: it holds its last tenth as well as its middle
    expect(isBraking(pulse(500, 650, -1), press, scanned((i) => (i < 650 ? -3 : 0)))).toBe(false);
    expect(isBraking(pulse(500, 650, -1), press, scanned((i) => (i < 650 ? -4 * Math.exp(-(i - 500) / 35) : 0)))).toBe(true);
  });
});

describe('a switch that goes straight across its braking middle', () => {
  /** Braking from -4 A with 40 ms, and at reading 560 the press back: a rush to -9 A and down to -3 A. */
  const across = (i: number): number => (i < 560 ? braked(40)(i) : -3 - 6 * Math.exp(-(i - 560) / 30));
  const back = pulse(500, 1400, -1);

  it('begins its press where the current, falling until then, jumps up again', () => {
    const parts = splitAfterBraking(back, press, scanned(across));
    expect(parts).toHaveLength(2);
    expect(Math.abs(parts[1]!.startIndex - 560)).toBeLessThanOrEqual(4);
    expect(parts).toEqual([{ ...back, endIndex: parts[1]!.startIndex, tailIndex: parts[1]!.startIndex }, { ...back, startIndex: parts[1]!.startIndex }]);
    // the other way round
    const turned = scanned(across);
    turned.deviationA.forEach((value, i) => (turned.deviationA[i] = -value));
    expect(splitAfterBraking({ ...back, sign: 1 }, { ...press, sign: -1 }, turned).map(({ startIndex }) => startIndex)).toEqual(parts.map(({ startIndex }) => startIndex));
  });

  it('stays one pulse without a press of the other sign right before it, or without a jump', () => {
    const parts = (before: Pulse | undefined, after = across): number => splitAfterBraking(back, before, scanned(after)).length;
    expect([parts(undefined), parts({ ...press, sign: -1 }), parts(pulse(100, 440, 1)), parts(press, braked(40)), parts(press, () => -3)]).toEqual([1, 1, 1, 1, 1]);
    // a jump of less than 35 hundredths of the braking's top, 1.4 A
    const rises = (byA: number): number => parts(press, (i) => (i < 560 ? braked(40)(i) : braked(40)(560) - byA));
    expect([rises(1.3), rises(1.5)]).toEqual([1, 2]);
  });

  it('is none that comes later than a hand takes to change over, 0.25 s', () => {
    const jump = (atMs: number): number => splitAfterBraking(back, press, scanned((i) => (i < 500 + atMs ? braked(200)(i) : -5))).length;
    expect([jump(200), jump(300)]).toEqual([2, 1]);
  });
});
