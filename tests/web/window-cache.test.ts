import { describe, expect, it } from 'vitest';
import type { Samples } from '../../src/core/trace.ts';
import { joinSlices, WindowCache } from '../../web/chart/window-cache.ts';

function every(stepS: number, fromS: number, toS: number, value = 0): Samples {
  const count = Math.round((toS - fromS) / stepS);
  return { timeS: Float64Array.from({ length: count }, (_, i) => fromS + i * stepS), currentA: new Float32Array(count).fill(value), voltageV: null };
}

describe('WindowCache', () => {
  it('draws at once from a coarse window while the fine one is missing, and from the fine one when it came', () => {
    const cache = new WindowCache();
    cache.add({ fromS: 0, toS: 100, columnS: 1, samples: every(1, 0, 100, 1) });
    expect(cache.compose({ fromS: 40, toS: 50 }).currentA).toEqual(new Float32Array(10).fill(1));
    cache.add({ fromS: 40, toS: 50, columnS: 0.1, samples: every(0.1, 40, 50, 2) });
    expect(cache.compose({ fromS: 40, toS: 50 }).timeS).toHaveLength(100);
  });

  it('fills what the fine window does not cover from the coarse one, in order of time and without doubles', () => {
    const cache = new WindowCache();
    cache.add({ fromS: 0, toS: 100, columnS: 1, samples: every(1, 0, 100, 1) });
    cache.add({ fromS: 40, toS: 50, columnS: 0.1, samples: every(0.1, 40, 50, 2) });
    const { timeS, currentA } = cache.compose({ fromS: 35, toS: 55 });
    expect(timeS).toHaveLength(5 + 100 + 5);
    for (let i = 1; i < timeS.length; i++) expect(timeS[i]).toBeGreaterThan(timeS[i - 1]!);
    expect(currentA[0]).toBe(1);
    expect(currentA[50]).toBe(2);
  });

  it('counts a view as covered only by one window that is fine enough', () => {
    const cache = new WindowCache();
    cache.add({ fromS: 0, toS: 100, columnS: 1, samples: every(1, 0, 100) });
    expect(cache.covers({ fromS: 10, toS: 90 }, 1)).toBe(true);
    expect(cache.covers({ fromS: 10, toS: 90 }, 0.5)).toBe(false);
    expect(cache.covers({ fromS: 10, toS: 101 }, 1)).toBe(false);
    cache.add({ fromS: 20, toS: 30, columnS: 0, samples: every(0.01, 20, 30) });
    expect(cache.covers({ fromS: 21, toS: 22 }, 1e-6)).toBe(true);
  });

  it('keeps the overview however many windows come after it', () => {
    const cache = new WindowCache();
    cache.add({ fromS: 0, toS: 1000, columnS: 10, samples: every(10, 0, 1000, 1) });
    for (let i = 0; i < 200; i++) cache.add({ fromS: i, toS: i + 1, columnS: 0.01, samples: every(0.01, i, i + 1, 2) });
    expect(cache.compose({ fromS: 900, toS: 1000 }).timeS).toHaveLength(10);
    expect(cache.compose({ fromS: 5, toS: 6 }).timeS.length).toBeLessThan(3);
  });

  it('joins runs that overlap without going back in time', () => {
    expect([...joinSlices([every(1, 0, 5), every(1, 3, 8)]).timeS]).toEqual([0, 1, 2, 3, 4, 5, 6, 7]);
  });
});
