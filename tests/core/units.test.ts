import { describe, expect, it } from 'vitest';
import { formatTimeOfDay, parseDurationS, unitFactor } from '../../src/core/units.ts';

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

  it('writes a time of day by the clock of 24 hours', () => {
    expect(formatTimeOfDay(new Date(2026, 10, 25, 0, 5).getTime(), 'en')).toBe('00:05');
    expect(formatTimeOfDay(new Date(2026, 10, 25, 15, 42).getTime(), 'en')).toBe('15:42');
  });
});
