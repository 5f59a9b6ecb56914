import { describe, expect, it } from 'vitest';
import { atEvenSpeed, levelAt, meanShare, shareAt, speedCourse, usualCurrent } from '../../../../../src/core/analysis/motor/ripple/speed-course.ts';
import { findRotationRate } from '../../../../../src/core/analysis/motor/ripple/rotation-rate.ts';
import { noise } from '../traces.ts';
import { pressOf, readBy, sampledAt } from './columns.ts';

const RATE_HZ = 1000;

function courseOf(values: Float32Array, usualA: number, highestA: number, sign: 1 | -1 = 1) {
  const range = { startIndex: 0, endIndex: values.length };
  return speedCourse({ press: pressOf(0, values.length, sign), range, usualA, highestA, blockS: 0.1 }, { baseline: readBy(values), sampling: sampledAt(RATE_HZ, values.length) });
}

const steps = (...levels: number[]): Float32Array => Float32Array.from(levels.flatMap((levelA) => Array.from({ length: 100 }, () => levelA)));

describe('the speed of a run, by its current', () => {
  // v = R i + k w: at 4 A usual and 14 A standing, 9 A are half way: load 0.5, speed 0.5 at a steepness of 1, 0.55 at 0.9
  it('falls in a straight line from the usual current to the highest', () => {
    const course = courseOf(steps(4, 9, 9, 4), 4, 14);
    expect(course?.load.map((load) => Math.round(load * 100) / 100)).toEqual(Float64Array.of(0, 0.5, 0.5, 0));
    if (course === null) return;
    expect(shareAt(course, 1, 200)).toBeCloseTo(0.5, 6);
    expect(shareAt(course, 0.9, 200)).toBeCloseTo(0.55, 6);
    expect(levelAt(course, 200)).toBeCloseTo(9, 6);
    // between the middles of two blocks it is on the line between them
    expect(shareAt(course, 1, 100)).toBeCloseTo(0.75, 6);
    expect(meanShare(course, 1, 100, 300)).toBeCloseTo((0.625 + 0.5 * 2 + 0.625) / 4, 2);
  });

  it('takes what is left at the end to the last block, and has a mean however short the stretch', () => {
    // 100 readings at 4 A, then 50 at 4 A and 100 at 9 A: 7.33 A, a third of the way to 14 A
    const course = courseOf(Float32Array.from({ length: 250 }, (_value, i) => (i < 150 ? 4 : 9)), 4, 14);
    expect(course?.load.length).toBe(2);
    expect(course?.load[1]).toBeCloseTo(1 / 3, 6);
    if (course === null) return;
    // half way from the middle of the one to that of the other, at reading 100
    expect(meanShare(course, 1, 99, 101)).toBeCloseTo(1 - 1 / 6, 6);
  });

  it('is never less than a quarter, on the way to a stop', () => {
    const course = courseOf(steps(4, 14), 4, 14);
    expect(course === null ? 0 : shareAt(course, 1, 199)).toBe(0.25);
  });

  it('is not reported where the highest current is hardly more than the usual one: a twentieth of it', () => {
    expect(courseOf(steps(4), 4, 4.2)).toBeNull();
    expect(courseOf(steps(4), 4, 4.22)).not.toBeNull();
  });

  it('is the same for the other direction', () => {
    const [one, other] = [courseOf(steps(4, 9), 4, 14), courseOf(steps(-4, -9), 4, 14, -1)];
    expect(other?.load).toEqual(one?.load);
  });
});

describe('a run read again at even speed', () => {
  it('has its ripple at one frequency again: half speed stretches it to twice the period, reading on by two undoes that', () => {
    // 100 Hz at usual speed for 1 s, 50 Hz at half speed for 1 s
    let turned = 0;
    const values = Float32Array.from({ length: 2000 }, (_value, i) => {
      turned += (i < 1000 ? 100 : 50) / RATE_HZ;
      return (i < 1000 ? 4 : 9) + Math.sin(2 * Math.PI * turned);
    });
    const course = courseOf(values, 4, 14);
    expect(course).not.toBeNull();
    if (course === null) return;
    const even = atEvenSpeed(values, course, 1);
    // 1000 readings and half as many for the slow second
    expect(Math.abs(even.length - 1500)).toBeLessThan(30);
    let crossings = 0;
    for (let i = 1101; i < 1490; i++) if ((even[i] as number) >= 9 && (even[i - 1] as number) < 9) crossings++;
    // 389 readings of 10 a period
    expect(Math.abs(crossings - 39)).toBeLessThanOrEqual(2);
  });

  it('is the run itself where the current stays', () => {
    const values = Float32Array.from({ length: 500 }, (_value, i) => 4 + 0.01 * Math.sin(i));
    const course = courseOf(values, 4, 14);
    const even = course === null ? values : atEvenSpeed(values, course, 0);
    for (let i = 2; i < 490; i++) expect(even[i]).toBeCloseTo(values[i] as number, 6);
  });
});

describe('the usual current', () => {
  it('is the median of means over one mains period: a rectified ripple has its mean 2/pi of its top, its median 0.707', () => {
    const values = Float32Array.from({ length: 2000 }, (_value, i) => 4 + Math.abs(Math.sin((Math.PI * 400.3 * i) / RATE_HZ)));
    expect(usualCurrent(pressOf(0, 2000), [{ startIndex: 0, endIndex: 2000 }], { baseline: readBy(values), sampling: sampledAt(RATE_HZ, 2000) })).toBeCloseTo(4 + 2 / Math.PI, 1);
    expect(usualCurrent(pressOf(0, 2000), [], { baseline: readBy(values), sampling: sampledAt(RATE_HZ, 2000) })).toBeNull();
  });
});

describe('the rate of rotation', () => {
  const drawn = (orders: Readonly<Record<number, number>>, turnHz = 47): Float32Array => {
    const hiss = noise(0.01, 8);
    return Float32Array.from({ length: 4096 }, (_value, i) => Object.entries(orders).reduce((sum, [order, size]) => sum + size * Math.sin((2 * Math.PI * Number(order) * turnHz * i) / RATE_HZ), 0) + hiss());
  };

  it('is that of the strongest line from 8 to 110 a second, to some hundredths of a bin', () => {
    const turn = findRotationRate(drawn({ 1: 0.1 }), 0, 4096, RATE_HZ);
    expect(Math.abs((turn?.hz ?? 0) - 47)).toBeLessThan(3 * (turn?.uncertaintyHz ?? 0));
  });

  it('is half of it where a line is there too: an uneven rotor of two poles makes its second order the stronger', () => {
    expect(findRotationRate(drawn({ 1: 0.03, 2: 0.1 }), 0, 4096, RATE_HZ)?.hz).toBeCloseTo(47, 0);
  });

  it('is none in noise, in too short a run, or where the line is too fast for a rotor', () => {
    expect(findRotationRate(drawn({}), 0, 4096, RATE_HZ)).toBeNull();
    expect(findRotationRate(drawn({ 1: 0.1 }), 0, 100, RATE_HZ)).toBeNull();
    expect(findRotationRate(drawn({ 1: 0.1 }, 130), 0, 4096, RATE_HZ)).toBeNull();
  });
});
