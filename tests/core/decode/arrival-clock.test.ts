import { describe, expect, it } from 'vitest';
import { ArrivalClock } from '../../../src/core/decode/arrival-clock.ts';

/** What becomes of lines that arrive at these moments. */
function given(arrivals: readonly number[], floorS = -Infinity): { atS: number; afterGap: boolean }[] {
  const out: { atS: number; afterGap: boolean }[] = [];
  const clock = new ArrivalClock({ give: (_index, atS, afterGap) => void out.push({ atS, afterGap }), drop: () => undefined, overrun: () => undefined }, floorS);
  for (const [index, arrivalS] of arrivals.entries()) clock.push(index, arrivalS);
  clock.flush();
  return out;
}
const even = (count: number, fromS: number, stepS = 0.02): number[] => Array.from({ length: count }, (_, i) => fromS + i * stepS);

describe('lines timed by their arrival', () => {
  it('lie on an even grid at their pace, without a gap where nothing was before', () => {
    const lines = given(even(200, 1));
    expect(lines).toHaveLength(200);
    expect(lines.map(({ afterGap }) => afterGap).some(Boolean)).toBe(false);
    for (let i = 1; i < lines.length; i++) expect(lines[i]!.atS - lines[i - 1]!.atS).toBeCloseTo(0.02, 4);
    expect(lines[0]!.atS).toBeCloseTo(1, 2);
  });

  it('follow a gap where other samples were given out before them, and come after those', () => {
    const lines = given(even(200, 6), 5);
    expect(lines.map(({ afterGap }) => afterGap).indexOf(true)).toBe(0);
    expect(lines.filter(({ afterGap }) => afterGap)).toHaveLength(1);
    // what was given out already is not overtaken: 50 lines a second after 6.5 s
    expect(given(even(200, 6), 6.5)[0]!.atS).toBeGreaterThan(6.5);
  });

  it('have a gap where they stop for a second, and none where they catch up', () => {
    const stopped = given([...even(200, 1), ...even(200, 6)]);
    expect(stopped.filter(({ afterGap }) => afterGap).map(({ atS }) => Number(atS.toFixed(1)))).toEqual([6]);
    // 0.4 s held up by a busy computer, then all at once
    const late = even(400, 1).map((atS) => (atS > 5 && atS < 5.4 ? 5.4 : atS));
    expect(given(late).some(({ afterGap }) => afterGap)).toBe(false);
    for (const [i, { atS }] of given(late).entries()) expect(atS).toBeCloseTo(1 + 0.02 * i, 1);
  });
});
