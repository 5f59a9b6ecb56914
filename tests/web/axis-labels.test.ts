import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { axisLabels, evenBelowA, powerLabel, powerSplits, roundMoments } from '../../web/chart/plot/axis-labels.ts';

describe('axis numbers', () => {
  it('show half steps as what they are', () => {
    expect(axisLabels([0, 2.5, 5, 7.5], 'A')).toEqual(['0.0 A', '2.5 A', '5.0 A', '7.5 A']);
    expect(axisLabels([-0.25, 0, 0.25, 0.5], 'V')).toEqual(['−0.25 V', '0.00 V', '0.25 V', '0.50 V']);
  });

  it('carry no decimals that the step does not need', () => {
    expect(axisLabels([-10, -5, 0, 5], 'A')).toEqual(['−10 A', '−5 A', '0 A', '5 A']);
  });

  it('go to milliamps when all are below an ampere', () => {
    expect(axisLabels([0, 0.0025, 0.005], 'A')).toEqual(['0.0 mA', '2.5 mA', '5.0 mA']);
  });

  it('stand for the value they are written at, whatever the step', () => {
    fc.assert(
      fc.property(fc.constantFrom(1, 2, 2.5, 5), fc.integer({ min: -4, max: 3 }), fc.integer({ min: -8, max: 4 }), (mantissa, power, first) => {
        const splits = Array.from({ length: 6 }, (_value, i) => (first + i) * mantissa * 10 ** power);
        const read = axisLabels(splits, 'V').map((label) => Number(label.replace('−', '-').replace(' V', '')));
        read.forEach((value, i) => expect(value).toBeCloseTo(splits[i]!, 8));
      }),
    );
  });

  it('of time are round in their own count, wherever that begins', () => {
    const from = (lowS: number, highS: number, stepS: number, originS: number): number[] => roundMoments(lowS, highS, stepS, originS).map((at) => Number((at - originS).toFixed(9)));
    // 31.4 to 41.4 s of a page that has run since 0, in a recording that began at 33.13 s: what lies before it counts down to it
    expect(from(31.4, 41.4, 2, 33.13)).toEqual([0, 2, 4, 6, 8]);
    expect(from(31, 35.13, 1, 33.13)).toEqual([-2, -1, 0, 1, 2]);
    expect(from(0, 0.3, 0.1, 0)).toEqual([0, 0.1, 0.2, 0.3]);
  });

  it('by powers of ten go through zero with three decades on either side, each in its own unit', () => {
    const even = evenBelowA([-12, 14]);
    expect(even).toBeCloseTo(0.01, 12);
    expect(powerSplits(even, -12, 14).map(powerLabel)).toEqual(['−10 A', '−1 A', '−100 mA', '0 A', '100 mA', '1 A', '10 A']);
    expect(powerSplits(evenBelowA([0, 0.4]), 0, 0.4).map(powerLabel)).toEqual(['0 A', '1 mA', '10 mA', '100 mA']);
  });
});
