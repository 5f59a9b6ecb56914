import { describe, expect, it } from 'vitest';
import { HostTie } from '../../../src/core/decode/host-tie.ts';
import { isMeasurable, leastLate, measurePeriod, sincePause } from '../../../src/core/decode/pace.ts';

/** `count` arrivals `stepS` apart, the first at `fromS`. Steps that are powers of two keep the sums exact. */
const even = (count: number, stepS: number, fromS = 0): number[] => Array.from({ length: count }, (_, i) => fromS + i * stepS);

describe('the pace of lines that carry no time', () => {
  it('can be measured after a second with eight lines, or three seconds with three', () => {
    expect(isMeasurable([0, 0, 0, 0, 0, 0, 0, 1])).toBe(true);
    expect(isMeasurable([0, 0, 0, 0, 0, 0, 0, 0.999])).toBe(false);
    expect(isMeasurable([0, 0, 0, 0, 0, 0, 1])).toBe(false);
    expect(isMeasurable([10, 11, 13])).toBe(true);
    expect(isMeasurable([10, 11, 12.999])).toBe(false);
    expect(isMeasurable([10, 13])).toBe(false);
    expect(isMeasurable([5])).toBe(false);
  });

  it('is an even grid\'s step', () => {
    expect(measurePeriod(even(3, 2))).toBe(2);
    expect(measurePeriod(even(100, 0.125, 40))).toBe(0.125);
    expect(measurePeriod([3, 4])).toBe(1);
  });

  it('is that of the lines that came least late, first quarter to last', () => {
    // 16 lines a second apart; half a second late all but the third of the first quarter after the first fifth, and the last but one
    const sent = even(16, 1);
    const early = new Set([5, 14]);
    const arrivals = sent.map((atS, i) => atS + (early.has(i) ? 0 : 0.5));
    expect(measurePeriod(arrivals)).toBe(1);
    // bunches of four: the last of each bunch is the least late
    const bunched = even(64, 0.25).map((_, i) => Math.ceil((i + 1) / 4));
    expect(measurePeriod(bunched)).toBe(0.25);
  });

  it('leaves out what had been stored before the opening: the first fifth of the time, of 16 lines or more', () => {
    const stored = [...Array<number>(8).fill(0), ...even(40, 0.25)];
    expect(measurePeriod(stored)).toBeCloseTo(0.25, 12);
    // of 15 lines nothing is left out: from the last of the first quarter's three stored ones (third line) to the last line, 12 steps of the grid
    const few = [0, 0, 0, ...even(12, 1, 1)];
    expect(measurePeriod(few)).toBe(1);
    // where all but the last came in the first fifth, the step to the last is what there is
    expect(measurePeriod([...even(15, 1 / 64), 100])).toBe(100 - 14 / 64);
  });

  it('is measured from the very end of the first fifth on', () => {
    // half a second apart from 0 to 10 s; all a quarter of a second late but the first, the last and the fifth, which comes at 2 s
    const arrivals = even(21, 0.5).map((sentS, i) => sentS + ([0, 4, 20].includes(i) ? 0 : 0.25));
    expect(measurePeriod(arrivals)).toBe(0.5);
  });

  it('of lines that all came at once is bounded from below, not nought', () => {
    expect(measurePeriod([7, 7, 7, 7])).toBe(1e-7);
    expect(measurePeriod(Array<number>(40).fill(7))).toBe(1e-7);
  });

  it('takes of equally late lines the first', () => {
    expect(leastLate([0, 1, 2, 3], 0, 4, 1)).toBe(0);
    expect(leastLate([0.5, 1, 2, 3], 0, 4, 1)).toBe(1);
    expect(leastLate([0, 1.5, 2.25, 3.5], 1, 4, 1)).toBe(2);
    expect(leastLate([9, 9, 2], 0, 2, 1)).toBe(1);
  });

  it('ends at a pause of a quarter of a second and 20 usual steps, and knows how long lines came', () => {
    // usual step 1/32 s: 20 of them are 0.625 s
    const before = even(9, 1 / 32);
    const after = (pauseS: number): number[] => even(4, 1 / 32, before.at(-1)! + pauseS);
    expect(sincePause([...before, ...after(0.625)])).toEqual({ startIndex: 0, busyS: 11 / 32 + 0.625 });
    expect(sincePause([...before, ...after(0.65625)])).toEqual({ startIndex: 9, busyS: 11 / 32 });
    // usual step 1/128 s: a quarter of a second is more than 20 of them
    const fast = even(9, 1 / 128);
    expect(sincePause([...fast, fast.at(-1)! + 0.25]).startIndex).toBe(0);
    expect(sincePause([...fast, fast.at(-1)! + 0.265625]).startIndex).toBe(9);
    // the last pause counts
    expect(sincePause([...fast, 10, 10.0078125, 20, 20.0078125])).toEqual({ startIndex: 11, busyS: 10 / 128 });
  });

  it('takes a single step for the pace among few lines, for a pause among eight, and a minute for a pause always', () => {
    expect(sincePause([0, 5]).startIndex).toBe(0);
    expect(sincePause([0, 0, 0, 0, 0, 0, 5]).startIndex).toBe(0);
    expect(sincePause([0, 0, 0, 0, 0, 0, 0, 5]).startIndex).toBe(7);
    expect(sincePause([0, 0, 0, 0, 0, 0, 0, 0.25]).startIndex).toBe(0);
    expect(sincePause([0, 10, 70]).startIndex).toBe(0);
    expect(sincePause([0, 10, 70.5]).startIndex).toBe(2);
    expect(sincePause([3])).toEqual({ startIndex: 0, busyS: 0 });
  });
});

/** A tie that has seen counts 0, 1, 2 … at these arrivals. */
function tied(arrivals: readonly number[], options: { tolerance?: number; steerLimit?: number; anchorS?: number } = {}): HostTie {
  const { anchorS = 0, tolerance = 0.05, ...rest } = options;
  const tie = new HostTie({ slope: 1, tolerance, ...rest });
  tie.anchor(0, anchorS);
  arrivals.forEach((arrivalS, x) => tie.observe(x, arrivalS));
  return tie;
}

/** Arrivals a second apart by a clock that is 1 ms a second slow, the second one 1 ms late, the fourth 1 ms early, a sixth to close the fifth's stretch. */
const SCATTERED = [0, 1.002, 2.002, 3.002, 4.004, 5.005];

describe('the tie of a counter to the computer\'s clock', () => {
  it('is a straight line by least squares, with 1.96 standard errors', () => {
    // by hand, counts from the middle -2 -1 0 1 2, errors 0 d 0 -d 0 about a slope of 1.001, d = 0.001:
    // slope 1.001 + (-d - d)/10 = 1.0008; rest 2d² - (2d)²/10 = 1.6d²; scatter sqrt(1.6d²/3) = 0.7303d; standard error 0.7303d/sqrt(10) = 0.23094d
    const report = tied(SCATTERED).report()!;
    expect(report.driftPpm).toBeCloseTo(-800, 6);
    expect(report.driftUncertaintyPpm).toBeCloseTo(1.96 * 230.94, 2);
    // late by 0 2 2 2 4 5 ms against the untied clock: mean 2.5, mean square about it 15.5/6
    expect(report.jitterS).toBeCloseTo(Math.sqrt(15.5 / 6) * 1e-3, 9);
  });

  it('counts its drift as a part of the pace first said', () => {
    // the same lines, two counts a second: the same parts
    const tie = new HostTie({ slope: 0.5, tolerance: 0.05 });
    tie.anchor(0, 0);
    SCATTERED.forEach((arrivalS, i) => tie.observe(2 * i, arrivalS));
    expect(tie.report()!.driftPpm).toBeCloseTo(-800, 6);
    expect(tie.report()!.driftUncertaintyPpm).toBeCloseTo(1.96 * 230.94, 2);
  });

  it('steers an error of the offset out over five seconds, and jumps nowhere', () => {
    const tie = tied(SCATTERED);
    // the line at count 5: 2.002 + 3 x 1.0008 = 5.0044; the running clock said 5
    expect(tie.at(5)).toBeCloseTo(5, 12);
    expect(tie.secondsPerCount).toBeCloseTo(1.0008 * (1 + 0.0044 / 5), 9);
    expect(tie.at(7)).toBeCloseTo(5 + 2 * 1.0008 * 1.00088, 9);
  });

  it('steers by no more than it may, to either side', () => {
    expect(tied(even(6, 1), { anchorS: -1 }).secondsPerCount).toBeCloseTo(1.05, 12);
    expect(tied(even(6, 1), { anchorS: 1 }).secondsPerCount).toBeCloseTo(0.95, 12);
    expect(tied(even(6, 1), { anchorS: -1, steerLimit: 0.01 }).secondsPerCount).toBeCloseTo(1.01, 12);
    expect(tied(even(6, 1), { anchorS: -0.02 }).secondsPerCount).toBeCloseTo(1.004, 12);
  });

  it('says nothing before five stretches over two seconds', () => {
    expect(tied(even(5, 1)).report()).toBeNull();
    expect(tied(even(6, 1)).report()).not.toBeNull();
    // the same a hundred seconds on
    expect(tied(even(10, 0.25, 100), { tolerance: 0.9, anchorS: 100 }).report()).not.toBeNull();
    expect(tied(even(9, 0.25, 100), { tolerance: 0.9, anchorS: 100 }).report()).toBeNull();
    // stretches of a quarter of a second: the fifth line kept is 1 s after the first, the ninth 2 s
    expect(tied(even(9, 0.25), { tolerance: 0.9 }).report()).toBeNull();
    expect(tied(even(10, 0.25), { tolerance: 0.9 }).report()).not.toBeNull();
  });

  it('believes no slope beyond its tolerance', () => {
    for (const slope of [1.06, 0.94]) {
      const tie = tied(even(20, slope));
      expect(tie.report(), String(slope)).toBeNull();
      expect(tie.secondsPerCount).toBe(1);
    }
    expect(tied(even(20, 1.04)).report()!.driftPpm).toBeCloseTo(-40_000, 3);
    expect(tied(even(20, 0.96)).report()!.driftPpm).toBeCloseTo(40_000, 3);
  });

  it('leaves out a line that came late alone', () => {
    const late = even(12, 1).map((atS, x) => atS + (x === 6 ? 0.1 : 0));
    const report = tied(late).report()!;
    expect(report.driftPpm).toBeCloseTo(0, 6);
    expect(report.driftUncertaintyPpm).toBeCloseTo(0, 6);
  });

  it('keeps of every stretch the least late line', () => {
    // four lines in each quarter of a second, the third of each in time and the others 20 ms late
    const tie = new HostTie({ slope: 1 / 16, tolerance: 0.05 });
    tie.anchor(0, 0);
    for (let x = 0; x < 200; x += 1) tie.observe(x, x / 16 + (x % 4 === 2 ? 0 : 0.02));
    expect(tie.report()!.driftUncertaintyPpm).toBeCloseTo(0, 3);
    expect(tie.report()!.driftPpm).toBeCloseTo(0, 3);
  });

  it('starts a new line at a new anchor, with the rate it has learnt', () => {
    const tie = tied(even(20, 1.001));
    tie.anchor(100, 500);
    expect(tie.at(100)).toBe(500);
    expect(tie.secondsPerCount).toBeCloseTo(1.001, 12);
    for (let x = 100; x < 105; x += 1) tie.observe(x, 500 + (x - 100) * 0.999);
    expect(tie.report()!.driftPpm).toBeCloseTo(-1000, 6);
    tie.observe(105, 500 + 5 * 0.999);
    expect(tie.report()!.driftPpm).toBeCloseTo(1000, 6);
  });

  it('when its memory is full keeps the less late of two stretches', () => {
    // every second line 10 ms late: half of 120 stretches are, and no pass can leave out so many; of 60 pairs none
    const arrivals = (late: number): number[] => even(140, 0.5).map((atS, x) => atS + (x % 2 === late ? 0.01 : 0));
    for (const late of [0, 1]) {
      const full = new HostTie({ slope: 0.5, tolerance: 0.05 });
      full.anchor(0, 0);
      const uncertainties: number[] = [];
      for (const [x, arrivalS] of arrivals(late).entries()) {
        full.observe(x, arrivalS);
        uncertainties.push(full.report()?.driftUncertaintyPpm ?? Infinity);
      }
      // lines 0 to 119 are kept when line 120 comes; line 121 closes the stretch that finds the memory full
      expect(uncertainties[120]).toBeGreaterThan(10);
      expect(uncertainties[121]).toBeLessThan(1);
    }
  });

  it('looks back a quarter of an hour, not further', () => {
    // a warming resonator: 500 ppm from a moment on; 120 stretches of 8 s later the old rate is forgotten
    const tie = new HostTie({ slope: 8, tolerance: 0.05 });
    tie.anchor(0, 0);
    let arrivalS = 0;
    let turnedAt = 0;
    for (let x = 0; x < 900; x += 1) {
      tie.observe(x, arrivalS);
      if (x >= 600 && turnedAt === 0) turnedAt = x;
      arrivalS += x >= 600 ? 8 * 1.0005 : 8;
    }
    expect(turnedAt).toBe(600);
    expect(tie.report()!.driftPpm).toBeCloseTo(-500, 3);
  });

  it('forgets the lateness of more than a thousand lines ago', () => {
    const tie = new HostTie({ slope: 1, tolerance: 0.05 });
    tie.anchor(0, 0);
    for (let x = 0; x < 500; x += 1) tie.observe(x, x + (x % 2 === 0 ? 0 : 0.01));
    // half of them in time, half 10 ms late: 5 ms about their mean
    expect(tie.report()!.jitterS).toBeCloseTo(0.005, 3);
    for (let x = 500; x < 9000; x += 1) tie.observe(x, x);
    expect(tie.report()!.jitterS).toBeLessThan(0.0002);
  });
});
