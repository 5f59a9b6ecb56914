import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { formatCurrent, formatCurrentBounds, formatCurrentWithin, formatDuration, formatTimeOfDay, parseDurationS, significant, unitFactor } from '../../src/core/units.ts';

describe('units', () => {
  it.each([
    ['500ms', 0.5], ['30s', 30], ['10m', 600], ['12h', 43_200], ['1.5h', 5400], ['0s', 0], [' 3s ', 3], ['8784h', 366 * 86_400], ['8785h', null], ['x3s', null], ['3s4', null],
    ['10', null], ['-3s', null], ['', null], ['3 s', null], ['1e3s', null], ['99999999h', null], ['3d', null],
  ])('reads the duration %s as %s', (text, durationS) => {
    expect(parseDurationS(text)).toBe(durationS);
  });

  it('knows SI prefixes (SI brochure, 9th edition, table 7) and refuses other words', () => {
    expect(['s', 'ms', 'us', 'ns', 'min', 'h', 'A', 'mA', 'uA', 'V', 'mV', 'uV'].map(unitFactor)).toEqual([1, 1e-3, 1e-6, 1e-9, 60, 3600, 1, 1e-3, 1e-6, 1, 1e-3, 1e-6]);
    expect(['MA', 'amp', '', 'm', 'toString'].map(unitFactor)).toEqual([null, null, null, null, null]);
  });

  it.each([
    [4.271, '4.27 A'], [0.0351, '35.1 mA'], [0.00109, '1.1 mA'], [-12.34, '-12.3 A'], [0, '0 mA'], [0.9996, '1.00 A'], [130.4, '130 A'], [0.9995, '1.00 A'], [0.9994, '999 mA'], [0.00995, '9.95 mA'], [0.00994, '9.9 mA'], [-0.0351, '-35.1 mA'],
  ])('writes %s A as %s', (currentA, text) => {
    expect(formatCurrent(currentA)).toBe(text);
  });

  it('writes bounds in the same unit and with decimals that fit the uncertainty', () => {
    expect(formatCurrentBounds(4.2713, 4.21, 4.33)).toBe('4.27 A (4.21 to 4.33)');
    expect(formatCurrentBounds(0.0109, 0.0104, 0.0114)).toBe('10.9 mA (10.4 to 11.4)');
    // by the larger bound, whichever side of zero it lies on; widths of 10, 1, 0 and 0.0001
    expect(formatCurrentBounds(0.9, 0.8, 1)).toBe('0.90 A (0.80 to 1.00)');
    expect(formatCurrentBounds(-0.5, -1, 0)).toBe('-0.5 A (-1.0 to 0.0)');
    expect(formatCurrentBounds(0.9, 0.8, 0.9994)).toBe('900 mA (800 to 999)');
    expect(formatCurrentBounds(50, 45, 55)).toBe('50 A (45 to 55)');
    expect(formatCurrentBounds(2, 2, 2)).toBe('2.00 A (2.00 to 2.00)');
    expect(formatCurrentBounds(2, 1.99994, 2.00004)).toBe('2.0000 A (1.9999 to 2.0000)');
    expect(formatCurrentBounds(0, -0.00001, 0.001)).toBe('0.0 mA (0.0 to 1.0)');
  });

  it('has with its bounds no more digits than they carry, the bounds rounded outwards', () => {
    // half-widths of 84, 45, 0.24 and 0.02 (Particle Data Group: 84 and 45 keep one figure, 24 two)
    expect(formatCurrentWithin(0.4026, 0.335, 0.503)).toEqual({ figure: '400 mA', bounds: '330 to 510 mA' });
    expect(formatCurrentWithin(0.389, 0.344, 0.433)).toEqual({ figure: '390 mA', bounds: '340 to 440 mA' });
    expect(formatCurrentWithin(3.104, 2.86, 3.34)).toEqual({ figure: '3.10 A', bounds: '2.86 to 3.34 A' });
    expect(formatCurrentWithin(14.0123, 13.98, 14.02)).toEqual({ figure: '14.012 A', bounds: '13.980 to 14.020 A' });
    expect(formatCurrentWithin(12.5, 0, 30)).toEqual({ figure: '13 A', bounds: '0 to 30 A' });
    expect(formatCurrentWithin(-0.0004, -0.02, 0.02)).toEqual({ figure: '0 mA', bounds: '-20 to 20 mA' });
    expect(formatCurrentWithin(2, 2, 2)).toEqual({ figure: '2.00 A', bounds: '' });
  });

  it.each([
    [0.0384, '38 ms'], [2.44, '2.4 s'], [45, '45 s'], [200, '3 min 20 s'], [21_900, '6 h 05 min'], [183_600, '2 d 3 h'], [-3, '-3.0 s'], [3599.7, '1 h 00 min'], [0.9994, '999 ms'], [0.9995, '1.0 s'], [9.94, '9.9 s'], [9.95, '10 s'], [99.4, '99 s'], [99.5, '1 min 40 s'], [3599.4, '59 min 59 s'], [172_769, '47 h 59 min'], [172_800, '2 d 0 h'], [65, '65 s'], [3660, '1 h 01 min'],
    // nothing has no sign
    [-0.0004, '0 ms'], [-0.0005, '-1 ms'],
  ])('writes %s s as %s', (durationS, text) => {
    expect(formatDuration(durationS)).toBe(text);
  });

  it('writes a time of day by the clock of 24 hours', () => {
    expect(formatTimeOfDay(new Date(2026, 10, 25, 0, 5).getTime(), 'en')).toBe('00:05');
    expect(formatTimeOfDay(new Date(2026, 10, 25, 15, 42).getTime(), 'en')).toBe('15:42');
  });

  it.each([[0, 3, '0'], [12.345, 3, '12.3'], [-12.345, 3, '-12.3'], [9.996, 3, '10.0'], [1234, 2, '1200'], [0.001234, 2, '0.0012'], [5, 1, '5']])('writes %d with %d figures as %s', (value, figures, text) => {
    expect(significant(value, figures)).toBe(text);
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
