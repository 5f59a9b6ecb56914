import { describe, expect, it } from 'vitest';
import { findKeyOff, readingsFrom } from '../../../../../src/core/analysis/night/key-off/key-off.ts';
import { drawn, volts, type Drawn } from '../drawn.ts';

const LAMP: Drawn = [0.8, 60];
const PARKED: Drawn = [0.05, 3000];

/** Of a recording that begins at 0, and of the same at another time of its clock: it must be as much later. */
function keyOff(...levels: Drawn[]): number | null {
  const atS = findKeyOff(drawn(levels));
  const later = findKeyOff(drawn(levels, {}, 5000));
  expect(later).toBe(atS === null ? null : atS + 5000);
  return atS;
}

describe('key-off after a charge', () => {
  it('is the end of the current into the battery', () => {
    expect(keyOff([-5, 900], [0.4, 200], PARKED)).toBe(900);
    // more than any zero moves (56 mA)
    expect([keyOff([-0.055, 900], PARKED), keyOff([-0.058, 900], PARKED)]).toEqual([null, 900]);
    expect([keyOff(PARKED), keyOff([-5, 900]), keyOff(PARKED, [-5, 100], [0.05, 300])]).toEqual([null, null, null]);
  });

  it('is the last end up to which it had flowed for the greater part of the time', () => {
    expect([keyOff([-5, 100], [0.05, 200], [-5, 100], PARKED), keyOff([-5, 100], [0.05, 201], [-5, 100], PARKED)]).toEqual([400, 100]);
    expect(keyOff([-5, 100], [0.02, 150], [-5, 100], PARKED, [-5, 100], PARKED)).toBe(350);
  });

  it('is after the dusk: rising levels below nine tenths of the one that then lasts longest', () => {
    expect(keyOff([-0.5, 900], [0.005, 100], [0.0449, 100], PARKED)).toBe(1100);
    expect(keyOff([-0.5, 900], [0.005, 100], [0.0451, 100], PARKED)).toBe(1000);
    expect(keyOff([-0.5, 900], [0.02, 100], PARKED, [0.02, 500])).toBe(1000);
    expect(keyOff([-0.5, 5000], [0.005, 100], PARKED)).toBe(5100);
    // the longest itself is no dusk, nor what follows it
    expect(keyOff([-0.5, 900], [-0.002, 3000], [0.03, 100])).toBe(900);
  });

  it('needs more than a second after it', () => {
    expect([keyOff([-5, 900], [0.05, 1]), keyOff([-5, 900], [0.05, 2])]).toEqual([null, 900]);
  });
});

describe('key-off by the volts', () => {
  const fell = (volt: readonly (readonly [number, number])[], levels: readonly Drawn[] = [[0.05, 4000]]): number | null => findKeyOff(drawn(levels, { voltage: volts(volt) }));

  it('is where they leave what a battery on charge shows, at once (13.2 V, by 0.4 V; two batteries twice as much)', () => {
    expect(fell([[13.5, 600], [12.7, 3400]])).toBe(600);
    expect([fell([[13.25, 600], [12.86, 3400]]), fell([[13.25, 600], [12.84, 3400]]), fell([[13.19, 600], [12.7, 3400]]), fell([[13.2, 600], [12.7, 3400]])]).toEqual([null, 600, null, 600]);
    expect([fell([[14.5, 600], [13.3, 3400]]), fell([[27, 600], [26.3, 3400]]), fell([[27.2, 600], [26.3, 3400]]), fell([[27.5, 600], [26.5, 3400]]), fell([[26.3, 600], [25.4, 3400]])]).toEqual([null, null, 600, null, null]);
  });

  it('is seen across the second in which they fall, and the last of several', () => {
    expect(fell([[13.5, 600], [13.3, 1], [12.7, 3399]])).toBe(601);
    expect(fell([[13.5, 600], [13.15, 1], [12.7, 3399]])).toBe(600);
    expect(fell([[13.5, 600], [12.7, 300], [13.5, 300], [12.7, 2800]])).toBe(1200);
    // too slow to be the end of a charge
    expect(fell([[13.5, 600], [13.3, 60], [13.1, 60], [12.9, 60], [12.7, 3220]])).toBeNull();
  });

  it('is put where the current changes, if that is within two seconds of it: the nearest change', () => {
    const at = (...ends: number[]): number | null => fell([[13.5, 600], [12.7, 3400]], [...ends, 4000].map((endS, i) => [1 - 0.1 * i, endS - (ends[i - 1] ?? 0)]));
    expect([at(602), at(603), at(598), at(597)]).toEqual([602, 600, 598, 600]);
    expect([at(599, 602), at(598, 601), at(598, 602), at(500, 1000)]).toEqual([599, 601, 598, 600]);
    // means of four seconds each
    const wide = { widthS: 4, startS: Float64Array.from({ length: 1000 }, (_, i) => 4 * i), meanV: Float64Array.from({ length: 1000 }, (_, i) => (i < 150 ? 13.5 : 12.7)) };
    expect([607, 609].map((endS) => findKeyOff(drawn([[1, endS], [0.5, 4000 - endS]], { voltage: wide })))).toEqual([607, 600]);
    // the end of the recording is no change, nor is anything one without a fall of the volts
    expect([fell([[13.5, 3998], [12.7, 2]]), fell([[12.7, 4000]], [[0.06, 1], [0.05, 3999]])]).toEqual([3998, null]);
  });

  it('is the later of what volts and current show', () => {
    expect(findKeyOff(drawn([[-5, 900], PARKED], { voltage: volts([[13.5, 1200], [12.7, 2700]]) }))).toBe(1200);
    expect(findKeyOff(drawn([[-5, 900], PARKED], { voltage: volts([[13.5, 300], [12.7, 3600]]) }))).toBe(900);
  });
});

describe('key-off after an ignition that was on', () => {
  it('is the end of a level of 3.5 A and more that held for half a minute, where something else still goes off after it', () => {
    expect(keyOff([6, 120], LAMP, PARKED)).toBe(120);
    expect([keyOff([3.49, 120], LAMP, PARKED), keyOff([3.5, 120], LAMP, PARKED)]).toEqual([null, 120]);
    expect([keyOff([6, 29], LAMP, PARKED), keyOff([6, 30], LAMP, PARKED)]).toEqual([null, 30]);
    expect([keyOff([6, 120], PARKED), keyOff([6, 120])]).toEqual([null, null]);
    expect([keyOff([6, 120], [0.1, 60], PARKED), keyOff([6, 120], [0.101, 60], PARKED)]).toEqual([null, 120]);
  });

  it('is far above all that follows, none of which is half as much', () => {
    expect([keyOff([6, 120], [2.99, 60], PARKED), keyOff([6, 120], [3, 60], PARKED), keyOff([6, 120], LAMP, [3.1, 60], PARKED)]).toEqual([120, null, null]);
    // 3.9 A are an ignition too, but not beside 8 A
    expect(keyOff([8, 60], [3.9, 60], PARKED)).toBe(60);
  });

  it('is of one level, within a tenth, that does not only fall as loads do that go off one by one', () => {
    expect([keyOff([6, 60], [6.59, 60], LAMP, PARKED), keyOff([6, 60], [6.61, 60], LAMP, PARKED)]).toEqual([120, null]);
    expect([keyOff([6.5, 60], [6.2, 60], LAMP, PARKED), keyOff([6.2, 60], [6, 60], [6.3, 60], LAMP, PARKED), keyOff([6, 60], [6, 60], LAMP, PARKED)]).toEqual([null, 180, 120]);
  });

  it('has its switch-on left out, which is over within four seconds', () => {
    expect([keyOff([11, 4], [6, 120], LAMP, PARKED), keyOff([11, 5], [6, 120], LAMP, PARKED), keyOff([20, 3], LAMP, PARKED)]).toEqual([124, null, null]);
  });

  it('is none where amperes go on for ten minutes after it: what ended may be a part of a load of the parked vehicle', () => {
    expect([keyOff([6, 120], [2, 600], PARKED), keyOff([6, 120], [2, 601], PARKED), keyOff([6, 120], [1.75, 700], PARKED)]).toEqual([120, null, 120]);
    expect(keyOff([6, 120], [2, 400], LAMP, [2, 201], PARKED)).toBeNull();
  });
});

describe('the readings from a moment on', () => {
  const from = (atS: number): unknown => readingsFrom(drawn([[1, 100], [2, 100]], {}, 50), atS).segments.map(({ startS, endS, startBlock, endBlock }) => [startS, endS, startBlock, endBlock]);

  it('begin with the blocks that lie behind it whole', () => {
    expect(readingsFrom(drawn([[1, 100]], {}, 50), 60).firstS).toBe(60);
    expect(from(100)).toEqual([[100, 150, 50, 100], [150, 250, 100, 200]]);
    expect(from(100.5)).toEqual([[100.5, 150, 51, 100], [150, 250, 100, 200]]);
    expect(from(150)).toEqual([[150, 250, 100, 200]]);
    // a level that is cut to less than a block keeps its last one
    expect(from(249.5)).toEqual([[249.5, 250, 199, 200]]);
  });
});
