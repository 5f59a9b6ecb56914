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

  it('that begins before what memory holds comes from the recording, where one runs and reaches into it', async () => {
    // memory holds 20 s to 30 s, recorded from 10 s on
    const block = { timeS: Float64Array.from({ length: 11 }, (_, i) => 20 + i), currentA: new Float32Array(11), voltageV: null };
    const ring = { rawFromS: 20, blocks: () => [block] } as unknown as SampleRing;
    const asked: number[][] = [];
    const recorded = { timeS: Float64Array.of(2, 8), currentA: Float32Array.of(1, 2), voltageV: null, reduced: true };
    const windowOf = (fromS: number, toS: number, recordedFromS: number | null = 10, found: typeof recorded | null = recorded) => {
      asked.length = 0;
      return liveWindow({ ring, gaps: [], recordedFromS, recordedWindow: async (...given) => (asked.push(given), found) }, fromS, toS, 100);
    };
    expect(await windowOf(12, 25)).toEqual({ ...recorded, timeS: Float64Array.of(12, 18), sequence: 0, startS: 12, endS: 25 });
    expect(asked).toEqual([[2, 15, 100]]);
    for (const [fromS, toS, from] of [[20, 25, 10], [5, 10, 10], [12, 25, null]] as const) {
      expect((await windowOf(fromS, toS, from)).reduced, `${fromS} to ${toS}`).toBe(fromS < 20);
      expect(asked).toEqual([]);
    }
    // a recording that cannot be read leaves what memory has, and says that it is not all
    expect(await windowOf(12, 25, 10, null)).toMatchObject({ reduced: true, startS: 12, endS: 25 });
    expect(asked).toHaveLength(1);
  });
});
