import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { formatCurrent, formatCurrentBounds, formatDuration, parseDurationS, significant, unitFactor } from '../../src/core/units.ts';

describe('units', () => {
  it.each([
    ['500ms', 0.5], ['30s', 30], ['10m', 600], ['12h', 43_200], ['1.5h', 5400], ['0s', 0],
    ['10', null], ['-3s', null], ['', null], ['3 s', null], ['1e3s', null], ['99999999h', null], ['3d', null],
  ])('reads the duration %s as %s', (text, durationS) => {
    expect(parseDurationS(text)).toBe(durationS);
  });

  it('knows SI prefixes (SI brochure, 9th edition, table 7) and refuses other words', () => {
    expect(['s', 'ms', 'us', 'A', 'mA', 'uA', 'V', 'mV'].map(unitFactor)).toEqual([1, 1e-3, 1e-6, 1, 1e-3, 1e-6, 1, 1e-3]);
    expect(['MA', 'amp', '', 'm', 'toString'].map(unitFactor)).toEqual([null, null, null, null, null]);
  });

  it.each([
    [4.271, '4.27 A'], [0.0351, '35.1 mA'], [0.00109, '1.1 mA'], [-12.34, '-12.3 A'], [0, '0 mA'], [0.9996, '1.00 A'], [130.4, '130 A'],
  ])('writes %s A as %s', (currentA, text) => {
    expect(formatCurrent(currentA)).toBe(text);
  });

  it('writes bounds in the same unit and with decimals that fit the doubt', () => {
    expect(formatCurrentBounds(4.2713, 4.21, 4.33)).toBe('4.27 A (4.21 to 4.33)');
    expect(formatCurrentBounds(0.0109, 0.0104, 0.0114)).toBe('10.9 mA (10.4 to 11.4)');
  });

  it.each([
    [0.0384, '38 ms'], [2.44, '2.4 s'], [45, '45 s'], [200, '3 min 20 s'], [21_900, '6 h 05 min'], [183_600, '2 d 3 h'], [-3, '-3.0 s'], [3599.7, '1 h 00 min'],
  ])('writes %s s as %s', (durationS, text) => {
    expect(formatDuration(durationS)).toBe(text);
  });

  it('rounds to significant figures without an exponent', () => {
    fc.assert(
      fc.property(fc.double({ min: 1e-6, max: 1e6, noNaN: true }), fc.integer({ min: 1, max: 6 }), (value, figures) => {
        const text = significant(value, figures);
        expect(text).not.toMatch(/e/);
        expect(Math.abs(Number(text) - value)).toBeLessThanOrEqual(0.5001 * 10 ** (Math.floor(Math.log10(value)) + 1 - figures) * 1.0001);
      }),
    );
  });
});
