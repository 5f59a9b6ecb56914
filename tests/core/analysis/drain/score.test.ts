import { describe, expect, it } from 'vitest';
import { score } from '../../../score/drain/score.ts';

describe('the drain test on generated parked vehicles it was not tuned to', () => {
  const rows = new Map(score(true).map((row) => [row.name, row]));

  it.each([
    ['finding right', 0.85],
    ['sleep found', 0.9],
    ['moment within 5 s', 0.9],
    ['level within 1.5 mA', 0.9],
    ['level inside its bounds', 0.85],
    ['wake-ups F1', 0.94],
    ['carrying fuse named right', 0.9],
  ])('keeps the figure "%s" at %d or better over sixty cases', (name, least) => {
    expect(rows.get(name)?.value).toBeGreaterThanOrEqual(least);
  });

  it('measures the change of a pull within 3 mA in nine of ten', () => {
    expect(rows.get('change of a pull, 90th percentile, mA')?.value).toBeLessThanOrEqual(3);
  });
});
