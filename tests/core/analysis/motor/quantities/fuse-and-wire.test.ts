import { describe, expect, it } from 'vitest';
import { fuseLoad, pressI2t, wireShare } from '../../../../../src/core/analysis/motor/quantities/fuse-and-wire.ts';
import { fitted, press, stall } from '../finding/readings.ts';
import { pressOf, readBy } from '../ripple/columns.ts';

describe('what a press asks of its fuse', () => {
  it('is its highest lasting level: a stall above the run, else the run for as long as neither the switch-on, a stall nor a break took', () => {
    // 14 A of 10 A for half a second; the switch-on of a fitted press takes 0.2 s, so of three seconds 2.7 are left with a break of 0.1 s
    expect(fuseLoad(press({ stalls: [stall(3, 3.1, 12), stall(3.5, 4, 14), stall(2, 2.7, 13)] }), 10, 7)).toMatchObject({ rating_a: 10, share: 1.4, lasted_s: 0.5, i2t_a2s: 7 });
    expect(fuseLoad(fitted(16, { dropouts: [{ start_s: 2, end_s: 2.1 }] }), 10, 7)).toMatchObject({ share: 0.4, lasted_s: expect.closeTo(2.7, 9) });
    expect(fuseLoad(fitted(16, { dropouts: [{ start_s: 2, end_s: 2.1 }], stalls: [stall(3.5, 4, 3)] }), 10, 7)).toMatchObject({ share: 0.4, lasted_s: expect.closeTo(2.2, 9) });
    expect(fuseLoad(press({ run: null, stalls: [stall(1, 4, 14)] }), 10, 7)).toMatchObject({ share: 1.4, lasted_s: 3 });
    expect(fuseLoad(press({ run: null }), 10, 7)).toBeNull();
    // what is taken up by more than the whole leaves nothing
    expect(fuseLoad(press({ stalls: [stall(1, 5, 3)] }), 10, 7)).toMatchObject({ lasted_s: 0 });
  });

  it('is held for the shortest and opened after the longest time of the table, where it promises one', () => {
    // ATOF 287 (public transcription): 160 % 0.25 to 50 s; 110 % for 100 h (ISO 8820-3), and no promise to open
    expect(fuseLoad(press({ stalls: [stall(3, 4, 16)] }), 10, 7)).toMatchObject({ holds_s: expect.closeTo(0.25, 9), opens_s: expect.closeTo(50, 9) });
    expect(fuseLoad(press(), 10, 7)).toMatchObject({ holds_s: 360_000, opens_s: null });
    // the table begins at 3 A
    expect(fuseLoad(press(), 2, 7)).toMatchObject({ share: 2, holds_s: null, opens_s: null });
  });

  it('is I²t by trapezes of the squares, without the variance of the clamp\'s own noise', () => {
    // 1 s x (4+16)/2 + 2 s x (16+36)/2 + 1 s x (36+0)/2 = 80 A² s; 2 A of noise for 4 s are 16
    const timeS = Float64Array.of(0, 1, 3, 4, 5);
    const read = (sign: 1 | -1) => Float32Array.of(2, 4, 6, 0, 9).map((value) => sign * value);
    const i2t = (noiseA: number, sign: 1 | -1 = 1): number => pressI2t(pressOf(0, 4, sign), timeS, { ...readBy(read(sign)), noiseA });
    expect([i2t(0), i2t(0, -1), i2t(2), i2t(10)]).toEqual([80, 80, 64, 0]);
    // cut in two at a reading, both parts make the whole
    const part = (from: number, to: number): number => pressI2t(pressOf(from, to), timeS, { ...readBy(read(1)), noiseA: 1 });
    expect(part(0, 3) + part(2, 5)).toBeCloseTo(part(0, 5), 9);
  });
});

describe('the wire\'s share of the feed', () => {
  const supply = { open_v: 12.6, run_v: 11.8, source_ohm: 0.2, low_ohm: 0.18, high_ohm: 0.25 };
  // IEC 60228, class 5: 19.5 ohm/km at 20 °C for 1 mm²; 5 m are 97.5 milliohm
  const wire = { areaMm2: 1, lengthM: 5, temperatureC: 20 };

  it('is its resistance over the feed\'s, the least over the most of it and the other way round, and the volts of both at the run', () => {
    expect(wireShare(press({ supply }), wire)).toEqual({
      wire_ohm: expect.closeTo(0.0975, 9), drop_v: expect.closeTo(0.39, 9), sag_v: expect.closeTo(0.8, 9), share: expect.closeTo(0.4875, 9), low_share: expect.closeTo(0.39, 9), high_share: expect.closeTo(0.0975 / 0.18, 9),
    });
    // a motor that did not run lost them at its stall
    expect(wireShare(press({ supply, run: null, stalls: [stall(1, 4, 14)] }), wire)).toMatchObject({ drop_v: expect.closeTo(1.365, 9), sag_v: expect.closeTo(2.8, 9) });
    expect(wireShare(press({ supply, run: null }), wire)).toMatchObject({ drop_v: 0, sag_v: 0 });
  });

  it('has no upper bound where the feed may have no resistance, and is none where that is not known', () => {
    expect(wireShare(press({ supply: { ...supply, low_ohm: 0 } }), wire)?.high_share).toBeNull();
    expect([wireShare(press(), wire), wireShare(press({ supply: { ...supply, source_ohm: 0 } }), wire)]).toEqual([null, null]);
  });
});
