import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { wholeWindow } from '../../core/tracefile/whole-window.ts';
import type { SampleBlock } from '../../../src/core/trace.ts';
import { SampleRing } from '../../../src/daemon/live/ring.ts';
import { liveWindow } from '../../../src/daemon/live/window.ts';

const RATE_HZ = 50_000;

function blockFrom(first: number, count: number): SampleBlock {
  const timeS = Float64Array.from({ length: count }, (_, i) => (first + i) / RATE_HZ);
  return { timeS, currentA: Float32Array.from(timeS, (_, i) => ((first + i) * 7919) % 1009), voltageV: Float32Array.from(timeS, (_, i) => 12 + (((first + i) * 31) % 17) / 100) };
}

function filled(lengths: readonly number[]): SampleRing {
  const ring = new SampleRing();
  let first = 0;
  for (const length of lengths) {
    ring.push(blockFrom(first, length));
    first += length;
  }
  return ring;
}

const nothingRecorded = { gaps: [], recordedFromS: null, recordedWindow: async () => null };

describe('a window of the live view', () => {
  it('is what the same samples give in one go, however they came', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(fc.integer({ min: 1, max: 60_000 }), { minLength: 1, maxLength: 8 }), fc.double({ min: 0, max: 0.9, noNaN: true }), fc.double({ min: 0.05, max: 1.2, noNaN: true }), fc.integer({ min: 1, max: 400 }), async (lengths, from, span, columns) => {
        const ring = filled(lengths);
        const lengthS = lengths.reduce((sum, length) => sum + length, 0) / RATE_HZ;
        const [fromS, toS] = [from * lengthS, (from + span) * lengthS];
        const { sequence: _sequence, startS: _startS, endS: _endS, ...window } = await liveWindow({ ring, ...nothingRecorded }, fromS, toS, columns);
        expect(window).toEqual(wholeWindow(ring.blocks(fromS, toS), [], fromS, toS, columns));
      }),
      { numRuns: 40 },
    );
  });

  it('lets the reader of the logger have its turns, and what comes meanwhile changes nothing of it', async () => {
    const ring = filled(Array.from({ length: 20 }, () => 50_000));
    const toS = 20;
    const expected = wholeWindow(ring.blocks(0, toS), [], 0, toS, 100);
    let turns = 0;
    let done = false;
    const count = (): void => {
      turns++;
      ring.push(blockFrom(1_000_000 + turns * 100, 100));
      if (!done) setImmediate(count);
    };
    setImmediate(count);
    const { currentA, timeS } = await liveWindow({ ring, ...nothingRecorded }, 0, toS, 100);
    done = true;
    expect(turns).toBeGreaterThan(3);
    expect({ currentA, timeS }).toEqual({ currentA: expected.currentA, timeS: expected.timeS });
  });
});
