import { describe, expect, it } from 'vitest';
import { judge, type Figures, type Judgement } from '../../../../../src/core/analysis/night/finding/judge.ts';
import type { WakeUp } from '../../../../../src/core/analysis/results.ts';
import type { Rest, RestStretch } from '../../../../../src/core/analysis/night/types.ts';
import { drawn, type Drawn } from '../drawn.ts';

/** A night whose rest began with it, of which only what differs is said. */
interface Night extends Partial<Figures> {
  readonly levels?: readonly Drawn[];
  readonly rest?: Rest | null;
  readonly wakes?: readonly WakeUp[];
  /** the stretches at rest, s */
  readonly rests?: readonly (readonly [startS: number, endS: number])[];
}

/** The same night at any time of its clock: nothing but the moments may change. */
function judged(night: Night): Judgement {
  const at = (fromS: number): Judgement => {
    const { levels = [[night.levelA ?? 0.02, 6000]], wakes = [], rests, rest = { segment: 0, atS: 0 }, ...figures } = night;
    const readings = drawn(levels, {}, fromS);
    const lengthS = readings.lastS - fromS;
    const stretches = (rests ?? [[0, lengthS]]).map(([startS, endS]): RestStretch => ({ startS: fromS + startS, endS: fromS + endS, startBlock: Math.ceil(startS), endBlock: Math.floor(endS), levelA: 0 }));
    const wakeUps = wakes.map((wake) => ({ ...wake, start_s: fromS + wake.start_s, end_s: fromS + wake.end_s }));
    const all: Figures = { levelA: 0.02, averageA: 0.02, limitA: 0.05, settlingS: null, elapsedS: lengthS, sensorA: 0.001, ...figures, pulledS: fromS + (figures.pulledS ?? Infinity) };
    return judge(readings, rest === null ? null : { ...rest, atS: fromS + rest.atS }, { wakeUps, rests: stretches }, all);
  };
  const now = at(0);
  const later = at(9000);
  expect(later).toEqual(now.risen === null ? now : { ...now, risen: { ...now.risen, atS: now.risen.atS + 9000 } });
  return now;
}

const said = (night: Night): string => {
  const { finding, slept, waitS } = judged(night);
  return `${finding}${slept ? ', slept' : ''}${waitS === null ? '' : `, ${waitS} s`}`;
};
const wake = (startS: number, endS: number, chargeC = 1, cause: WakeUp['cause'] = null): WakeUp => ({ start_s: startS, end_s: endS, peak_a: 1, charge_c: chargeC, cause });

describe('a night without a rest', () => {
  it('is to go on until the time-outs are over that its last level may have, of which the next to end is named', () => {
    // 75 min (Ford 2023 Edge) above 80 mA (Oldsmobile Aurora 2001), 30 min below (Jeep Compass 2021); 120 mA until 20 min (Jeep KJ 2007)
    const still = (levelA: number, elapsedS: number) => judged({ rest: null, levelA: NaN, levels: [[0.5, 60], [levelA, 60]], elapsedS });
    expect(still(0.13, 1000)).toMatchObject({ finding: 'too-short', slept: false, waitS: 3500, timeOut: { name: 'transmission-controller' }, longestTimeOut: { name: 'longest' } });
    expect(still(0.079, 1000)).toMatchObject({ waitS: 800, timeOut: { name: 'module-time-outs' }, longestTimeOut: { name: 'module-time-outs' } });
    expect([still(0.079, 1739).waitS, still(0.079, 1741).waitS, still(0.079, 1900).waitS, still(0.079, 1700.5).waitS]).toEqual([61, 60, 60, 100]);
    expect(still(0.13, 4600)).toMatchObject({ waitS: 60, timeOut: null, longestTimeOut: { name: 'longest' } });
  });

  it('of less than half a minute waits by the higher of its levels', () => {
    const short = (levelA: number, lastA: number) => said({ levelA, levels: [[0.01, 20], [lastA, 9]] });
    expect([short(0.01, 0.1), short(0.1, 0.01), short(0.01, 0.02)]).toEqual(['too-short, 4471 s', 'too-short, 4471 s', 'too-short, 1771 s']);
    expect(said({ levelA: 0.06, levels: [[0.06, 30]], elapsedS: 2000 })).toBe('drain, slept');
    expect(judged({ levels: [], rest: null }).waitS).toBe(1800);
  });
});

describe('a level above the limit', () => {
  it('is a drain once the time-outs are over that it may have', () => {
    const after = (levelA: number, elapsedS: number, some: Night = {}) => said({ levelA, averageA: levelA, elapsedS, ...some });
    expect([after(0.051, 1700), after(0.051, 1800), after(0.079, 1800), after(0.08, 4400), after(0.08, 4500)]).toEqual(['too-short, 100 s', 'drain, slept', 'drain, slept', 'too-short, 100 s', 'drain, slept']);
    // as the maker of this vehicle has it
    expect([after(0.3, 500, { settlingS: 600 }), after(0.3, 600, { settlingS: 600 })]).toEqual(['too-short, 100 s', 'drain, slept']);
    expect(judged({ levelA: 0.3, elapsedS: 500, settlingS: 600 })).toMatchObject({ timeOut: null, longestTimeOut: null });
  });

  it('is unclear within what the sensor may be off by, if that is more than a tenth of the limit', () => {
    const near = (levelA: number, sensorA: number) => said({ levelA, averageA: levelA, sensorA });
    expect([near(0.0559, 0.006), near(0.0561, 0.006), near(0.0549, 0.0049), near(0.0549, 0.0051)]).toEqual(['unclear, slept', 'drain, slept', 'drain, slept', 'unclear, slept']);
    expect([near(0.0441, 0.006), near(0.0439, 0.006)]).toEqual(['unclear, slept', 'asleep, slept']);
  });

  it('is a module at work where its half minutes scatter by more than the limit, and by more than a fifth of it', () => {
    // two of them: their standard deviation is their difference over the root of two
    const working = (levelA: number, apartA: number, some: Night = {}) => said({ levelA, averageA: levelA, levels: [[levelA - apartA / 2, 30], [levelA + apartA / 2, 30]], elapsedS: 4500, ...some });
    expect([working(0.2, 0.0706), working(0.2, 0.0708), working(1, 0.2827), working(1, 0.283)]).toEqual(['drain, slept', 'awake', 'drain, slept', 'awake']);
    expect([working(0.2, 0.2, { elapsedS: 4400 }), working(0.2, 0.2, { elapsedS: 4499, settlingS: 60 })]).toEqual(['too-short, 100 s', 'too-short, 60 s']);
    expect(working(0.2, 0.2, { elapsedS: 4600, settlingS: 5000 })).toBe('too-short, 400 s');
    // within the limit nobody asks
    expect(working(0.049, 0.2, { sensorA: 0, rests: [[0, 30], [30, 200]] })).toBe('asleep, slept');
  });

  it('of a module at work is read from whole half minutes at rest, before a fuse is pulled', () => {
    const levels: Drawn[] = [[0.1, 45], [0.3, 45], [0.1, 60]];
    // means of 0.1, 0.2 and 0.3 A, then 0.1 A twice: the mean of five is 0.16 A, squares 0.032, deviation 0.0894 A; of the first three 0.1 A
    const working = (limitA: number, some: Night = {}) => judged({ levelA: 0.2, averageA: 0.2, limitA, levels, elapsedS: 4500, ...some }).finding;
    expect([working(0.0893), working(0.0895)]).toEqual(['awake', 'drain']);
    const pulled: Night = { rests: [[0, 90], [90, 150]], pulledS: 90 };
    expect([working(0.0999, pulled), working(0.1001, pulled)]).toEqual(['awake', 'drain']);
    expect(working(0.05, { rests: [[0, 59], [60, 89]], pulledS: 60 })).toBe('drain');
  });

  it('that is hardly seen at rest is awake: never for half a minute on end, or for less than half of the time', () => {
    const seen = (rests: NonNullable<Night['rests']>, some: Night = {}) => said({ levelA: 0.2, averageA: 0.2, levels: [[0.2, 100]], elapsedS: 4500, rests, ...some });
    expect([seen([[0, 29]], { pulledS: 40 }), seen([[0, 30]], { pulledS: 40 })]).toEqual(['awake', 'drain, slept']);
    expect([seen([[0, 49]]), seen([[0, 50]])]).toEqual(['awake', 'drain, slept']);
    expect([seen([[0, 39]], { pulledS: 80 }), seen([[0, 40]], { pulledS: 80 }), seen([[40, 70]], { rest: { segment: 0, atS: 40 } })]).toEqual(['awake', 'drain, slept', 'drain, slept']);
    // stretches that follow within a second are one
    expect([seen([[0, 25], [25.75, 51]]), seen([[0, 25], [26, 52]])]).toEqual(['drain, slept', 'awake']);
    expect([seen([[0, 29]], { elapsedS: 4499 }), seen([[0, 29]], { elapsedS: 4499, settlingS: 1 })]).toEqual(['too-short, 60 s', 'too-short, 60 s']);
  });
});

describe('a level that rose from the rest and stays', () => {
  /** Ten minutes of 20 mA, then this to the end. */
  const rose = (levelA: number, lengthS: number, some: Night = {}, restedS = 600): Judgement =>
    judged({ levels: [[0.02, restedS], [levelA, lengthS]], rests: [[0, restedS]], wakes: [wake(restedS, restedS + lengthS, levelA * lengthS)], ...some });

  it('is a drain once it has outlasted the time-outs that it may have', () => {
    expect(rose(0.25, 4500)).toMatchObject({ finding: 'drain', slept: false, waitS: null, risen: { atS: 600, levelA: 0.25 } });
    expect(rose(0.25, 4400)).toMatchObject({ finding: 'too-short', waitS: 100, timeOut: null, longestTimeOut: null, risen: null });
    expect([rose(0.0625, 1800).finding, rose(0.0625, 1700).waitS, rose(0.25, 700, { settlingS: 700 }).finding, rose(0.25, 700, { settlingS: 750 }).waitS]).toEqual(['drain', 100, 'drain', 50]);
  });

  it('within the limit is unclear where it lasts more than twice as long as the rest was seen', () => {
    expect(rose(0.03125, 1201)).toMatchObject({ finding: 'unclear', slept: false, risen: { atS: 600, levelA: 0.03125 } });
    expect(rose(0.03125, 1200).finding).toBe('asleep');
    expect(rose(0.03125, 1000, { rest: { segment: 0, atS: 101 } }).finding).toBe('unclear');
  });

  it('has not come back in ten minutes, and reaches to within a second of the end', () => {
    expect([rose(0.25, 599).risen, rose(0.25, 600).finding]).toEqual([null, 'too-short']);
    const ends = (endS: number, cause: WakeUp['cause'] = null) => judged({ levels: [[0.02, 600], [0.25, 5000]], rests: [[0, 600]], wakes: [wake(600, endS, 0.25 * (endS - 600), cause)] }).risen !== null;
    expect([ends(5599), ends(5598), ends(5600, 'person')]).toEqual([true, false, false]);
    // a result of before causes were told
    expect(rose(0.25, 4500, { wakes: [{ start_s: 600, end_s: 5100, peak_a: 1, charge_c: 1125 }] }).finding).toBe('drain');
  });
});

describe('a vehicle that wakes by itself', () => {
  const three = (lengthS: number): WakeUp[] => [wake(130, 130 + lengthS), wake(230, 230 + lengthS), wake(330, 330 + lengthS)];

  it('is waking where it hardly rests: never for two minutes, and awake for a fifth of the time', () => {
    const hardly = (lengthS: number, restS: number, some: Night = {}) => said({ levels: [[0.02, 500]], elapsedS: 500, rests: [[0, restS], [200, 229]], wakes: three(lengthS), ...some });
    // three of 34 s are 102 of 500 s
    expect([hardly(34, 119), hardly(33, 119), hardly(34, 120)]).toEqual(['waking, slept', 'asleep, slept', 'asleep, slept']);
    expect([hardly(34, 60), hardly(34, 59)]).toEqual(['waking, slept', 'waking']);
    expect([hardly(34, 119, { wakes: three(60).slice(1) }), hardly(34, 119, { wakes: three(60) })]).toEqual(['asleep, slept', 'waking, slept']);
    expect(hardly(34, 119, { wakes: three(34).map((one) => ({ ...one, cause: 'fuse' })) })).toBe('asleep, slept');
    expect(hardly(34, 119, { rest: { segment: 0, atS: -20 } })).toBe('asleep, slept');
    expect(hardly(34, 119, { levelA: 0.051, averageA: 0.051, rests: [[0, 119], [120, 239], [240, 300]] })).toBe('too-short, 1300 s');
  });

  it('is waking where three wake-ups show an average above the limit, or too close to it for a sensor that is fit for it', () => {
    const average = (averageA: number, sensorA: number, wakes = three(10)) => said({ averageA, sensorA, wakes });
    // 1.959964 mA at 95 % are 1 mA
    expect([average(0.0489, 0.001959964), average(0.0491, 0.001959964), average(0.0499, 0), average(0.0501, 0)]).toEqual(['asleep, slept', 'waking, slept', 'asleep, slept', 'waking, slept']);
    // a fifth of the limit is no fit sensor
    expect([average(0.0499, 0.0099), average(0.0499, 0.0101)]).toEqual(['waking, slept', 'asleep, slept']);
    expect(average(0.0491, 0.001959964, three(10).slice(1))).toBe('asleep, slept');
  });

  it('is waking where two come so often at the least that level and charge are above the limit (Garwood 1936)', () => {
    // lower bound of two: chi-squared at 2.5 % with four degrees of freedom 0.484419, half of it 0.242209. Over 6000 s 30 mA more take 743.2 C each
    const two = (chargeC: number, averageA = 0.06) => said({ averageA, wakes: [wake(1000, 1100, chargeC + 2), wake(3000, 3100, chargeC + 2)] });
    expect([two(743), two(743.4), two(743.4, 0.05)]).toEqual(['asleep, slept', 'waking, slept', 'asleep, slept']);
  });
});

describe('a level within the limit', () => {
  it('is sleep once two minutes of it were seen, half a minute of them on end', () => {
    const seen = (...rests: (readonly [number, number])[]) => said({ levels: [[0.02, 300]], rests });
    expect([seen([0, 120]), seen([0, 119]), seen([0, 90], [100, 130])]).toEqual(['asleep, slept', 'too-short, 31 s', 'asleep, slept']);
    expect(seen([0, 29], [40, 69], [80, 109], [120, 149], [160, 189])).toBe('too-short, 5 s');
    expect(judged({ levels: [[0.02, 300]], rests: [[0, 110.5]] })).toMatchObject({ waitS: 40, timeOut: null, longestTimeOut: null, longestRestS: 110.5 });
    expect(said({ levelA: 0.05, averageA: 0.05 })).toBe('asleep, slept');
  });
});
