import { describe, expect, it } from 'vitest';
import { score } from '../../../score/drain/score.ts';
import { Tally } from '../../../score/drain/tally.ts';
import { judgeNight, secondFigures } from '../../../score/second-drain/judge.ts';

/** Works out what it is asked for in the first test that asks. */
function once<T>(work: () => T): () => T {
  let done: { readonly value: T } | null = null;
  return () => (done ??= { value: work() }).value;
}

/** The first test of each generator reads all its nights, ms. */
const ALL_NIGHTS_MS = 600_000;

describe('the drain test on generated parked vehicles it was not tuned to', () => {
  const rows = once(() => new Map(score(true).map((row) => [row.name, row])));

  it.each([
    ['finding right', 0.9],
    ['sleep found', 0.95],
    ['no sleep made up', 0.7],
    ['moment within 5 s', 0.95],
    ['level within 1.5 mA', 0.95],
    ['level inside its bounds', 0.95],
    ['wake-ups F1', 0.97],
    ['pulls found', 0.98],
    ['carrying fuse named right', 0.95],
  ])('keeps the figure "%s" at %d or better over sixty cases', (name, least) => {
    expect(rows().get(name)?.value).toBeGreaterThanOrEqual(least);
  }, ALL_NIGHTS_MS);

  it('measures the change of a pull within 3 mA in nine of ten', () => {
    expect(rows().get('change of a pull, 90th percentile, mA')?.value).toBeLessThanOrEqual(3);
  }, ALL_NIGHTS_MS);
});

describe('the drain test on nights of a second generator, one of each kind', () => {
  const rows = once(() => {
    const tally = new Tally();
    const changesA: number[] = [];
    for (let seed = 100_000; seed < 100_020; seed++) judgeNight(seed, tally, changesA);
    return new Map(secondFigures(tally, changesA).map((row) => [row.name, row]));
  });

  it.each([
    ['sleep found', 0.95],
    ['moment within 5 s', 0.9],
    ['level within 1.5 mA', 0.9],
    ['level inside its bounds', 0.9],
    ['wake-ups F1', 0.97],
    ['pulls found', 1],
    ['carrying fuse named right', 1],
    ['fuse without current not blamed', 0.9],
    ['current backwards reported', 1],
    ['finding right', 0.9],
  ])('keeps the figure "%s" at %d or better', (name, least) => {
    expect(rows().get(name)?.count).toBeGreaterThan(0);
    expect(rows().get(name)?.value).toBeGreaterThanOrEqual(least);
  }, ALL_NIGHTS_MS);
});
