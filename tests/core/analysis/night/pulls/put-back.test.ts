import { describe, expect, it } from 'vitest';
import { findPossiblePulls } from '../../../../../src/core/analysis/night/pulls/possible-pulls.ts';
import { unmarkedRefits } from '../../../../../src/core/analysis/night/pulls/put-back.ts';
import type { FuseEvent, Readings } from '../../../../../src/core/analysis/night/types.ts';
import type { Mark } from '../../../../../src/core/trace.ts';
import { drawn, type Drawn } from '../drawn.ts';

const event = (kind: FuseEvent['kind'], atS: number, label = 'F1'): FuseEvent => ({ kind, label, markS: atS, atS });
const PULL = event('pull', 1000);
const back = (levels: readonly Drawn[], events: readonly FuseEvent[] = [PULL]): unknown[] => unmarkedRefits(drawn(levels), events).map(({ kind, label, markS, atS }) => [kind, label, markS === atS ? atS : NaN]);
const backS = (...how: Parameters<typeof back>): unknown => (back(...how)[0] as unknown[] | undefined)?.[2] ?? null;

describe('a fuse put back without a mark', () => {
  it('is where the old level comes back', () => {
    expect(back([[0.1, 1000], [0.06, 60], [0.1, 1000]])).toEqual([['refit', 'F1', 1060]]);
    expect(back([[0.1, 995], [0.06, 60], [0.1, 1000]])).toEqual([['refit', 'F1', 1055]]);
    expect([back([[0.1, 1000], [0.06, 1000]]), back([[0.1, 2000]]), back([[0.1, 1000], [0.06, 60], [0.1, 1000]], [PULL, event('refit', 1700)])]).toEqual([[], [], []]);
    expect(back([[0.1, 1000], [0.06, 60], [0.1, 1000]], [event('refit', 1000)])).toEqual([]);
    expect(back([[0.1, 1000], [0.06, 60], [0.1, 1000]], [PULL, event('refit', 1700, 'F2')])).toHaveLength(1);
  });

  it('took more than 2 mA, and brings it back within a fifth', () => {
    expect([0.0981, 0.0979].map((lowA) => backS([[0.1, 1000], [lowA, 60], [0.1, 1000]]))).toEqual([null, 1060]);
    expect([0.0919, 0.0921, 0.1079, 0.1081].map((levelA) => backS([[0.1, 1000], [0.06, 60], [levelA, 1000]]))).toEqual([null, 1060, 1060, null]);
    // up by less than half of it the fuse is still out
    expect([0.0799, 0.0801].map((levelA) => backS([[0.1, 1000], [0.06, 60], [levelA, 60], [0.1, 1000]]))).toEqual([1120, 1060]);
  });

  it('is out and in for as long as a hand', () => {
    expect([3, 4].map((lengthS) => backS([[0.1, 1000], [0.06, lengthS], [0.1, 1000]]))).toEqual([null, 1000 + 4]);
    expect([3, 4].map((lengthS) => backS([[0.1, 1000], [0.06, 60], [0.1, lengthS], [0.06, 500]]))).toEqual([null, 1060]);
  });

  it('comes back before the next mark', () => {
    const before = (nextS: number): unknown => backS([[0.1, 1000], [0.06, 60], [0.1, 1000]], [PULL, event('pull', nextS, 'F2')]);
    // 12 s before the next, and 4 s of it seen
    expect([before(1075), before(1076)]).toEqual([null, 1060]);
    // half of the way where that is later
    expect(backS([[0.1, 1000], [0.06, 5], [0.1, 1000]], [PULL, event('pull', 1018, 'F2')])).toBe(1005);
  });

  it('has a level of the half minute before its pull, after the mark before that', () => {
    const levels: Drawn[] = [[0.5, 900], [0.3, 80], [0.1, 20], [0.06, 60], [0.1, 1000]];
    expect(backS(levels)).toBe(1060);
    expect(backS([[0.1, 950], [0.3, 50], [0.06, 60], [0.1, 1000]])).toBeNull();
    expect(backS([[0.06, 990], [0.1, 10], [0.06, 60], [0.1, 1000]], [event('refit', 989, 'F2'), PULL])).toBe(1060);
  });
});

describe('a pull that no mark names', () => {
  const LEVELS: Drawn[] = [[0.1, 1000], [0.06, 60], [0.1, 1000]];
  const possible = (some: { levels?: readonly Drawn[]; restS?: number; marks?: readonly Mark[]; levelA?: number; readings?: Partial<Readings> } = {}): [number, number][] =>
    findPossiblePulls(drawn(some.levels ?? LEVELS, some.readings), some.restS ?? 0, some.marks ?? [], some.levelA ?? 0.1).map((one) => [one.from_s, one.to_s]);
  const mark = (timeS: number, kind: Mark['kind'] = 'pull'): Mark => ({ kind, label: 'F1', timeS }) as Mark;
  const HERE = [[1000, 1060]];

  it('is a dip at rest, with its bounds', () => {
    const [one] = findPossiblePulls(drawn(LEVELS, { stepA: 0.002 }), 0, [], 0.1);
    expect([one!.change_a, one!.low_a, one!.high_a]).toEqual([expect.closeTo(-0.04, 9), expect.closeTo(-0.041, 5), expect.closeTo(-0.039, 5)]);
    expect([possible(), possible({ restS: 999 }), possible({ restS: 1000 })]).toEqual([HERE, HERE, []]);
  });

  it('is further than 12 s from any mark of a fuse', () => {
    const beside = (timeS: number, kind?: Mark['kind']): boolean => possible({ marks: [mark(timeS, kind)] }).length === 0;
    expect([988, 988.1, 1030, 1071.9, 1072].map((timeS) => beside(timeS))).toEqual([false, true, true, true, false]);
    expect([beside(1030, 'refit'), beside(1030, 'wake')]).toEqual([true, false]);
  });

  it('falls from the level asleep, a tenth or 3 mA above it at most, and not below nothing', () => {
    expect([0.0908, 0.091].map((levelA) => possible({ levelA }).length)).toEqual([0, 1]);
    const small: Drawn[] = [[0.02, 1000], [0.005, 60], [0.02, 1000]];
    expect([0.0169, 0.0171].map((levelA) => possible({ levels: small, levelA }).length)).toEqual([0, 1]);
    expect([-0.0061, -0.0059].map((levelA) => possible({ levels: [[0.02, 1000], [levelA, 60], [0.02, 1000]], levelA: 0.02 }).length)).toEqual([0, 1]);
  });

  it('lies in a level that holds for half of the ten minutes around it, other dips aside', () => {
    const held = (lengthS: number): number => possible({ levels: [[0.3, 700], [0.1, lengthS], [0.06, 60], [0.1, lengthS], [0.6, 700]] }).length;
    // 1200 s beside the dip
    expect([held(300), held(301)]).toEqual([0, 1]);
    // and at the ends of the recording as long as there is
    const short = (lengthS: number): number => possible({ levels: [[0.3, 100], [0.1, lengthS], [0.06, 60], [0.1, lengthS], [0.6, 100]] }).length;
    expect([short(100), short(101)]).toEqual([0, 1]);
  });

  it('is none beside a sensor that sways', () => {
    const swayed: Drawn[] = Array.from({ length: 3 }, (): Drawn[] => [[0.13, 10], [0.1, 100], [0.08, 10], [0.1, 100]]).flat();
    expect(possible({ levels: [...LEVELS, ...swayed] })).toEqual([]);
  });
});
