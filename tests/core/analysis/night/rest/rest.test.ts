import { describe, expect, it } from 'vitest';
import { findRest, isSameRest } from '../../../../../src/core/analysis/night/rest/rest.ts';
import type { Readings } from '../../../../../src/core/analysis/night/types.ts';
import type { Mark } from '../../../../../src/core/trace.ts';
import { drawn, waved, type Drawn } from '../drawn.ts';

const mark = (timeS: number, kind: Mark['kind'] = 'pull', label = 'F1'): Mark => ({ kind, label, timeS }) as Mark;
const restS = (levels: readonly Drawn[], marks: readonly Mark[] = []): number | null => findRest(drawn(levels), marks)?.atS ?? null;
const OFF: Drawn[] = [[2, 60], [0.5, 300]];

describe('the rest of a parked vehicle', () => {
  it('begins where its lowest level that lasts does', () => {
    expect(findRest(drawn([...OFF, [0.02, 3000]]), [])).toMatchObject({ segment: 2, atS: 360 });
    expect([restS([...OFF, [0.02, 600], [0.5, 45], [0.02, 600]]), restS([[0.02, 3000]]), restS([])]).toEqual([360, 0, null]);
    // levels at which nothing flows, or into the battery, are none: a milliampere is the least that a vehicle draws
    expect([restS([...OFF, [0.02, 600], [-0.1, 600]]), restS([[0, 600]]), restS([[-0.1, 600]])]).toEqual([360, null, null]);
  });

  it('is two minutes long, or half of the recording', () => {
    expect([119, 120].map((lengthS) => restS([...OFF, [0.1, 3000], [0.02, lengthS]]))).toEqual([360, 3360]);
    expect([49, 51].map((lengthS) => restS([[0.1, 100 - lengthS], [0.02, lengthS]]))).toEqual([0, 49]);
  });

  it('goes back over levels that are the same: within 1.5 mA and a twentieth, and what a zero moves', () => {
    // neighbours of ten minutes, whose middles lie ten minutes apart: half of 14.05 mA an hour make 1.171 mA
    const back = (earlyA: number, lateA: number): number | null => restS([...OFF, [earlyA, 600], [lateA, 600]]);
    expect([back(0.0226, 0.02), back(0.0228, 0.02)]).toEqual([360, 960]);
    // 5 mA of 100 mA
    expect([back(0.106, 0.1), back(0.1063, 0.1)]).toEqual([360, 960]);
  });

  it('goes back over a wake-up, and not over more than the longest time-out', () => {
    const woken = (lengthS: number): number | null => restS([...OFF, [0.0222, 600], [0.5, lengthS], [0.02, 9000]]);
    expect([woken(4499), woken(4500)]).toEqual([360, 360 + 600 + 4500]);
    // from one wake-up into the next
    expect(restS([...OFF, [0.0222, 600], [0.5, 45], [0.3, 45], [0.0211, 600], [0.5, 45], [0.02, 600]])).toBe(360);
  });

  it('before the first pull is the one that counts, unless the level is lower while all fuses are back', () => {
    // the pull 12 s before its mark
    const marked = (beforeA: number, afterA: number): number | null => restS([...OFF, [beforeA, 1000], [0.01, 60], [afterA, 2000]], [mark(1360), mark(1420, 'refit')]);
    expect([marked(0.1, 0.1), marked(0.2, 0.1), marked(0.1, 0.2)]).toEqual([360, 1432 - 12, 360]);
    // 10 mA of 100 mA, and what a zero moves in a minute or so: 14.05 mA / 3600 s x 72 s = 0.28 mA
    expect([0.0898, 0.0896].map((afterA) => marked(0.1, afterA))).toEqual([360, 1420]);
    // of 20 mA 3 mA
    expect([0.0168, 0.0166].map((afterA) => marked(0.02, afterA))).toEqual([360, 1420]);
  });

  it('is looked for while all are back for half a minute beside both marks', () => {
    const next = (lengthS: number): number | null => restS([...OFF, [0.2, 1000], [0.01, 60], [0.1, lengthS], [0.05, 60], [0.1, 1000]], [mark(1360), mark(1420, 'refit'), mark(1420 + lengthS, 'pull', 'F2')]);
    expect([next(53), next(54)]).toEqual([360, 1420]);
    // two out, of which one stays out
    const two = restS([...OFF, [0.2, 1000], [0.1, 2000]], [mark(1360), mark(1370, 'pull', 'F2'), mark(1420, 'refit')]);
    expect(two).toBe(360);
    // a refit of a fuse that was in says nothing
    expect(restS([...OFF, [0.2, 1000], [0.1, 2000]], [mark(1360), mark(1420, 'refit', 'F9')])).toBe(360);
  });
});

describe('two levels of one rest', () => {
  const same = (levels: readonly Drawn[], varianceA2 = 1e-12, [one, other] = [0, 1], ofA = levels[other]![0]): boolean => {
    const readings: Readings = drawn(levels);
    const [segment, next] = [one, other].map((k) => ({ ...readings.segments[k]!, varianceA2 }));
    return isSameRest(readings, segment!, next!, ofA);
  };

  it('are as near as their noise, up to 10 mA and a fifth of the level', () => {
    // 100 blocks of 10 mA each: 4 x 10 mA x sqrt(2 / 100) = 5.657 mA, and 100 s of a zero 0.195 mA
    expect([same([[0.0257, 100], [0.02, 100]], 1e-4), same([[0.0260, 100], [0.02, 100]], 1e-4)]).toEqual([true, false]);
    // of 100 mA the noise is none: 10 + 4 mA, and the zero
    expect([same([[0.0341, 100], [0.02, 100]], 1e-2), same([[0.0343, 100], [0.02, 100]], 1e-2)]).toEqual([true, false]);
    // the quieter of the two
    const readings = drawn([[0.0257, 100], [0.02, 100]]);
    const [loud, quiet] = [{ ...readings.segments[0]!, varianceA2: 1e-4 }, readings.segments[1]!];
    expect([isSameRest(readings, loud, quiet, 0.02), isSameRest(readings, quiet, loud, 0.0257)]).toEqual([false, false]);
  });

  it('are as near as a zero moves between them, either way, up to 10 mA', () => {
    // an hour: 7.03 mA, and 1.5 mA
    const apart = (awayS: number, levelA: number): boolean => same([[levelA, 100], [0.5, awayS - 100], [0.02, 100]], 1e-12, [0, 2]);
    expect([apart(3600, 0.0285), apart(3600, 0.0286), apart(36_000, 0.0314), apart(36_000, 0.0316)]).toEqual([true, false, true, false]);
    expect(same([[0.02, 100], [0.5, 3500], [0.0285, 100]], 1e-12, [2, 0])).toBe(true);
  });

  it('are one where a straight line through both fits better than a step, over two minutes at least', () => {
    const drift = (lengthS: number, perS: number): boolean => {
      const readings = waved(drawn([[0.05, lengthS], [0.05, lengthS]]), (atS) => perS * atS);
      const [one, other] = readings.segments;
      const withMeans = [one!, other!].map((segment, k) => ({ ...segment, meanA: 0.05 + perS * lengthS * (k + 0.5) }));
      return isSameRest(readings, withMeans[0]!, withMeans[1]!, withMeans[1]!.meanA) && isSameRest(readings, withMeans[1]!, withMeans[0]!, withMeans[0]!.meanA);
    };
    // 5 mA apart; 10.1 mA are too far
    expect([drift(119, 5e-3 / 119), drift(120, 5e-3 / 120), drift(600, 9.9e-3 / 600), drift(600, 12e-3 / 600)]).toEqual([false, true, true, false]);
    // a step of 5 mA
    expect([same([[0.055, 200], [0.05, 200]]), same([[0.05, 200], [0.055, 200]])]).toEqual([false, false]);
    // not across something else
    const across = waved(drawn([[0.05, 200], [0.5, 5], [0.05, 200]]), (atS) => 2.5e-5 * atS);
    const [first, , last] = across.segments;
    expect(isSameRest(across, { ...first!, meanA: 0.0525 }, { ...last!, meanA: 0.0576 }, 0.0576)).toBe(false);
  });

  it('are one where the earlier is lower and shorter than a rest', () => {
    expect([same([[0.01, 29], [0.05, 200]]), same([[0.01, 30], [0.05, 200]]), same([[0.09, 29], [0.05, 200]])]).toEqual([true, false, false]);
  });
});
