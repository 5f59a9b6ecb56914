import { describe, expect, it } from 'vitest';
import { clearOf } from '../../../../../src/core/analysis/motor/signal/decision-levels.ts';
import { normalCdf } from '../../../../../src/core/analysis/uncertainty/distributions.ts';

/** What was asked for once is kept: each time the test runs it asks for a count that nobody asked for before. */
let askedLast = 40_000;

describe('what noise alone hardly passes', () => {
  it('is passed by one of so many normal values, on either side, once in a thousand times', () => {
    const count = ++askedLast;
    const multiple = clearOf(count);
    expect(2 * count * normalCdf(-multiple)).toBeCloseTo(0.001, 8);
    expect(clearOf(count)).toBe(multiple);
    expect([clearOf(count - 0.5), clearOf(-3)]).toEqual([multiple, clearOf(1)]);
  });
});
