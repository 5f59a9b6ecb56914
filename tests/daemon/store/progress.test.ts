import { describe, expect, it } from 'vitest';
import { inTurn, oncePerPercent } from '../../../src/daemon/store/files/progress.ts';

describe('one progress for several pieces of work', () => {
  it('gives each the same share, and never falls back', () => {
    const reported: number[] = [];
    const next = inTurn((fraction) => reported.push(fraction), 2);
    const [first, second] = [next(), next];
    first(0.5);
    first(1);
    const writing = second();
    writing(0);
    writing(0.5);
    // the first one late, and one that goes beyond its end
    first(0.2);
    writing(1.5);
    expect(reported).toEqual([0.25, 0.5, 0.5, 0.75, 0.75, 1]);
  });

  it('leaves the share of one that tells nothing to those after it', () => {
    const reported: number[] = [];
    const next = inTurn((fraction) => reported.push(fraction), 2);
    next();
    next()(0.3);
    expect(reported).toEqual([0.3]);
  });

  it('is silent where nobody listens', () => {
    expect(() => inTurn(undefined, 1)()(1)).not.toThrow();
  });
});

describe('a progress passed on once a percent', () => {
  it('passes on the first of each percent and nothing between', () => {
    const reported: number[] = [];
    const progress = oncePerPercent((share) => reported.push(share));
    for (const share of [0, 0.004, 0.0101, 0.0199, 0.5, 0.999, 1, 1]) progress(share);
    expect(reported).toEqual([0, 0.0101, 0.5, 0.999, 1]);
  });
});
