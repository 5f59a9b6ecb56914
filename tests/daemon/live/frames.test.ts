import { describe, expect, it } from 'vitest';
import { decodeSampleFrame, type SampleFrame } from '../../../src/core/wire/sample-frame.ts';
import type { ToPage } from '../../../src/core/wire/messages.ts';
import { LiveFrames } from '../../../src/daemon/live/frames.ts';
import { blockAt } from '../stand.ts';

type Reading = Extract<ToPage, { type: 'reading' }>;

/** Frames with a clock in the hand of the test. */
function bench(): { live: LiveFrames; frames: SampleFrame[]; readings: Reading[]; clock: { ms: number } } {
  const clock = { ms: 5000 };
  const frames: SampleFrame[] = [];
  const readings: Reading[] = [];
  const live = new LiveFrames({ nowMs: () => clock.ms, date: () => new Date(0) }, (bytes) => frames.push(decodeSampleFrame(bytes.slice().buffer) as SampleFrame), (reading) => readings.push(reading));
  return { live, frames, readings, clock };
}

const values = (startS: number, ...amps: number[]) => blockAt(startS, amps.length, 1000, (timeS) => amps[Math.round((timeS - startS) * 1000)]!);

describe('frames', () => {
  it('go out at once after a pause, and wait for each other within a thirtieth of a second', () => {
    const { live, frames, clock } = bench();
    live.push(blockAt(0, 10));
    expect(frames.map(({ sequence, startS }) => [sequence, startS])).toEqual([[0, 0]]);
    // 1000 / 30 = 33.3 ms
    clock.ms += 33;
    live.push(blockAt(1, 10));
    live.push(blockAt(2, 10));
    expect(frames).toHaveLength(1);
    live.flush();
    expect(frames.slice(1).map(({ sequence, startS, endS, timeS }) => [sequence, startS, endS, timeS.length])).toEqual([[1, 1, 2.009, 20]]);
    clock.ms += 34;
    live.push(blockAt(3, 10));
    expect(frames).toHaveLength(3);
    live.flush();
    expect(frames).toHaveLength(3);
    live.stop();
  });

  it('carry 256 samples as they were measured, and of more the extremes', () => {
    const { live, frames, clock } = bench();
    live.push(blockAt(0, 256));
    clock.ms += 1000;
    live.push(blockAt(1, 257));
    expect(frames.map(({ reduced, timeS }) => [reduced, timeS.length <= 256])).toEqual([[false, true], [true, true]]);
    expect(frames[0]!.timeS).toHaveLength(256);
    clock.ms += 1000;
    live.push(blockAt(2, 5000));
    // of 64 columns at most six of each; the last sample is among them
    expect(frames[2]!.timeS.length).toBeLessThanOrEqual(64 * 6);
    expect(frames[2]!.timeS.at(-1)).toBeCloseTo(6.999, 9);
    live.stop();
  });

  it('are one each where the channels changed, and none of what waited when all is stopped', () => {
    const { live, frames } = bench();
    live.push(blockAt(0, 10));
    live.push(blockAt(1, 10));
    live.push({ ...blockAt(2, 10), voltageV: null });
    live.flush();
    expect(frames.slice(1).map(({ sequence, voltageV }) => [sequence, voltageV === null])).toEqual([[1, false], [2, true]]);
    live.push(blockAt(3, 10));
    live.stop();
    live.flush();
    expect(frames).toHaveLength(3);
  });
});

describe('the figures', () => {
  it('are mean, peak and last moment since the ones before, ten times a second', () => {
    const { live, readings, clock } = bench();
    live.push(values(0, 1, 2, 3));
    expect(readings).toEqual([{ type: 'reading', atS: 0.002, currentA: 2, voltageV: 12.5, peakA: 3, overRange: false }]);
    // a frame half a frame early, 100 - 16.7 ms, still carries one
    clock.ms += 83;
    live.push(values(1, 4, -9, 8));
    expect(readings).toHaveLength(1);
    clock.ms += 1;
    live.flush();
    expect(readings).toHaveLength(1);
    live.push({ ...values(2, 3, 4), voltageV: null });
    live.flush();
    expect(readings).toHaveLength(2);
    expect(readings[1]).toEqual({ type: 'reading', atS: expect.closeTo(2.001, 9) as number, currentA: 2, voltageV: null, peakA: -9, overRange: false });
    live.stop();
  });

  it('say when a reading was at either end of what the sensor measures', () => {
    const { live, readings, clock } = bench();
    const isOver = (...amps: number[]): boolean => {
      clock.ms += 1000;
      live.push(values(clock.ms, ...amps));
      return readings.at(-1)!.overRange;
    };
    expect(isOver(1e6)).toBe(false);
    live.rangeA = [-20, 30];
    expect(isOver(29.5, -19.5)).toBe(false);
    expect(isOver(1, 30, 1)).toBe(true);
    expect(isOver(29.5)).toBe(false);
    expect(isOver(-20)).toBe(true);
    live.rangeA = null;
    expect(isOver(-1e6)).toBe(false);
    live.stop();
  });
});
