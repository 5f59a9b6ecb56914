import { describe, expect, it } from 'vitest';
import { belowZeroA, fedAllThrough, implausible } from '../../../../../src/core/analysis/night/key-off/plausible.ts';
import { MOST_ZERO_A, NOTABLE_A } from '../../../../../src/core/analysis/night/settings.ts';
import { HALL_ZERO_A_PER_K } from '../../../../../src/core/reference/sensors.ts';
import { drawn, type Drawn } from '../drawn.ts';

/** What makes these levels implausible; the same at another time of the clock. */
function what(...levels: Drawn[]): string | null {
  const found = implausible(drawn(levels));
  expect(implausible(drawn(levels, {}, 3000))).toEqual(found);
  return found?.what ?? null;
}
const level = (...levels: Drawn[]): unknown => {
  const said = implausible(drawn(levels));
  return said === null ? null : 'levelA' in said ? said.levelA : said.middleA;
};

describe('how far below zero a level may lie for the sensor\'s sake', () => {
  it('is twice its zero and drift in squares', () => {
    // 3 and 4 mA make 5 mA
    expect([belowZeroA(0.003, 0.004), belowZeroA(0, 0)]).toEqual([expect.closeTo(0.01, 12), 0]);
    expect(belowZeroA(undefined, 0)).toBeGreaterThan(0);
  });
});

describe('readings of no parked vehicle', () => {
  it('flow into the battery for more than half of the time, with no rest of ten minutes between', () => {
    expect([what([-0.5, 501], [0.02, 500]), what([-0.5, 500], [0.02, 500])]).toEqual(['into-battery', null]);
    expect([what([-0.5, 700], [0.02, 599]), what([-0.5, 700], [0.02, 600])]).toEqual(['into-battery', null]);
    // neighbouring levels are one rest; a charge or more than an ampere between them parts it
    expect([what([-0.5, 700], [0.02, 300], [0.9, 300]), what([-0.5, 700], [0.02, 300], [1, 300]), what([-0.5, 700], [0.02, 300], [1.01, 300])]).toEqual([null, null, 'into-battery']);
    expect(what([0.02, 300], [-0.5, 700], [0.02, 300])).toBe('into-battery');
    // what the zero may be off by is none
    expect([what([-0.006, 700], [0.02, 599]), what([-0.0061, 700], [0.02, 599])]).toEqual([null, 'into-battery']);
    expect([-0.006, 0.001, -0.0061].map((levelA) => what([0.02, 10], [-0.5, 700], [levelA, 600]))).toEqual([null, null, 'into-battery']);
  });

  it('flow into the battery by more than any zero moves, and nothing is ever drawn', () => {
    // a Hall sensor's zero over ten degrees, four times: 56 mA
    const mostA = 4 * 10 * HALL_ZERO_A_PER_K;
    expect([what([0.006, 700], [-1.01 * mostA, 100]), what([0.006, 700], [-0.99 * mostA, 100]), what([0.0061, 700], [-1.01 * mostA, 100])]).toEqual(['into-battery', null, null]);
    expect(what([0.006, 700], [-MOST_ZERO_A, 100])).toBeNull();
  });

  it('have the level in the middle of the time, and above an ampere a charger', () => {
    expect(implausible(drawn([[-0.9, 300], [-2, 500], [-3, 300]]))).toEqual({ what: 'into-battery', levelA: -2, charging: true });
    expect(implausible(drawn([[-1, 700]]))).toEqual({ what: 'into-battery', levelA: -1, charging: false });
  });

  it('are above ten amperes but for a tenth of the time, or above 200 A for a moment: milliamperes', () => {
    expect([what([10, 1000]), what([10.01, 1000])]).toEqual([null, 'milliamps-as-amps']);
    // a tenth of 1000 s
    expect([what([0.05, 99], [11, 901]), what([0.05, 100], [11, 900])]).toEqual(['milliamps-as-amps', null]);
    expect([what([0.05, 1000], [200, 5]), what([0.05, 1000], [200.1, 5])]).toEqual([null, 'milliamps-as-amps']);
    expect(level([30, 700], [20, 400], [40, 100])).toBe(30);
  });

  it('are a thousandth of what any vehicle draws, and yet clearly some: amperes', () => {
    expect([what([0.0004, 1000]), what([0.0005, 1000])]).toEqual(['amps-as-milliamps', null]);
    expect([what([0.0004, 1000], [0.0099, 500]), what([0.0004, 1000], [NOTABLE_A, 500])]).toEqual(['amps-as-milliamps', 'no-current']);
    // a mean of 1000 blocks is good to a root of 1000 of what one is: four of these errors are 0.4 mA
    const noisy = (errorA: number): string | null => {
      const readings = drawn([[0.009, 100], [0.0004, 1000]]);
      return implausible({ ...readings, segments: readings.segments.map((segment) => ({ ...segment, varianceA2: 1000 * errorA ** 2 })) })?.what ?? null;
    };
    expect([noisy(0.000099), noisy(0.000101)]).toEqual(['amps-as-milliamps', 'no-current']);
  });

  it('are none at all where nothing was drawn for half a minute, nor anything for ten', () => {
    expect([what([0, 29]), what([0, 30])]).toEqual([null, 'no-current']);
    expect([what([0, 700], [0.02, 599]), what([0, 700], [0.02, 600]), what([0, 700], [0.02, 300], [0.03, 300])]).toEqual(['no-current', null, 'no-current']);
    // the least that draws something, on either side
    expect([what([0, 700], [0.0005, 600]), what([0, 700], [0.00049, 600]), what([0.0005, 30])]).toEqual([null, 'no-current', null]);
    expect([level([0.0001, 30], [-0.0001, 700], [0.0002, 60]), what([-0.0006, 700])]).toEqual([-0.0001, null]);
  });

  it('never differ, in 64 readings over half a minute', () => {
    const constant = (count: number, lengthS: number, last = 0.05): unknown => {
      const valueA = new Float32Array(count).fill(0.05);
      valueA[count - 1] = last;
      return implausible(drawn([[0.05, lengthS]], { picked: { timeS: new Float64Array(count), valueA } }));
    };
    expect(constant(64, 30)).toEqual({ what: 'constant', levelA: 0.05 });
    expect([constant(63, 30), constant(64, 29), constant(64, 30, 0.051)]).toEqual([null, null, null]);
    // so long after key-off, not so late in the recording
    expect(implausible(drawn([[0.05, 20]], { picked: { timeS: new Float64Array(64), valueA: new Float32Array(64) } }, 100))).toBeNull();
  });

  it('need levels', () => {
    expect(implausible(drawn([]))).toBeNull();
  });
});

describe('a recording that a panel fed to its end', () => {
  const fed = (beforeS: number, ...after: Drawn[]): unknown => fedAllThrough(drawn([[0.05, beforeS], ...after], {}, 200), 200 + beforeS);

  it('shows no vehicle where it was fed for longer than not, before any time-out is sure to be over', () => {
    expect([fed(1000, [-0.4, 1000]), fed(1000, [-0.4, 1001])]).toEqual([null, { what: 'into-battery', levelA: -0.4, charging: false }]);
    // 75 min (Ford 2023 Edge)
    expect([fed(4499, [-2, 5000]), fed(4500, [-2, 5000])]).toEqual([{ what: 'into-battery', levelA: -2, charging: true }, null]);
  });

  it('has the level that half of that time stayed below', () => {
    expect(fed(100, [-0.4, 200], [-0.2, 500], [-0.1, 300])).toMatchObject({ levelA: -0.2 });
    expect(fed(100, [-0.4, 500], [-0.2, 200], [-0.1, 300])).toMatchObject({ levelA: -0.4 });
    // what came before is none of it
    expect(fedAllThrough(drawn([[-3, 600], [-0.4, 500], [-0.2, 200]]), 600)).toMatchObject({ levelA: -0.4 });
  });
});
