import { describe, expect, it } from 'vitest';
import { isStarved, starvedEvidence } from '../../../../../src/core/analysis/motor/finding/starved.ts';
import { fitted, press } from './readings.ts';

const fed = (openV: number, runV: number, ohm = 0.1, fields: Parameters<typeof press>[0] = {}): ReturnType<typeof press> =>
  press({ supply: { open_v: openV, run_v: runV, source_ohm: ohm, low_ohm: 0.9 * ohm, high_ohm: 1.1 * ohm }, ...fields });

describe('a feed too weak to judge the motor', () => {
  // ISO 16750-2 table 1: 12 V equipment works down to 9 V (code C), most down to 10.5 V (code D)
  it('is one below 9 V while it runs, and none above 10.5 V however much was lost', () => {
    expect(isStarved(press({ feed_v: 8.99 }), 12.5)).toBe(true);
    expect(isStarved(press({ feed_v: 9.01 }), 12.5)).toBe(false);
    expect(isStarved(fed(14.4, 10.6, 0.1, { feed_v: 10.6 }), 14.4)).toBe(false);
    expect(isStarved(fed(14.4, 10.4, 0.1, { feed_v: 10.4 }), 14.4)).toBe(true);
  });

  it('is one below twice that in a 24 V vehicle, which readings above 18 V show', () => {
    expect(isStarved(press({ feed_v: 17 }), 24.5)).toBe(true);
    expect(isStarved(press({ feed_v: 17 }), 17.5)).toBe(false);
  });

  it('loses 22 % of its open volts under a running motor, 42 % under a stalled one', () => {
    expect(isStarved(fed(10, 7.79), 10)).toBe(true);
    expect(isStarved(fed(10, 7.81), 10)).toBe(false);
    expect(isStarved(fed(10, 5.79, 0.1, { run: null }), 10)).toBe(true);
    expect(isStarved(fed(10, 5.81, 0.1, { run: null }), 10)).toBe(false);
  });

  it('may show at the switch-on alone: at least 0.9 ohm under 6 A are 5.4 of 12 V, 45 %', () => {
    const started = { ...fitted(7.5), supply: { open_v: 12, run_v: 11, source_ohm: 1, low_ohm: 0.9, high_ohm: 1.1 } };
    expect(started.inrush?.peak_a).toBe(6);
    expect(isStarved(started, 12)).toBe(true);
    expect(isStarved({ ...started, supply: { ...started.supply, low_ohm: 0.8 } }, 12)).toBe(false);
  });

  it('is reported with the volts at the switch-on where those fell much deeper than while it ran: 12 - 1 x 6 = 6 V', () => {
    const started = { ...fitted(7.5), supply: { open_v: 12, run_v: 11, source_ohm: 1, low_ohm: 0.9, high_ohm: 1.1 } };
    expect(starvedEvidence(started, 'motor')).toEqual([{ code: 'sagging-feed', atS: 1, place: 'motor', openV: 12, loadV: 11, startV: 6, sourceOhm: 1, lowOhm: 0.9, highOhm: 1.1 }]);
    expect(starvedEvidence(fed(12, 9), 'battery')).toMatchObject([{ startV: null, place: 'battery' }]);
    expect(starvedEvidence(press({ feed_v: 8 }), 'motor')).toEqual([{ code: 'low-feed', atS: 1, feedV: 8, place: 'motor', ran: true }]);
    expect(starvedEvidence(press(), 'motor')).toEqual([]);
  });
});
