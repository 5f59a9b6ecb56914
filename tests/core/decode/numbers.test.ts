import { describe, expect, it } from 'vitest';
import { parseColumns } from '../../../src/core/decode/columns.ts';
import { lineLayout, parseNumbers } from '../../../src/core/decode/number-line.ts';
import { openDecoder, seeded, type Collected } from './kit.ts';

describe('a line of numbers', () => {
  it.each([
    ['1.25', [1.25]],
    ['-.5,+12.', [-0.5, 12]],
    [' 1.5 , 12.6 ', [1.5, 12.6]],
    ['1034;1,25;12,6', [1034, 1.25, 12.6]],
    ['1034\t1.25\t12.6', [1034, 1.25, 12.6]],
    ['1.5 12.6', [1.5, 12.6]],
    ['1e-3,2E1', [0.001, 20]],
    ['1,5', [1, 5]],
  ])('%s is read', (line, numbers) => {
    expect(parseNumbers(line, 3)).toEqual(numbers);
  });

  it.each(['', 'nan', 'NaN,1', 'inf', '-Infinity', '0x10', '1,,2', '1,2,', '1,2 3,4', '1,2,3,4', '1;2,3,4', '--1', '1e999', '1e', 'I=2.5', '1'.repeat(500), '1_000', '١'])('%s is refused', (line) => {
    expect(parseNumbers(line, 3)).toBeNull();
  });

  it('may hold anything in a column that a person has told to skip, and nothing but numbers in the others', () => {
    const columns = parseColumns('skip,time:ms,skip,current:mA');
    const layout = columns.ok ? lineLayout(columns.columns) : 'none';
    if (typeof layout === 'string') throw new Error(layout);
    expect(parseNumbers('probe A,1034,12:30:05,250,ok', 64, layout)).toEqual([0, 1034, 0, 250, 0]);
    for (const line of ['probe A,x,12:30:05,250', 'probe A,1034,12:30:05,250 mA', 'probe A,1034,12:30:05,']) expect(parseNumbers(line, 64, layout), line).toBeNull();
  });
});

/** Sends `count` plain lines made by `line`, paced at `rateHz`, arriving in USB bunches of `bunchS`. Returns the true times. */
function send(decoder: ReturnType<typeof openDecoder>['decoder'], options: { count: number; rateHz: number; bunchS?: number; fromS?: number; line: (n: number) => string; random?: () => number; from?: number }): number[] {
  const { count, rateHz, bunchS = 0.016, fromS = 0.5, line, random = () => 0, from = 0 } = options;
  const times: number[] = [];
  for (let n = 0; n < count; n += 1) {
    const sentS = fromS + n / rateHz;
    times.push(sentS);
    const arrivalS = (bunchS === 0 ? sentS : Math.ceil(sentS / bunchS) * bunchS) + 0.001 * random();
    decoder.tick(arrivalS);
    decoder.line(line(from + n), arrivalS);
  }
  return times;
}

function steps(all: Collected, startIndex = 1): { leastS: number; mostS: number } {
  let leastS = Infinity;
  let mostS = 0;
  for (let n = startIndex; n < all.timeS.length; n += 1) {
    leastS = Math.min(leastS, all.timeS[n]! - all.timeS[n - 1]!);
    mostS = Math.max(mostS, all.timeS[n]! - all.timeS[n - 1]!);
  }
  return { leastS, mostS };
}

describe('plain lines without a time', () => {
  it.each([10, 100, 1000, 4000])('at %d a second get evenly spaced times at the true rate, in spite of bunched arrivals', (rateHz) => {
    const { decoder, all } = openDecoder('current:mA');
    const count = Math.max(300, rateHz * 40);
    const times = send(decoder, { count, rateHz, line: (n) => `${n % 1000}`, random: seeded(1) });
    decoder.end();
    expect(all.timeS).toHaveLength(count);
    expect(all.currentA[7]).toBeCloseTo(0.007, 7);
    expect(all.gaps).toEqual([]);
    const { leastS, mostS } = steps(all, count >> 1);
    expect(leastS * rateHz).toBeGreaterThan(0.99);
    expect(mostS * rateHz).toBeLessThan(1.01);
    let worstS = 0;
    for (let n = count >> 1; n < count; n += 1) worstS = Math.max(worstS, Math.abs(all.timeS[n]! - times[n]!));
    expect(worstS).toBeLessThan(0.02);
    expect(Math.abs(decoder.clock()!.rateHz / rateHz - 1)).toBeLessThan(0.005);
  });

  it('give one gap when they stop for a while, of the length they stopped', () => {
    const { decoder, all } = openDecoder();
    send(decoder, { count: 3000, rateHz: 500, line: () => '1.5' });
    send(decoder, { count: 1500, rateHz: 500, fromS: 6.5 + 2.25, line: () => '1.5' });
    decoder.end();
    expect(all.timeS).toHaveLength(4500);
    expect(all.gaps).toHaveLength(1);
    expect(Math.abs(all.gaps[0]!.endS - all.gaps[0]!.startS - 2.25)).toBeLessThan(0.03);
  });

  it('give no gap when the computer was busy and they all came late', () => {
    const { decoder, all } = openDecoder();
    const late = (sentS: number): number => (sentS > 4 && sentS < 4.8 ? 4.8 : sentS);
    for (let n = 0; n < 5000; n += 1) decoder.line('1.5', late(0.5 + n / 500) + 0.002);
    decoder.end();
    expect(all.gaps).toEqual([]);
    expect(all.timeS).toHaveLength(5000);
    const { mostS } = steps(all, 1000);
    expect(mostS).toBeLessThan(0.0022);
  });

  it('after a reconnection go on with the same trace time, after a gap, and no half line is glued', () => {
    const { decoder, all } = openDecoder();
    send(decoder, { count: 2000, rateHz: 500, line: () => '2,2' });
    decoder.push(new TextEncoder().encode('2,2'), 4.51);
    decoder.reopened();
    decoder.push(new TextEncoder().encode('7,70\n'), 9);
    send(decoder, { count: 1000, rateHz: 500, fromS: 9.1, line: () => '2,2' });
    decoder.end();
    expect(all.gaps).toHaveLength(1);
    expect(new Set(all.currentA)).toEqual(new Set([2]));
    expect(new Set(all.voltageV)).toEqual(new Set([2]));
    expect(all.gaps[0]!.endS).toBeCloseTo(9.1, 1);
    expect(decoder.damage.malformed).toBe(0);
  });

  it('of a slow logger (one in two seconds) get their times too', () => {
    const { decoder, all } = openDecoder();
    const times = send(decoder, { count: 40, rateHz: 0.5, bunchS: 0, line: (n) => `${n}` });
    decoder.end();
    expect(all.timeS).toHaveLength(40);
    for (let n = 20; n < 40; n += 1) expect(Math.abs(all.timeS[n]! - times[n]!)).toBeLessThan(0.02);
  });

  it('change their pace, and the new pace is measured', () => {
    const { decoder, all } = openDecoder();
    send(decoder, { count: 5000, rateHz: 500, line: () => '1' });
    send(decoder, { count: 20_000, rateHz: 1000, fromS: 10.502, line: () => '1' });
    decoder.end();
    expect(Math.abs(all.timeS.at(-1)! - 30.5)).toBeLessThan(0.3);
    expect(Math.abs(decoder.clock()!.rateHz - 1000)).toBeLessThan(20);
  });

  it('that the system had stored before the opening do not spoil the pace', () => {
    const { decoder, all } = openDecoder();
    for (let n = 0; n < 400; n += 1) decoder.line('1', 0.01);
    send(decoder, { count: 10_000, rateHz: 500, fromS: 0.01, line: () => '1' });
    decoder.end();
    expect(Math.abs(decoder.clock()!.rateHz - 500)).toBeLessThan(5);
    expect(Math.abs(all.timeS.at(-1)! - 20)).toBeLessThan(0.15);
  });

  it('with a long pause in their first second lose nothing, and the pause is no part of the pace', () => {
    const { decoder, all } = openDecoder();
    send(decoder, { count: 40, rateHz: 1000, line: () => '1' });
    send(decoder, { count: 5000, rateHz: 1000, fromS: 9000, line: () => '1' });
    decoder.end();
    expect(all.timeS).toHaveLength(5040);
    expect(all.gaps).toHaveLength(1);
    expect(Math.abs(decoder.clock()!.rateHz - 1000)).toBeLessThan(10);
    expect(Math.abs(all.timeS.at(-1)! - 9005)).toBeLessThan(0.05);
  });

  it('with values no vehicle has are refused and counted', () => {
    const { decoder, all } = openDecoder();
    for (let n = 0; n < 2000; n += 1) decoder.line(n % 100 === 50 ? '1e9' : '3', n / 500);
    decoder.end();
    expect(decoder.damage.malformed).toBe(20);
    expect(new Set(all.currentA)).toEqual(new Set([3]));
  });

  it('of two numbers among lines of one are damaged ones, until three in a row say otherwise', () => {
    const { decoder, all } = openDecoder();
    for (let n = 0; n < 1000; n += 1) decoder.line(n === 500 ? '3,4' : '3', n / 500);
    for (let n = 0; n < 1000; n += 1) decoder.line('3,12', 2 + n / 500);
    decoder.end();
    expect(decoder.damage.malformed).toBe(1);
    expect(all.loggers.map((info) => info.channels.length)).toEqual([1, 2]);
    expect(all.voltageV).toHaveLength(1000);
  });
});

describe('plain lines with a time of their own', () => {
  it('keep its intervals, tied to the computer\'s clock', () => {
    const { decoder, all } = openDecoder('time:us,current:A');
    const fast = 1.004;
    send(decoder, { count: 60_000, rateHz: 1000, line: (n) => `${Math.round(n * 1000 * fast)},${n % 50}`, random: seeded(2) });
    decoder.end();
    expect(all.timeS).toHaveLength(60_000);
    expect(all.gaps).toEqual([]);
    for (let n = 30_000; n < 60_000; n += 1000) expect(Math.abs(all.timeS[n]! - (0.5 + n / 1000))).toBeLessThan(0.02);
    expect(Math.abs(decoder.clock()!.driftPpm - 4000)).toBeLessThan(200);
  });

  it('in whole milliseconds at 4 kS/s are spread evenly within the millisecond', () => {
    const { decoder, all } = openDecoder('time:ms,current:A');
    send(decoder, { count: 8000, rateHz: 4000, line: (n) => `${Math.floor(n / 4)},1` });
    decoder.end();
    expect(all.timeS).toHaveLength(8000);
    const { leastS, mostS } = steps(all);
    expect(leastS).toBeGreaterThan(0.0002);
    expect(mostS).toBeLessThan(0.0003);
  });

  it('go on over the turn of a 32-bit millis()', () => {
    const { decoder, all } = openDecoder('time:ms,current:A');
    send(decoder, { count: 5000, rateHz: 1000, line: (n) => `${(2 ** 32 - 2000 + n) % 2 ** 32},1` });
    decoder.end();
    expect(all.timeS).toHaveLength(5000);
    expect(all.gaps).toEqual([]);
    expect(decoder.damage.restarts).toBe(0);
  });

  it('leave a gap where their own time leaps and the arrivals too', () => {
    const { decoder, all } = openDecoder('time:ms,current:A');
    send(decoder, { count: 3000, rateHz: 1000, line: (n) => `${n},1` });
    send(decoder, { count: 3000, rateHz: 1000, fromS: 5.5, from: 5000, line: (n) => `${n},1` });
    decoder.end();
    expect(all.gaps).toHaveLength(1);
    expect(all.gaps[0]!.endS - all.gaps[0]!.startS).toBeCloseTo(2.001, 2);
  });

  it('after a restart of the sketch go on in trace time', () => {
    const { decoder, all } = openDecoder('time:ms,current:A');
    send(decoder, { count: 3000, rateHz: 1000, from: 900_000, line: (n) => `${n},1` });
    send(decoder, { count: 3000, rateHz: 1000, fromS: 6, line: (n) => `${n},1` });
    decoder.end();
    expect(all.timeS).toHaveLength(6000);
    expect(all.gaps).toHaveLength(1);
    expect(all.gaps[0]!.endS).toBeCloseTo(6, 1);
    expect(decoder.damage.restarts).toBe(1);
  });

  it('with one absurd time lose that line only', () => {
    const { decoder, all } = openDecoder('time:ms,current:A');
    send(decoder, { count: 5000, rateHz: 1000, line: (n) => (n === 3000 ? '4000000000,99' : n === 3500 ? '1,99' : `${n},1`) });
    decoder.end();
    expect(all.timeS).toHaveLength(4998);
    expect(new Set(all.currentA)).toEqual(new Set([1]));
    expect(decoder.damage).toMatchObject({ malformed: 2, restarts: 0 });
    expect(Math.abs(all.timeS.at(-1)! - 5.5)).toBeLessThan(0.05);
  });

  it('in another unit than said are reported, and timed by their arrival', () => {
    const { decoder, all } = openDecoder();
    send(decoder, { count: 3000, rateHz: 500, line: (n) => `${n * 2},1.5,12.5` });
    decoder.end();
    expect(all.notices[0]!.code).toBe('time-column');
    expect(all.notices[0]!.text).toContain('columns=time:ms');
    expect(all.timeS).toHaveLength(3000);
    expect(Math.abs(all.timeS.at(-1)! - 6.5)).toBeLessThan(0.1);
    expect(all.voltageV[0]).toBe(12.5);
  });

  it('are believed although a busy computer handed the first second on late and all at once', () => {
    const { decoder, all } = openDecoder('time:ms,current:A');
    const arrives = (sentS: number): number => (sentS < 1.2 ? 1.2 : sentS < 2.1 ? Math.max(sentS, 1.9) : sentS);
    for (let n = 0; n < 6000; n += 1) decoder.line(`${n},1`, arrives(0.5 + n / 1000));
    decoder.end();
    expect(all.notices).toEqual([]);
    expect(all.timeS).toHaveLength(6000);
    expect(all.timeS[5999]! - all.timeS[0]!).toBeCloseTo(5.999, 1);
    expect(all.gaps).toEqual([]);
    expect(decoder.damage.malformed).toBe(0);
  });

  it('that stand still are no clock', () => {
    const { decoder, all } = openDecoder('time:s,current:A');
    send(decoder, { count: 2000, rateHz: 500, line: () => '5,1' });
    decoder.end();
    expect(all.notices[0]!.text).toContain('does not run like a clock');
    expect(all.timeS).toHaveLength(2000);
  });
});

describe('plain lines that nobody can read as they are', () => {
  it('faster than 50,000 a second are said and counted, each one: none vanishes in silence', () => {
    const { decoder, all } = openDecoder('current:mA');
    const count = 400_000;
    send(decoder, { count, rateHz: 100_000, line: (n) => `${n % 1000}` });
    decoder.end();
    expect(all.notices.map((notice) => notice.code)).toEqual(['too-fast']);
    expect(decoder.damage.malformed).toBeGreaterThan(count / 2);
    expect(all.timeS.length + decoder.damage.malformed).toBe(count);
  });

  it('three of one shape and three of another in turn settle on one shape and say so; the others count as damage', () => {
    const { decoder, all } = openDecoder();
    const count = 6000;
    send(decoder, { count, rateHz: 1000, line: (n) => (n % 6 < 3 ? '1.5' : '1.5,12.6') });
    decoder.end();
    expect(all.loggers.length).toBeLessThanOrEqual(2);
    expect(all.notices.map((notice) => notice.code)).toEqual(['mixed-lines']);
    expect(all.timeS.length).toBeGreaterThan(count / 2 - 100);
    // the first three came in one bunch, which tells no pace
    expect(all.timeS.length + decoder.damage.malformed).toBeGreaterThanOrEqual(count - 3);
  });

  it('a sketch that prints another shape from some moment on is followed', () => {
    const { decoder, all } = openDecoder();
    send(decoder, { count: 3000, rateHz: 1000, line: () => '1.5' });
    send(decoder, { count: 3000, rateHz: 1000, fromS: 3.5, line: () => '1.5,12.6' });
    send(decoder, { count: 3000, rateHz: 1000, fromS: 6.5, line: () => '1.5' });
    decoder.end();
    expect(all.loggers.map((logger) => logger.channels.length)).toEqual([1, 2, 1]);
    expect(all.timeS.length).toBeGreaterThan(8900);
    expect(all.notices).toEqual([]);
  });

  it('with random time stamps count as damage, and it is said that the number is no clock', () => {
    const { decoder, all } = openDecoder('time:s,current:A');
    const random = seeded(9);
    const count = 5000;
    send(decoder, { count, rateHz: 1000, line: () => `${Math.floor(random() * 1e6)},1.5` });
    decoder.end();
    expect(all.notices.map((notice) => notice.code)).toContain('time-falls');
    expect(all.timeS.length + decoder.damage.malformed).toBeGreaterThan(count - 100);
    expect(decoder.damage.malformed).toBeGreaterThan(count / 2);
  });

  it('of more than three numbers are no readings where nobody said what stands in which column', () => {
    const { decoder, all } = openDecoder();
    send(decoder, { count: 300, rateHz: 100, line: () => '1,2,3,4' });
    decoder.end();
    expect([decoder.kind, decoder.goodLines, decoder.damage.malformed, all.timeS.length]).toEqual(['unknown', 0, 300, 0]);
    // and are where somebody did
    const told = openDecoder('skip,skip,skip,current:A');
    send(told.decoder, { count: 300, rateHz: 100, line: () => '1,2,3,4' });
    told.decoder.end();
    expect([told.decoder.damage.malformed, new Set(told.all.currentA)]).toEqual([0, new Set([4])]);
  });

  it('whose time runs at a doubtful pace are not kept without end: after 50,000 it is decided', () => {
    const { decoder, all } = openDecoder('time:s,current:A');
    // three times as fast as the computer's clock: perhaps handed on late, so it is looked at for longer, up to 5 s
    send(decoder, { count: 50_100, rateHz: 20_000, bunchS: 0, line: (n) => `${(3 * n) / 20_000},1.5` });
    expect(all.notices.map(({ code }) => code)).toEqual(['time-column']);
    expect(all.timeS.length).toBeGreaterThan(0);
  });
});
