import { describe, expect, it } from 'vitest';
import { en } from '../../../src/core/present/en/index.ts';
import type { Words } from '../../../src/core/present/words.ts';

/** Where a figure decides what a sentence claims, or how many it speaks of: both sides of each such choice. */

type Sentences = Readonly<Record<string, (said: never) => string>>;
const said = (sentences: unknown, code: string, about: Record<string, unknown> = {}): string => (sentences as Sentences)[code]!(about as never);
const motor = (code: string, about?: Record<string, unknown>): string => said(en.motor.because, code, about);
const night = (code: string, about?: Record<string, unknown>): string => said(en.night.because, code, about);
const compared = (code: string, about?: Record<string, unknown>): string => said(en.compare.because, code, about);

describe('what is said of a motor test', () => {
  it.each([
    ['all-cut', { presses: 1 }, /^The only press/], ['all-cut', { presses: 2 }, /^None of the 2 presses/],
    ['some-cut', { presses: 1, atS: 3.5, end: 'start' }, /^The press at 3\.50 s does not count: its start is missing/], ['some-cut', { presses: 1, atS: 3.5, end: 'end' }, /its end is missing/], ['some-cut', { presses: 2, atS: 1, end: 'start' }, /^The first and the last press/],
    ['dead', { presses: 1, topV: 12.4 }, /^In 1 press the feed came up to 12\.4 V/], ['dead', { presses: 3, topV: 12.4 }, /^In 3 presses/],
    ['no-current', { topV: null }, /Without a voltage channel/], ['no-current', { topV: 12.4 }, /The voltage was 12\.4 V/],
    ['low-feed', { atS: 1, feedV: 7.3, place: 'motor', ran: true }, /only 7\.30 V were left at the motor's feed while it ran/], ['low-feed', { atS: 1, feedV: 7.3, place: 'battery', ran: false }, /at the battery under load/],
    ['sagging-feed', { atS: 1, place: 'battery', openV: 12.6, loadV: 9.1, startV: null, sourceOhm: 0.1, lowOhm: 0.09, highOhm: 0.11 }, /under load: the battery and its posts have 0\.10 ohm \(0\.090 to 0\.11\)/],
    ['sagging-feed', { atS: 1, place: 'motor', openV: 12.6, loadV: 9.1, startV: 6.5, sourceOhm: 0.1, lowOhm: 0.09, highOhm: 0.11 }, /from 12\.6 V to 9\.10 V under load, to 6\.50 V at switch-on: the feed has/],
    ['stall', { fromS: 2, levelA: 13, atLeast: true, lastedS: 1.2, run: null, stalls: 1 }, /^Stalled from 2\.00 s: at least 13\.0 A for 1\.2 s, power on and no motion\.$/],
    ['stall', { fromS: 2, levelA: 13, atLeast: false, lastedS: 1.2, run: { levelA: 5, atLeast: false }, stalls: 2 }, /2\.00 s: 13\.0 A .*; it ran at 5\.00 A \(2 stalls in this press\)\.$/],
    ['cut-out', { atS: 1, times: 1, shortestS: 2, longestS: 2 }, /^At 1\.00 s current stopped .* opened, 2\.0 s into/], ['cut-out', { atS: 1, times: 2, shortestS: 2, longestS: 3 }, /and once more current .* 2\.0 s to 3\.0 s into/], ['cut-out', { atS: 1, times: 3, shortestS: 2, longestS: 2 }, /and 2 more times/],
    ['stall-against-estimate', { atS: 1, estimateA: 14, lowA: 13, highA: 15, stallA: 14, stallIs: 'as-estimated' }, /14\.0 A \(13\.0 to 15\.0\), from the switch-on at 1\.00 s: the stall agrees/],
    ['stall-against-estimate', { atS: 1, estimateA: 14, lowA: 13, highA: 15, stallA: 20, stallIs: 'more' }, /drew 20\.0 A\. Look for a second load/], ['stall-against-estimate', { atS: 1, estimateA: 14, lowA: 13, highA: 15, stallA: 8, stallIs: 'less' }, /drew 8\.00 A\. It may have been creeping/],
    ['load', { share: 0.254, loadIs: 'usual', isMotor: true }, /^It runs at 25 % of its estimated stall current: a usual load/],
    ['load', { share: 0.254, loadIs: 'usual', isMotor: false }, /^A motor with this switch-on would run at 25 % of its stall current: a usual load/],
    ['lost-contact', { atS: 1, times: 1, longestS: 0.2 }, /lost once, for 200 ms/], ['lost-contact', { atS: 1, times: 4, longestS: 0.2 }, /lost 4 times, for up to 200 ms/],
    ['bad-segment', { revolutions: 50, depthA: 0.5, lowA: 0.4, highA: 0.6, share: 0.1, presses: 1 }, /500 mA \(400 to 600\) less than its neighbours, 10 % of the running current: a burnt/], ['bad-segment', { revolutions: 50, depthA: 0.5, lowA: 0.4, highA: 0.6, share: 0.1, presses: 2 }, /current \(seen in 2 presses\): a burnt/],
    ['ran', { presses: 1, lowA: 5, highA: 5, limitsA: null, isMotor: true }, /^In 1 press the motor started, ran at 5\.00 A and was/], ['ran', { presses: 2, lowA: 4, highA: 5, limitsA: [3, 6], isMotor: true }, /ran at 4\.00 A to 5\.00 A \(usual 3 to 6 A\) and was/],
    ['ran', { presses: 5, lowA: 4, highA: 4, limitsA: null, isMotor: false }, /^In 5 presses the current settled at 4\.00 A and flowed until switch-off\.$/], ['started', { presses: 1, isMotor: false }, /^In 1 press current flowed,/],
    ['one-way-harder', { harder: 'forward', ratio: 3 }, /^Forward draws 3\.00 times the current of reverse/], ['one-way-harder', { harder: 'reverse', ratio: 3 }, /^Reverse draws .* of forward/],
    ['one-way-farther', { farther: 'reverse', ratio: 1.5, low: 1.4, high: 1.6 }, /turned 1\.50 times as far in reverse as forward \(1\.40 to 1\.60\)/],
    ['travel', { ways: [{ direction: 'forward', turns: 10, low: 9, high: 11 }, { direction: 'reverse', turns: 8, low: 7, high: 9 }] }, /10\.0 turns forward \(9\.00 to 11\.0\) and 8\.00 turns in reverse/],
    ['stop-places', { ways: [{ direction: 'forward', presses: 3, placeIs: 'same', unit: 'turns', mean: 10, low: 9, high: 11 }] }, /^Forward, 3 presses stalled at the same point each time, after 10\.0 turns/],
    ['stop-places', { ways: [{ direction: 'reverse', presses: 3, placeIs: 'different', unit: 'turns', mean: 10, low: 9, high: 11 }] }, /^Reverse, 3 presses stalled at different points, after 9\.00 to 11\.0 turns/],
    ['fuse', { atLeast: false, fuse: { rating_a: 10, share: 0.8, lasted_s: 3, holds_s: 360_000, opens_s: null } }, /is 80 % of the 10 A fuse: it holds that for 100 hours and more/], ['fuse', { atLeast: true, fuse: { rating_a: 10, share: 1.6, lasted_s: 3, holds_s: 0.25, opens_s: 50 } }, /is at least 160 % .*, for 3\.0 s\. At that current such a fuse opens somewhere between 250 ms and 50 s/],
    ['fuse', { atLeast: false, fuse: { rating_a: 10, share: 9, lasted_s: 3, holds_s: null, opens_s: 1 } }, /for 3\.0 s\.$/],
  ] as const)('%s %j', (code, about, words) => {
    expect(motor(code, about)).toMatch(words);
  });

  it('the wire takes its share of the loss', () => {
    const share = { share: 0.8, low_share: 0.78, high_share: 0.82, wire_ohm: 0.08, drop_v: 0.32, sag_v: 0.4 };
    const wire = { lengthM: 6, areaMm2: 1.5, temperatureC: 20, share, sourceOhm: 0.1, exceeds: false, restV: null };
    expect(motor('wire', wire)).toBe('6 m of 1.5 mm² at 20 °C accounts for 80 of the feed\'s 100 milliohm (80 %; 78 % to 82 %): 0.32 V of the 0.40 V lost.');
    expect(motor('wire', { ...wire, restV: 0.08, share: { ...share, low_share: 0.8, high_share: 0.8 } })).toMatch(/milliohm \(80 %\): .*; the other 0\.080 V are lost in contacts/);
    expect(motor('wire', { ...wire, share: { ...share, high_share: null } })).toMatch(/78 % to all/);
    expect(motor('wire', { ...wire, exceeds: true })).toMatch(/alone would have more resistance than was measured/);
  });

  it.each([
    ['gaps', { count: 1, firstS: 2 }, /in one place, at 2\.00 s/], ['gaps', { count: 3, firstS: 2 }, /in 3 places, the first at 2\.00 s/],
    ['aliasing', { rateHz: 1000, refused: true, sureHz: 5000 }, /so no frequency is given/], ['aliasing', { rateHz: 1000, refused: false, sureHz: 5000 }, /Record at 5000 or more/],
    ['offset', { levelA: null }, /zero was assumed/], ['offset', { levelA: 0.2 }, /reads 200 mA; this was subtracted/],
    ['clipped', { clipA: 30, peaks: 1, runs: 0, stalls: 0, hidesFeed: false }, /range: 1 inrush peak is at least that, and how much more is not recorded\. Use/], ['clipped', { clipA: 30, peaks: 2, runs: 1, stalls: 1, hidesFeed: true }, /: 2 inrush peaks, running levels and stall levels are at least .* does not show the feed's resistance/], ['clipped', { clipA: 30, peaks: 0, runs: 0, stalls: 0, hidesFeed: false }, /single readings/],
    ['slow-sensor', { followS: 0.01, bandwidthHz: 35, known: true, lowPeakA: 10, highPeakA: null }, /^A sensor of 35 Hz takes 10 ms to follow: .* at least 10\.0 A/], ['slow-sensor', { followS: 0.01, bandwidthHz: 35, known: false, lowPeakA: 10, highPeakA: 13 }, /^At switch-off .* between 10\.0 A and 13\.0 A/],
    ['implausible-voltage', { topV: 60, tooHigh: true }, /up to 60\.0 V, more than/], ['implausible-voltage', { topV: 6, tooHigh: false }, /never rises above 6\.00 V/],
    ['clamp-off', { times: 1 }, /^Once the voltage/], ['clamp-off', { times: 2 }, /^2 times/],
    ['chopped', { frequencyHz: null }, /on and off, as/], ['chopped', { frequencyHz: 100 }, /on and off 100 times a second, as/],
  ] as const)('remark %s %j', (code, about, words) => {
    expect(said(en.motor.problems, code, about)).toMatch(words);
  });

  it.each([
    ['step', { sizeA: -2 }, /down by 2\.00 A/], ['step', { sizeA: 2 }, /up by 2\.00 A/], ['cut-out', { sizeA: null }, /opened\.$/], ['cut-out', { sizeA: 12 }, /opened at 12\.0 A/], ['reversal', { sizeA: null }, /pause\.$/], ['reversal', { sizeA: 5 }, /pause, from 5\.00 A/],
  ] as const)('event %s %j', (code, about, words) => {
    expect(said(en.motor.events, code, about)).toMatch(words);
  });

  it('few samples are counted', () => {
    expect([said(en.motor.noFit, 'few-samples', { samples: 1 }), said(en.motor.noFit, 'few-samples', { samples: 2 })]).toEqual([expect.stringContaining('only 1 reading:'), expect.stringContaining('only 2 readings:')]);
  });
});

describe('what is said of a night', () => {
  const held = { levelA: 0.2, lowA: 0.19, highA: 0.21, sinceS: 600, limitA: 0.05, elapsedS: 1800, timeOut: null };
  it.each([
    ['rest', { atS: 600, fromStart: true, levelA: 0.02, lowA: 0.019, highA: 0.021 }, /^It was settled from the start, at 20\.0 mA/], ['rest', { atS: 600, fromStart: false, levelA: 0.02, lowA: 0.019, highA: 0.021 }, /^It settled 10 min into the recording/],
    ['average', { averageA: 0.06, limitA: 0.05, overLimit: true }, /is 60\.0 mA: over the limit of 50\.0 mA/], ['average', { averageA: 0.04, limitA: 0.05, overLimit: false }, /: under the limit/], ['average', { averageA: 0.05, limitA: 0.05, overLimit: null }, /: too close to call against the limit/],
    ['held', held, /since 10 min into the recording, over the limit of 50\.0 mA\. Only 30 min have passed: a module may still be waiting for its time-out\.$/], ['held', { ...held, sinceS: 4.9 }, /200 mA \(190 to 210\) from the start/], ['held', { ...held, sinceS: 5 }, /since 5\.0 s into/],
    ['hardly-rests', { count: 1, longestRestS: 60, averageA: 0.1 }, /^It woke once/], ['hardly-rests', { count: 2, longestRestS: 60, averageA: 0.1 }, /^It woke 2 times/],
    ['into-battery', { levelA: -1, charging: true }, /charger, engine or solar panel/], ['into-battery', { levelA: -1, charging: false }, /solar panel or trickle charger/],
    ['reserve', { limitA: 0.03, over: null }, /rule\)\.$/], ['reserve', { limitA: 0.03, over: true }, /the average is over it/], ['reserve', { limitA: 0.03, over: false }, /the average is under it/],
    ['wake-ups', { own: 1, byPerson: 0, byFuse: 0, period: null }, /^It woke once by itself\.$/], ['wake-ups', { own: 2, byPerson: 1, byFuse: 0, period: null }, /^It woke 2 times by itself; once with somebody at the vehicle\.$/], ['wake-ups', { own: 3, byPerson: 0, byFuse: 2, period: null }, /^It woke 3 times by itself, with no steady period; 2 times from a fuse pulled or put back\.$/],
    ['wake-ups', { own: 0, byPerson: 2, byFuse: 0, period: null }, /^It woke 2 times with somebody at the vehicle\.$/],
    ['wake-ups', { own: 3, byPerson: 0, byFuse: 0, period: { s: 600, lowS: 590, highS: 610 } }, /^It woke by itself every 10 min \(9 min 50 s to 10 min 10 s\), seen 3 times\.$/],
    ['not-measured', { labels: ['F1'] }, /^Fuse F1: not measured/], ['not-measured', { labels: ['F1', 'F2', 'F3'] }, /^Fuses F1, F2 and F3: not measured/],
    ['possible-pull', { fromS: 60, toS: 120, changeA: -0.1 }, /was 100 mA lower/],
  ] as const)('%s %j', (code, about, words) => {
    expect(night(code, about)).toMatch(words);
  });

  it('the wait is reported in whole minutes, two seconds given away', () => {
    const wait = (waitS: number): string => said(en.night.next, 'watch-wake-ups', { waitS });
    expect([wait(1), wait(62), wait(63), wait(600)].map((text) => /another (.*?) to see/.exec(text)![1])).toEqual(['minute', 'minute', '2 minutes', '10 minutes']);
    const next = (about: Record<string, unknown>): string => said(en.night.next, 'wait', { waitS: 600, untilMs: null, timeOut: null, first: null, ...about });
    expect([next({ waitS: 62 }), next({ waitS: 63 })]).toEqual([expect.stringContaining('for another minute: the level'), expect.stringContaining('for another 2 minutes: the level')]);
    expect(next({})).toBe('Keep recording for another 10 minutes: the level must hold that long. Keep doors shut and the key out of range.');
    expect(next({ untilMs: new Date(2026, 10, 25, 3, 42).getTime() })).toMatch(/10 minutes, until 03:42: the level/);
    expect([said(en.night.next, 'pull-again', { labels: ['F1'] }), said(en.night.next, 'pull-again', { labels: ['F1', 'F2'] })]).toEqual([expect.stringMatching(/Pull fuse F1 again once .* that pull/), expect.stringMatching(/Pull fuses F1 and F2 again once .* those pulls/)]);
  });

  it.each([
    ['gaps', { count: 1, lostS: 5 }, /^1 gap, 5\.0 s/], ['gaps', { count: 2, lostS: 5 }, /^2 gaps,/], ['range-switched', { times: 1, resolutionA: null }, /range once\.$/], ['range-switched', { times: 2, resolutionA: 0.01 }, /2 times\. At the end one step is 10\.0 mA/],
    ['stuck', { atS: 60, lostS: 90, levelA: 0.02, times: 1 }, /elsewhere: the logger hung, or the clamp switched itself off\. 90 s are left out/], ['stuck', { atS: 60, lostS: 90, levelA: 0.02, times: 2 }, /elsewhere \(2 times in all at one value\)/],
    ['implausible-unit', { middleA: 35, factor: 'milliamps-as-amps' }, /around 35\.0 A are too high/], ['implausible-unit', { middleA: 0.00003, factor: 'amps-as-milliamps' }, /less than any vehicle draws/],
    ['zero-drift', { changeA: 0.0099, measured: true }, /^The zero moved by 9\.9 mA during the test\. The bounds allow for it\.$/], ['zero-drift', { changeA: -0.01, measured: false }, /wanders by 10\.0 mA .* A clamp cannot prove a 25 mA drain/],
    ['noise', { halfWidthA: 0.01, stepA: null, limitA: 0.05 }, /within 10\.0 mA: too coarse for a limit of 50\.0 mA/], ['noise', { halfWidthA: 0.01, stepA: 0.02, limitA: 0.05 }, /^One step of the reading is 20\.0 mA/],
    ['mark-unmatched', { label: 'F1', atS: 60, outside: true }, /lies outside the recording/], ['mark-unmatched', { label: 'F1', atS: 60, outside: false }, /no mark says that it was pulled/],
  ] as const)('remark %s %j', (code, about, words) => {
    expect(said(en.night.problems, code, about)).toMatch(words);
  });
});

describe('what is said of a comparison', () => {
  const pair = { direction: 'forward', metric: 'run_a', before: 7.42, after: 4.18, change: -3.24, low: -3.41, high: -3.07, judgement: 'lower', method: 'welch', tolerance: 0, before_count: 3, after_count: 3 };

  it('a figure with its change and its bounds, as far as there are any', () => {
    expect(compared('figure', { pair })).toBe('Running current forward: 7.42 A before, 4.18 A after, change \u22123.24 A (\u22123.41 to \u22123.07).');
    expect(compared('figure', { pair: { ...pair, direction: null, low: null, high: null } })).toBe('Running current: 7.42 A before, 4.18 A after, change \u22123.24 A.');
    expect(compared('figure', { pair: { ...pair, before: null, change: null } })).toBe('Running current forward: not there before, 4.18 A after.');
    expect(compared('figure', { pair: { ...pair, after: null, change: null } })).toBe('Running current forward: 7.42 A before, not there after.');
    expect(compared('figure', { pair: { ...pair, metric: 'faulty_share', before: 2 / 3, after: 0, after_count: 4 } })).toBe('Presses with a fault: 2 of 3 before, 0 of 4 after.');
  });

  it('what stands out, by how much and on which side', () => {
    const out = (value: number, othersMiddle: number, direction: string | null = 'forward'): string => en.compare.standsOut({ code: 'figure', metric: 'run_a', direction, value, othersMiddle } as unknown as Parameters<Words['compare']['standsOut']>[0]);
    expect([out(6.55, 5), out(3.5, 5), out(15, 5), out(14.9, 5), out(2, 0), out(6, 5, null)]).toEqual([
      'running current forward 31 % above the others', 'running current forward 30 % below the others', 'running current forward 3.0 times that of the others', 'running current forward 198 % above the others', 'running current forward above the others, which have none', 'running current 20 % above the others',
    ]);
    const finding = (all: boolean, figure: unknown): string => en.compare.standsOut({ code: 'finding', finding: 'stalled', usual: 'normal', all, figure } as unknown as Parameters<Words['compare']['standsOut']>[0]);
    expect([finding(true, null), finding(false, { code: 'figure', metric: 'run_a', direction: null, value: 6, othersMiddle: 5 })]).toEqual(['stalled, the others normal', 'stalled, most others normal; running current 20 % above the others']);
  });

  it.each([
    ['no-answer', { side: 'both' }, /^Neither trace gives/], ['no-answer', { side: 'first' }, /^The first trace does not give/], ['no-answer', { side: 'second' }, /^The second trace does not give/], ['findings', { first: 'stalled', second: 'unheard' }, /^Finding before: stalled\. Finding after: unheard\.$/],
  ] as const)('%s %j', (code, about, words) => {
    expect(compared(code, about)).toMatch(words);
  });

  it.each([
    ['no-presses', { side: 'both' }, /^Neither trace has a press/], ['no-presses', { side: 'second' }, /^The second trace has no press/], ['never-settled', { side: 'both' }, /^Neither trace settled/], ['never-settled', { side: 'first' }, /^The first trace never settled/],
    ['other-lead', { first: 'motor', second: 'battery' }, /was at the motor's feed in the first trace and at the battery in the second/], ['carried', { side: 'first', text: 'Gaps.', lost: true }, /^First trace: Gaps\. The rest was compared\.$/], ['carried', { side: 'second', text: 'Gaps.', lost: false }, /^Second trace: Gaps\.$/],
  ] as const)('remark %s %j', (code, about, words) => {
    expect(said(en.compare.problems, code, about)).toMatch(words);
  });

  it('limits of one trace, or of none', () => {
    expect([said(en.compare.knownGoodProblems, 'single', { traces: 1, share: 0.2 }), said(en.compare.knownGoodProblems, 'single', { traces: 0, share: 0.2 })]).toEqual([expect.stringContaining('from a single trace: its own values with 20 %'), expect.stringContaining('from no trace')]);
  });
});

describe('what is said elsewhere of how many there are', () => {
  it('is singular for one', () => {
    const { library, pages, reason, report, together } = en;
    expect([report.parts.moreWakeUps(1), report.parts.moreWakeUps(2)]).toEqual(['1 more wake-up is in the trace itself.', '2 more wake-ups are in the trace itself.']);
    expect([0, 1, 2].map((count) => pages.night.times(count))).toEqual(['never', 'once', '2 times']);
    expect([library.took(0, 0), library.took(1, 1), library.took(2, 2)]).toEqual(['Nothing new.', '1 circuit imported; 1 was already here.', '2 circuits imported; 2 were already here.']);
    expect([reason.leftOut('1', 'drain'), reason.leftOut('1', 'actuation')].map((text) => /This is (.*) case/.exec(text)![1])).toEqual(['a drain', 'a motor']);
    expect([together.notYours(null), together.notYours('the tablet')]).toEqual(['Not done: take the controls first.', 'Not done: the tablet holds the controls. Ask for them first.']);
  });
});

describe('what stands over a chart that has stopped', () => {
  it('is how old its last reading is, or that there never was one', () => {
    const { 'no-readings': silent, 'no-word': cut } = en.pages.old;
    expect([silent.chart(null), silent.chart('5 s'), cut.chart(null), cut.chart('5 s')]).toEqual(['No readings yet.', 'Chart stopped: last reading 5 s ago.', 'No connection.', 'Chart stopped: last reading 5 s ago, no connection.']);
    expect([silent.figure(null), silent.figure('5 s'), cut.figure(null), cut.figure('5 s')]).toEqual(['no readings yet', '5 s old: no readings since', 'no readings yet', '5 s old: no connection']);
  });
});
