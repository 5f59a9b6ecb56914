import { describe, expect, it } from 'vitest';
import { withoutSags } from '../../../../../src/core/analysis/motor/wire/feed-sags.ts';
import { pressOf } from '../ripple/columns.ts';

const held = { ...pressOf(0, 1000), dropouts: [{ startIndex: 500, endIndex: 510 }] };
const volts = (inBreakV: number): Float32Array => Float32Array.from({ length: 1000 }, (_value, i) => (i >= 500 && i < 520 ? inBreakV : 12.4));
const left = (inBreakV: number, place: 'battery' | 'motor' | null = 'battery'): number => withoutSags(held, volts(inBreakV), place).dropouts.length;

describe('a break of the current', () => {
  // half a percent of 12.4 V are 62 mV
  it('is no lost contact where the battery\'s volts fall with it', () => {
    expect([12.5, 12.4, 12.35, 12.33, 10].map((inBreakV) => left(inBreakV))).toEqual([1, 1, 1, 0, 0]);
  });

  it('is one wherever the volts are none of the battery\'s', () => {
    expect([left(0, 'motor'), left(10, null)]).toEqual([1, 1]);
    expect(withoutSags(held, null, 'battery').dropouts).toHaveLength(1);
  });
});
