import { describe, expect, it } from 'vitest';
import { swayA } from '../../../../../src/core/analysis/night/wake-ups/sways.ts';
import type { FuseEvent, Readings } from '../../../../../src/core/analysis/night/types.ts';
import { drawn, type Drawn } from '../drawn.ts';

/** 100 s of 50 mA, then after each excursion 100 s of it again. */
const about = (...excursions: readonly (readonly Drawn[])[]): Readings => drawn([[0.05, 100], ...excursions.flatMap((one): Drawn[] => [...one, [0.05, 100]])]);
const many = (levelA: number, count: number, lengthS = 10): Drawn[][] => Array.from({ length: count }, () => [[levelA, lengthS]]);
const sways = (readings: Readings, fromS = 0): number | null => {
  const swayedA = swayA(readings, fromS, []);
  return swayedA === null ? null : Math.round(swayedA * 1e6) / 1e6;
};

describe('a reading that sways about the rest', () => {
  it('goes as far as twice its farthest way down', () => {
    expect(sways(about(...many(0.08, 3), ...many(0.03, 2), ...many(0.02, 1)))).toBe(0.06);
    // the same upside down in time
    expect(sways(about(...many(0.02, 1), ...many(0.03, 2), ...many(0.08, 3)))).toBe(0.06);
  });

  it('does so three times in each direction at least, and in neither four times as often', () => {
    const of = (up: number, down: number): number | null => sways(about(...many(0.06, up), ...many(0.04, down)));
    expect([of(2, 3), of(3, 2), of(3, 3), of(0, 3), of(3, 0)]).toEqual([null, null, 0.02, null, null]);
    expect([of(12, 3), of(13, 3), of(3, 12), of(3, 13)]).toEqual([0.02, null, 0.02, null]);
  });

  it('is alike in size: what rises twice as far as it falls, or further, is something else', () => {
    expect([0.089, 0.091].map((levelA) => sways(about(...many(levelA, 3), ...many(0.03, 3))))).toEqual([0.04, null]);
  });

  it('goes for less than a rest', () => {
    expect([29, 30].map((lengthS) => sways(about(...many(0.06, 3, lengthS), ...many(0.04, 3))))).toEqual([0.02, null]);
    // two levels on one side are one way, as long as both and as far as the farther
    const twoLevels = (lengthS: number, first = 0.045, second = 0.04): number | null => sways(about(...many(0.06, 3), ...Array.from({ length: 3 }, (): Drawn[] => [[first, 14], [second, lengthS]])));
    expect([twoLevels(15), twoLevels(16), twoLevels(15, 0.04, 0.045)]).toEqual([0.02, null, 0.02]);
    const pairs = Array.from({ length: 2 }, (): Drawn[] => [[0.045, 10], [0.04, 10]]);
    expect(sways(about(...many(0.06, 4), ...pairs))).toBeNull();
    // half a minute is a rest
    expect([29, 30].map((lengthS) => sways(drawn([...many(0.06, 3), ...many(0.04, 3)].flatMap((one): Drawn[] => [[0.05, lengthS], ...one]))))).toEqual([null, 0.02]);
    // straight from one side to the other are two
    expect(sways(about(...Array.from({ length: 3 }, (): Drawn[] => [[0.06, 10], [0.04, 10]])))).toBe(0.02);
  });

  it('goes further than what is no part of a drain, and than four standard errors', () => {
    expect([0.0029, 0.0031].map((apartA) => sways(about(...many(0.05 + apartA, 3), ...many(0.05 - apartA, 3))))).toEqual([null, 0.0062]);
    // ten blocks of 7 mA each: 4 x 7 mA / sqrt(10) = 8.854 mA
    const noisy = (apartA: number): number | null => {
      const readings = about(...many(0.05 + apartA, 3), ...many(0.05 - apartA, 3));
      return sways({ ...readings, segments: readings.segments.map((segment) => ({ ...segment, varianceA2: 49e-6 })) });
    };
    expect([noisy(0.0088), noisy(0.0089)]).toEqual([null, 0.0178]);
  });

  it('does so from the rest on, and away from fuses', () => {
    const readings = about(...many(0.06, 3), ...many(0.04, 3));
    // 100 s of rest, of which the last must be seen, then an excursion of 10 s
    expect([sways(readings, 99), sways(readings, 100)]).toEqual([0.02, null]);
    const event = (atS: number, markS: number): readonly FuseEvent[] => [{ kind: 'pull', label: 'F1', atS, markS }];
    const beside = (atS: number, markS: number): boolean => swayA(readings, 0, event(atS, markS)) !== null;
    expect([beside(88, 50), beside(89, 50), beside(50, 88), beside(50, 89), beside(111, 50), beside(112, 50)]).toEqual([true, false, true, false, false, true]);
  });
});
