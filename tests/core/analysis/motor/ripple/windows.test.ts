import { describe, expect, it } from 'vitest';
import { viewRipple } from '../../../../../src/core/analysis/motor/ripple/angle-resampling.ts';
import { aliasVerdict } from '../../../../../src/core/analysis/motor/ripple/alias-test.ts';
import { chooseRipple, type Line } from '../../../../../src/core/analysis/motor/ripple/ripple-line.ts';
import { byOrder } from '../../../../../src/core/analysis/motor/ripple/ripple-order.ts';
import { rippleWindows } from '../../../../../src/core/analysis/motor/ripple/ripple-windows.ts';
import { findRotationRate } from '../../../../../src/core/analysis/motor/ripple/rotation-rate.ts';
import { isSuppliesOwn } from '../../../../../src/core/analysis/motor/ripple/supply-ripple.ts';
import { commonSteepness, isUneven } from '../../../../../src/core/analysis/motor/ripple/steepness.ts';
import { speedCourse } from '../../../../../src/core/analysis/motor/ripple/speed-course.ts';
import { floorAt, floorsOf } from '../../../../../src/core/analysis/motor/ripple/surroundings.ts';
import { strongestBin } from '../../../../../src/core/analysis/motor/signal/spectrum.ts';
import { noise } from '../traces.ts';
import { pressOf, readBy, sampledAt } from './columns.ts';

const line = (at: number, power: number): Line => ({ bin: Math.round(at), at, power });

describe('the windows of a run', () => {
  const sine = (count: number): Float32Array => Float32Array.from({ length: count }, (_value, i) => Math.sin((2 * Math.PI * 125 * i) / 1000));
  it('are of the power of two nearest to 0.2 s, half over each other, from end to end', () => {
    // 200 readings: 256; 2 x 1000/256 less one: 6 windows over 744 readings
    const { length, starts, spectra, total, binHz, lowestBin } = rippleWindows(sine(1100), 50, 1050, 1000)!;
    expect([length, starts, spectra.length, binHz]).toEqual([256, [0, 149, 298, 446, 595, 744], 6, 3.90625]);
    // slower than half of 8 turns of six: 24 Hz
    expect(lowestBin).toBe(7);
    // 125 Hz are bin 32, in each of them
    for (const power of [...spectra, total]) expect(strongestBin(power, 2, 127)).toBe(32);
    expect(total[32]).toBeCloseTo(spectra.reduce((sum, power) => sum + power[32]!, 0), 6);
  });

  it('are at the least one, in odd numbers too, and none in fewer than 32 readings', () => {
    for (const [count, windows] of [[300, 1], [400, 2], [550, 3]] as const) {
      const found = rippleWindows(sine(count), 0, count, 1000)!;
      expect([found.starts.length, found.starts[0], found.starts.every(Number.isInteger)]).toEqual([windows, 0, true]);
      for (const power of found.spectra) expect(strongestBin(power, 2, 127)).toBe(32);
    }
    expect([rippleWindows(sine(100), 0, 31, 1000), rippleWindows(sine(100), 0, 33, 1000)?.length]).toEqual([null, 32]);
    // a slow logger's are no shorter than 64
    expect(rippleWindows(sine(1000), 0, 1000, 100)?.length).toBe(64);
  });

  it('are none of a run too short for a usual current, nor of one without a run', () => {
    const values = sine(5000);
    const view = (running: { startIndex: number; endIndex: number }[]) => viewRipple(pressOf(0, 5000), running, { baseline: readBy(values), sampling: sampledAt(5000, 5000) }, () => null);
    // 80 of the 100 readings of a mains period
    expect([view([]), view([{ startIndex: 0, endIndex: 80 }])]).toEqual([null, null]);
    expect(view([{ startIndex: 0, endIndex: 120 }])).not.toBeNull();
  });
});

describe('the surroundings of a bin', () => {
  it('are the median of 24 on either side, without the level', () => {
    const power = Float64Array.from({ length: 200 }, (_value, k) => k);
    expect([floorAt(power, 100), floorAt(power, 1), floorAt(power, 199)]).toEqual([100, 13, 187]);
    // 25 values of which 13 are strong: the lines fill most of it
    expect(floorAt(Float64Array.from({ length: 200 }, (_value, k) => (k >= 90 && k < 113 ? 9 : 1)), 100)).toBe(1);
    expect(floorAt(Float64Array.from({ length: 200 }, (_value, k) => (k >= 88 && k < 113 ? 9 : 1)), 100)).toBe(9);
  });

  it('are worked out anew every six bins, and never nothing', () => {
    const floors = floorsOf(Float64Array.from({ length: 200 }, (_value, k) => k));
    expect([...floors.subarray(96, 103)]).toEqual([96, 96, 96, 96, 96, 96, 102]);
    expect(floors[199]).toBeGreaterThan(0);
    expect(Math.min(...floorsOf(new Float64Array(50)))).toBeGreaterThan(0);
    // 2^-52 of the strongest
    expect(floorsOf(Float64Array.from({ length: 200 }, (_value, k) => (k === 100 ? 1 : 0)))[100]).toBe(2 ** -52);
  });
});

describe('the ripple among lines, with the ripples a turn typed in', () => {
  it('is the strongest of those that lie at that multiple of a low line', () => {
    expect(chooseRipple([line(8, 10), line(9.5, 8), line(80, 4), line(95, 6)], 10, 4)?.at).toBe(95);
    expect(chooseRipple([line(8, 10), line(9.5, 8), line(80, 6), line(95, 4)], 10, 4)?.at).toBe(80);
  });

  it('is else the strongest fast enough that is no low multiple of a stronger one', () => {
    // 80 Hz are 8 turns of ten: bin 16; 30 is the third of 10, 47 no whole one
    expect(chooseRipple([line(10, 10), line(30, 5), line(47, 3)], 10, 5)?.at).toBe(47);
    expect(chooseRipple([line(10, 10), line(30, 5)], 10, 5)).toBeNull();
    // of two that are, the stronger, whichever comes first; the ninth is no low multiple
    expect([chooseRipple([line(10, 10), line(47, 3), line(57, 4)], 10, 5)?.at, chooseRipple([line(10, 10), line(47, 4), line(57, 3)], 10, 5)?.at, chooseRipple([line(10, 10), line(86, 3)], 20, 5)?.at]).toEqual([57, 47, 86]);
    expect(chooseRipple([line(15.9, 10)], 10, 5)).toBeNull();
    expect(chooseRipple([line(16.1, 10)], 10, 5)?.at).toBe(16.1);
  });
});

describe('a line by its order', () => {
  const turn = { hz: 40, uncertaintyHz: 0.02 };
  // 5 Hz a bin: 8 bins a turn
  const ofOrder = (order: number, power: number): Line => line(8 * order, power);
  it('of four or less is the rotor\'s, from five on it may be the segments\' of twice as many commutations', () => {
    const [fourth, eighth, fifth, tenth] = [ofOrder(4, 10), ofOrder(8, 9), ofOrder(5, 10), ofOrder(10, 9)];
    expect(byOrder(fourth, [fourth, eighth], turn, 5, 8)).toBe(fourth);
    expect(byOrder(fifth, [fifth, tenth], turn, 5, undefined)).toBe(tenth);
    // an even number is one of commutations, unless twice of it was typed in
    const [sixth, twelfth] = [ofOrder(6, 10), ofOrder(12, 9)];
    expect([byOrder(sixth, [sixth, twelfth], turn, 5, undefined), byOrder(sixth, [sixth, twelfth], turn, 5, 12)]).toEqual([sixth, twelfth]);
  });
});

describe('a line of the supply in the idle clamp', () => {
  // ln(3/0.001)/ln 2 = 11.55 times the surroundings are clear among three bins
  const own = (idlePower: number, bin = 30) => {
    const idle = Float64Array.from({ length: 129 }, (_value, k) => (k === 30 ? idlePower : 1));
    return isSuppliesOwn(bin, 256, 0.01, { baseline: readBy(new Float32Array(0), new Int32Array(0), 5), idleOf: () => idle, highestA: 40 });
  };
  it('is one that stands clear of its surroundings by what noise makes of three bins', () => {
    expect([own(11.4), own(11.7), own(11.7, 29), own(11.7, 31), own(11.7, 32)]).toEqual([false, true, true, true, false]);
  });
});

describe('the rate of rotation of a fast logger', () => {
  const RATE_HZ = 5000;
  const read = (hz: number, amplitudeA: number) => {
    const hiss = noise(0.01, 8);
    return findRotationRate(Float32Array.from({ length: 20_000 }, (_value, i) => 4 + amplitudeA * Math.sin((2 * Math.PI * hz * i) / RATE_HZ) + hiss()), 0, 20_000, RATE_HZ);
  };
  it('is read from means of some readings', () => {
    expect(read(47, 0.05)?.hz).toBeCloseTo(47, 1);
  });

  it('is none where those means only fold a faster line to its place', () => {
    // means of nine readings, 555.56 a second: 602.56 Hz are seen at 47
    expect(read(RATE_HZ / 9 + 47, 1)).toBeNull();
  });
});

describe('whether a line is folded, by a press in the midst of a trace', () => {
  const RATE_HZ = 1000;
  const IDLE = 700;
  const verdict = (lineHz: number, { sign = 1 as 1 | -1, holes = [] as number[] } = {}) => {
    let turned = 0;
    const values = Float32Array.from({ length: IDLE + 4 * RATE_HZ }, (_value, i) => {
      if (i < IDLE) return 0;
      const loadA = 4 + 1.5 * Math.sin((2 * Math.PI * i) / RATE_HZ);
      turned += (lineHz * (1 - (loadA - 4) / 10)) / RATE_HZ;
      return sign * (loadA + 0.2 * Math.sin(2 * Math.PI * turned));
    });
    const sampling = { ...sampledAt(RATE_HZ, values.length), holes: Int32Array.from(holes) };
    return aliasVerdict([{ press: pressOf(IDLE, values.length, sign), usualA: 4, usualHz: 300 }], 14, { baseline: readBy(values), sampling });
  };
  it('is the same as in one that begins with it, either way round', () => {
    expect([verdict(300), verdict(700), verdict(300, { sign: -1 }), verdict(700, { sign: -1 })]).toEqual(['genuine', 'alias', 'genuine', 'alias']);
  });

  it('is open where every stretch misses readings', () => {
    // windows of 0.4 s, half over each other: a hole each 0.15 s lies in all of them
    expect(verdict(300, { holes: Array.from({ length: 26 }, (_value, h) => IDLE + 100 + 150 * h) })).toBe('open');
    // before and behind the press they are nothing to it
    expect(verdict(300, { holes: [100, IDLE] })).toBe('genuine');
  });
});

describe('how steeply the speed falls', () => {
  const RATE_HZ = 2000;
  /** 300 Hz at 4 A; the load waves by 1.5 A, and the speed falls to nothing at so many ampere. */
  const steepnessOf = (standingA: number, waveA = 1.5): number => {
    const hiss = noise(0.01, 7);
    let turned = 0;
    const values = Float32Array.from({ length: 3 * RATE_HZ }, (_value, i) => {
      const loadA = 4 + waveA * Math.sin((2 * Math.PI * i) / RATE_HZ);
      turned += (300 * (1 - (loadA - 4) / (standingA - 4))) / RATE_HZ;
      return loadA + 0.15 * Math.sin(2 * Math.PI * turned) + hiss();
    });
    const readings = { baseline: readBy(values), sampling: sampledAt(RATE_HZ, values.length) };
    const range = { startIndex: 0, endIndex: values.length };
    const windows = rippleWindows(values, 0, values.length, RATE_HZ)!;
    const course = speedCourse({ press: pressOf(0, values.length), range, usualA: 4, highestA: 14, blockS: 0.04 }, readings);
    expect(isUneven({ windows, course })).toBe(waveA > 0);
    return commonSteepness([{ windows, course, idleBins: null, floors: floorsOf(windows.total) }]);
  };
  it('is what makes the line narrowest: (14 - 4)/(standing - 4) of the highest current seen, beside what is expected', () => {
    expect(Math.abs(steepnessOf(14) - 1)).toBeLessThan(0.16);
    // 0.5 at 24 A, drawn towards the 0.9 that is expected by a motor alone
    expect(steepnessOf(24)).toBeGreaterThan(0.4);
    expect(steepnessOf(24)).toBeLessThan(0.85);
  });

  it('is what a motor is like where the current does not change, and no course has none', () => {
    expect(steepnessOf(24, 0)).toBe(0.9);
    expect(isUneven({ windows: rippleWindows(new Float32Array(600), 0, 600, 1000)!, course: null })).toBe(false);
  });
});
