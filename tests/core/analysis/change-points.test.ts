import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { noisyLevels } from '../../../src/core/analysis/night/levels/noisy-levels.ts';
import { changePoints } from '../../../src/core/analysis/change-points.ts';
import { segmentationCost } from './segmentation-cost.ts';

/** Optimal partitioning without any pruning, O(n^2) (Jackson et al. 2005): the outside truth for the pruned search. */
function bruteForceCost(values: readonly number[], penalty: number): number {
  const best = [-penalty];
  for (let end = 1; end <= values.length; end++) {
    let lowest = Infinity;
    for (let start = 0; start < end; start++) lowest = Math.min(lowest, best[start] + penalty + segmentationCost(values.slice(start, end), [], 0));
    best.push(lowest);
  }
  return best[values.length];
}

const series = fc.array(fc.double({ min: -10, max: 10, noNaN: true }), { minLength: 1, maxLength: 40 });

/** First series of one of the step files of the Turing change point data set (MIT licence beside them). */
function steps(name: string): number[] {
  const url = new URL(`../../reference/data/steps/${name}.json`, import.meta.url);
  return JSON.parse(readFileSync(url, 'utf8')).series[0].raw;
}

/** As the drain test searches: noise and its memory estimated from the series itself. */
function found(values: number[]): readonly number[] {
  return noisyLevels(Float64Array.from(values), 1, [{ startIndex: 0, endIndex: values.length, floorA2: 1e-10 }]).levels.slice(1, -1);
}

describe('change points', () => {
  it('cost exactly as much as the best of all segmentations, on any short series', () => {
    fc.assert(
      fc.property(series, fc.double({ min: 0.01, max: 60, noNaN: true }), (values, penalty) => {
        const cost = segmentationCost(values, changePoints(values, penalty), penalty);
        expect(cost).toBeCloseTo(bruteForceCost(values, penalty), 6);
      }),
      { numRuns: 400 },
    );
  });

  it('are the same for weights of one as without weights', () => {
    fc.assert(
      fc.property(series, (values) => {
        expect(changePoints(values, 3, values.map(() => 1))).toEqual(changePoints(values, 3));
      }),
    );
  });

  it('rise, start after 0 and end before the length', () => {
    fc.assert(
      fc.property(series, (values) => {
        const changes = [0, ...changePoints(values, 1), values.length];
        for (let i = 1; i < changes.length; i++) expect(changes[i]).toBeGreaterThan(changes[i - 1]);
      }),
    );
  });

  it('are where people put them: quality control 1 at 143 to 146, quality control 2 at 97 to 99, quality control 5 none', () => {
    const first = found(steps('quality_control_1'));
    expect(first).toHaveLength(1);
    expect(Math.abs(first[0] - 146)).toBeLessThanOrEqual(5);
    const second = found(steps('quality_control_2'));
    expect(second).toHaveLength(1);
    expect(Math.abs(second[0] - 97)).toBeLessThanOrEqual(5);
    expect(found(steps('quality_control_5'))).toEqual([]);
  });

  it('are none for an empty, a single and a constant series', () => {
    expect(changePoints([], 1)).toEqual([]);
    expect(changePoints([3], 1)).toEqual([]);
    expect(changePoints([2, 2, 2, 2], 1)).toEqual([]);
  });
});
