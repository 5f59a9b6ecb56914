import { describe, expect, it } from 'vitest';
import { daysToDraw, reserveCapacityAh, selfDischargePercentPerMonth, socBand, socFromTable, VOLTAGE_TABLES } from '../../../src/core/reference/battery.ts';
import { DRAIN_LIMITS, reserveCapacityLimitA } from '../../../src/core/reference/drain-limits.ts';

describe('battery figures', () => {
  it('follow the Trojan T-105 sheet: 12.73 V full, 12.10 V half, 11.51 V a tenth', () => {
    const sheet = VOLTAGE_TABLES[0];
    for (const [volts, percent] of [[12.732, 100], [12.102, 50], [11.508, 10]] as const) expect(socFromTable(sheet, volts)).toBeCloseTo(percent, 6);
  });

  it('show a band where the published tables disagree', () => {
    const band = socBand(12.2);
    expect(band?.lowPercent).toBeLessThanOrEqual(50);
    expect(band?.highPercent).toBeGreaterThanOrEqual(56);
    expect(socBand(24.6)).toBeNull();
  });

  it('turn a reserve capacity of 100 min into 41.67 Ah and 90 min into 37.5 Ah', () => {
    expect(reserveCapacityAh(100)).toBeCloseTo(41.67, 2);
    expect(reserveCapacityAh(90)).toBeCloseTo(37.5, 6);
  });

  it('draw 1.2 Ah a day at 50 mA: 60 Ah are half gone after 25 days, without any Peukert correction', () => {
    expect(daysToDraw(60, 0.5, 0.05)).toBeCloseTo(25, 9);
    expect(daysToDraw(60, 1, 0)).toBe(Infinity);
  });

  it('give the sheet 100 h at 2.5 A from its 250 Ah, where Peukert would say 128.5 h', () => {
    expect(daysToDraw(250, 1, 2.5) * 24).toBeCloseTo(100, 9);
  });

  it('double the self-discharge with every 10 C', () => {
    expect(selfDischargePercentPerMonth(35).lowPercent).toBeCloseTo(2 * selfDischargePercentPerMonth(25).lowPercent, 9);
  });
});

describe('limits', () => {
  it('allow 25 mA for a reserve capacity of 100 min (Oldsmobile Aurora 2001)', () => {
    expect(reserveCapacityLimitA(100)).toBeCloseTo(0.025, 9);
  });

  it('name the source of each, and the common 50 mA as having none', () => {
    for (const limit of DRAIN_LIMITS) expect(limit.source.length).toBeGreaterThan(5);
    expect(DRAIN_LIMITS[0]).toMatchObject({ limitA: 0.05, source: 'common practice, no published source' });
  });
});
