import { describe, expect, it } from 'vitest';
import { cutOutAfter, feedUp, feedVoltage, placeOfLead } from '../../../../../src/core/analysis/motor/sensor/feed-voltage.ts';

const volts = (count: number, at: (i: number) => number): Float32Array => Float32Array.from({ length: count }, (_value, i) => at(i));

describe('the place of the voltage lead', () => {
  /** 400 readings, the first hundred of them without current. */
  const place = (idleV: number, onV: number) => placeOfLead(volts(400, (i) => (i < 100 ? idleV : onV)), Int32Array.of(0, 100));

  it('is the battery where its volts stay, those of a running vehicle at the least (9 V, ISO 16750-2)', () => {
    expect(place(12.6, 12)).toEqual({ place: 'battery', idleV: expect.closeTo(12.6, 5), topV: expect.closeTo(12.6, 5), isEvidence: true });
    expect([place(9, 9), place(8.9, 8.9)].map(({ place: at, isEvidence }) => [at, isEvidence])).toEqual([['battery', true], [null, false]]);
  });

  it('is the motor where less than a quarter of them is left between presses, whichever way round the lead sits', () => {
    expect([place(2.9, 12), place(3, 12), place(-2.9, -12), place(0, 3)].map(({ place: at }) => at)).toEqual(['motor', 'battery', 'motor', 'motor']);
    expect(place(-2.9, -12)).toMatchObject({ idleV: expect.closeTo(2.9, 5), topV: 12, isEvidence: true });
  });

  it('is not known without volts, with fewer than 3 V, or without an idle moment', () => {
    expect([placeOfLead(null, Int32Array.of(0, 100)), placeOfLead(new Float32Array(0), Int32Array.of())]).toEqual([1, 2].map(() => ({ place: null, idleV: null, topV: 0, isEvidence: false })));
    expect(place(0.5, 2.9)).toMatchObject({ place: null, idleV: 0.5, isEvidence: false });
    expect(placeOfLead(volts(400, () => 12), new Int32Array(0))).toEqual({ place: null, idleV: null, topV: 12, isEvidence: true });
  });

  it('is told by the lowest tenth of twenty pieces of each idle stretch, and by the volts that one in a hundred passes', () => {
    // pieces of five readings
    const some = (low: number) => placeOfLead(volts(400, (i) => (i < 5 * low ? 0 : 12)), Int32Array.of(0, 100)).place;
    expect([some(1), some(3)]).toEqual(['battery', 'motor']);
    // two stretches, the second of which is a feed that was switched off
    expect(placeOfLead(volts(400, (i) => (i >= 200 ? 0 : 12)), Int32Array.of(0, 100, 300, 400)).place).toBe('motor');
    const top = (high: number) => placeOfLead(volts(401, (i) => (i >= 401 - high ? 14 : 12)), Int32Array.of(0, 100)).topV;
    expect([top(4), top(5)]).toEqual([12, 14]);
    // nineteen readings are pieces of one: the median of each is itself
    expect(placeOfLead(volts(400, (i) => (i < 2 ? 0 : 12)), Int32Array.of(0, 11)).place).toBe('motor');
  });
});

describe('the feed of the motor', () => {
  const pressed = () => feedVoltage(volts(100, (i) => (i >= 20 && i < 60 ? -12 : i >= 60 && i < 70 ? -5.9 : 0)), 12);

  it('has the median of a stretch, without its sign', () => {
    const feed = pressed();
    expect([feed.onV, feed.levelBetween(20, 60), feed.levelBetween(10, 20), feed.levelBetween(30, 30)]).toEqual([12, 12, 0, null]);
    expect([feed.levelBetween(15, 24), feed.levelBetween(16, 25)]).toEqual([0, 12]);
  });

  it('was held through a stretch whose middle half has more than three quarters of its volts', () => {
    const feed = pressed();
    expect([feed.heldThrough(25, 29), feed.heldThrough(25, 30), feed.heldThrough(60, 70)]).toEqual([null, true, false]);
    // the middle half of these twenty are ten readings
    expect([feed.heldThrough(11, 31), feed.heldThrough(10, 30), feed.heldThrough(8, 28)]).toEqual([true, false, false]);
    const at = (levelV: number) => feedVoltage(volts(20, () => levelV), 12).heldThrough(0, 20);
    expect([at(9), at(9.1)]).toEqual([false, true]);
  });

  it('is up until it is down for good, in the second half of a stretch', () => {
    const feed = pressed();
    expect([feed.upUntil(20, 80), feed.upUntil(20, 60), feed.upUntil(30, 95)]).toEqual([60, 60, 95]);
    // half of its volts are up
    const half = feedVoltage(volts(20, (i) => (i < 15 ? 6 : 5.9)), 12);
    expect([half.upUntil(0, 20), half.upUntil(10, 20), half.upUntil(11, 20)]).toEqual([15, 20, 20]);
  });

  it('is up above half of its volts, for so many readings at the least', () => {
    const upAt = (values: readonly number[], shortest = 2) => feedUp(Float32Array.from(values), 12, shortest).map(({ startIndex, endIndex }) => [startIndex, endIndex]);
    expect(upAt([0, 7, -7, 0, 12, 0, 6, 6, 0])).toEqual([[1, 3]]);
    expect(upAt([12, 12, 0, 12, 12, 12])).toEqual([[0, 2], [3, 6]]);
    expect([upAt([12, 12, 0, 12, 12, 12], 3), upAt([12, 12], 3), upAt([])]).toEqual([[[3, 6]], [], []]);
  });
});

describe('a cut-out that opened', () => {
  /** A reading a millisecond: a stall of 10 A from 100 to 500, and then these volts and amperes from the time on that a clamp takes to follow, 50 ms. */
  const opened = (afterV: number, afterA: number, { stallV = -11, count = 900, from = 100 } = {}): boolean =>
    cutOutAfter({ startIndex: from, endIndex: 500 }, volts(count, (i) => (i < 500 ? stallV : afterV)), volts(count, (i) => (i < 500 ? 10 : i < 550 ? 5 : afterA)), 1000);

  it('takes the current although the feed stays up', () => {
    expect([opened(-12, 0), opened(0, 0), opened(-12, 8)]).toEqual([true, false, false]);
  });

  it('leaves less than a tenth of the current, and three quarters of the volts, 3 V at the least', () => {
    expect([opened(12, 0.9), opened(12, 1), opened(12, -1.1), opened(-8.3, 0), opened(-8.2, 0)]).toEqual([true, false, false, true, false]);
    expect([opened(3.1, 0, { stallV: 2 }), opened(3, 0, { stallV: 2 })]).toEqual([true, false]);
  });

  it('is seen in 0.2 s after that, five readings at the least, of a stall of as many', () => {
    expect([opened(12, 0, { count: 555 }), opened(12, 0, { count: 554 }), opened(12, 0, { from: 495 }), opened(12, 0, { from: 496 })]).toEqual([true, false, true, false]);
    // what comes later is another press
    const later = (pressed: number): boolean => cutOutAfter({ startIndex: 100, endIndex: 500 }, volts(900, () => 12), volts(900, (i) => (i < 500 ? 10 : i >= pressed ? 10 : 0)), 1000);
    expect([later(651), later(649)]).toEqual([true, false]);
  });
});
