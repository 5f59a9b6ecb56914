import { describe, expect, it } from 'vitest';
import { dashedAcross, isDense } from '../../../src/core/picture/dashes.ts';

/** A run through these places across, up and down. */
const runAt = (...xs: number[]): Float64Array => Float64Array.from(xs.flatMap((x, i) => [x, i % 2]));
const placesOf = (runs: readonly Float64Array[]): number[][] => runs.map((run) => [...run].filter((_, i) => i % 2 === 0));

describe('a dashed run', () => {
  it('is dense with more points than px, wherever it begins', () => {
    // 100 to 110 are eleven px
    const px = Array.from({ length: 11 }, (_, i) => 100 + i);
    expect([isDense(runAt(...px)), isDense(runAt(...px, 110)), isDense(runAt(5))]).toEqual([false, true, false]);
  });

  it('that is dense is drawn by its place across: 7 px of every 11, up to its last point', () => {
    expect(placesOf(dashedAcross(runAt(5, 6, 6.9, 7, 8, 11, 12, 13), [7, 4]))).toEqual([[5, 6, 6.9], [11, 12, 13]]);
    expect(placesOf(dashedAcross(runAt(8, 9, 10.9, 11, 17.9, 18, 19), [7, 4]))).toEqual([[11, 17.9]]);
    expect(dashedAcross(runAt(7, 10), [7, 4])).toEqual([]);
  });
});
