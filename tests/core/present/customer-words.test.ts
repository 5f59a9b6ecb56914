import { describe, expect, it } from 'vitest';
import type { CompareResult } from '../../../src/core/analysis/compare/results.ts';
import { en } from '../../../src/core/present/en/index.ts';
import { customerSentences, movedInPlainWords } from '../../../src/core/present/wording/customer-words.ts';
import { actuationResult } from '../report/examples.ts';

type Case = Parameters<typeof customerSentences>[0];

const { customer: words } = en;
const REPAIR = { cause: 'mechanism', part: '', work: ' \nSlide greased.\n Clip fitted. ', at: '2026-11-25T12:00:00Z' } as const;
const BEFORE = { start: '2026-11-24T12:00:00Z', result: actuationResult() };
const AFTER = { start: '2026-11-26T12:00:00Z', result: actuationResult([], 'normal') };
const [STALLED, RAN] = [words.past.stalled, words.past.normal];

/** The same test before and after, with this outcome; of the figures only their running level of 6.9 and 3.8 A, and the stall that is gone. */
const compared = (finding: string, more: object = {}): CompareResult => {
  const pair = { direction: 'forward', metric: 'run_a', before: 6.9, after: 3.8, change: -3.1, low: -3.3, high: -2.9, judgement: 'lower', method: 'welch', tolerance: 0, before_count: 3, after_count: 3 };
  const pairs = [pair, { ...pair, metric: 'stalled_s', before: 3, after: 2 }, { ...pair, metric: 'faulty_share', before: 1, after: 0.5 }];
  return { verdict: { finding }, before_finding: 'stalled', after_finding: 'normal', pairs, ...more } as unknown as CompareResult;
};
const about = (more: Partial<Case>): Case => ({ repair: REPAIR, proof: null, comparison: null, traces: [BEFORE, AFTER], timeZone: 'UTC', ...more });
const proofOf = (more: Partial<Case>): string => customerSentences(about(more))[1];

describe('what a customer is told of the repair', () => {
  it('is what was done, in the words of whoever did it, a line after the other', () => {
    const said = (more: Partial<NonNullable<Case['repair']>>): string => customerSentences(about({ repair: { ...REPAIR, ...more } }))[0];
    expect([said({ part: ' clip ' }), said({ cause: null, work: ' ', part: ' ' })]).toEqual([expect.stringMatching(/Clip fitted; new part: clip\.$/), 'The cause of the fault was not recorded; the work done on 25 November 2026 was not recorded.']);
    expect(customerSentences(about({}))[0]).toBe('We found the fault in the mechanism that the motor drives; work done on 25 November 2026: Slide greased; Clip fitted.');
  });
});

describe('the figures that a customer is shown', () => {
  type Pair = CompareResult['pairs'][number];
  const pair = (metric: string, judgement: string, more: Partial<Pair> = {}): Pair => ({ direction: null, metric, before: 6, after: 5, change: -1, judgement, ...more }) as Pair;
  const namesOf = (...pairs: Pair[]): string[] => movedInPlainWords({ pairs } as unknown as CompareResult).map(({ name }) => name);

  it('are those that moved and have a plain name: a stall that is gone first, then those that decide', () => {
    const gone = pair('stall_a', 'none', { after: null, change: null });
    expect(namesOf(pair('stalled_s', 'lower'), pair('run_a', 'higher'), gone, pair('ripple_hz', 'higher'), pair('dropouts', 'same'))).toEqual(['Current while stuck under power', 'Current while running', 'Time stuck under power']);
    // a stall that has come, or is there both times with the same current, is not gone; nor is another figure that was not measured again
    expect(namesOf(pair('stall_a', 'none', { before: null }), pair('stall_a', 'same'), pair('run_a', 'none', { after: null, change: null }))).toEqual([]);
    expect(namesOf(pair('stall_a', 'none', { before: null, after: null }))).toEqual([]);
  });

  it('leave out the time in motion where the time for the full travel says the same', () => {
    const moving = pair('moving_s', 'lower');
    expect(namesOf(moving, pair('travel_s', 'lower'))).toEqual(['Time for the full travel']);
    expect(namesOf(moving, pair('travel_s', 'none', { after: null, change: null }))).toEqual(['Time in motion']);
    expect(namesOf(moving, pair('run_a', 'lower'))).toEqual(['Current while running', 'Time in motion']);
  });

  it('name the way where both ways were worked', () => {
    const [out, back] = [pair('run_a', 'lower', { direction: 'forward' }), pair('stalled_s', 'lower', { direction: 'reverse' })];
    expect(namesOf(out, back, pair('dropouts', 'lower'))).toEqual(['Current while running, one way', 'Power interruptions', 'Time stuck under power, the other way']);
    expect(namesOf(out, pair('dropouts', 'lower'))).toEqual(['Current while running', 'Power interruptions']);
  });
});

describe('the proof that a customer is told of', () => {
  it('of a comparison needs both: that it shows a repair, and that nothing seen since speaks against it', () => {
    const told = (finding: string, proof: Case['proof']): string => proofOf({ comparison: compared(finding), proof });
    for (const proof of [null, 'confirmed', 'works', 'works-otherwise'] as const) expect(told('repaired', proof), String(proof)).toBe(words.proven(STALLED, RAN));
    for (const proof of ['still-open', 'cannot-tell', 'not-tested'] as const) expect(told('repaired', proof), proof).toBe(words.notProven(STALLED, RAN));
    for (const finding of ['better', 'worse', 'unchanged'] as const) expect(told(finding, 'confirmed'), finding).toBe(words.notProven(STALLED, RAN));
  });

  it('of a comparison that claims nothing is that, whatever else is known; without a repair it is two tests', () => {
    expect(proofOf({ comparison: compared('repaired', { verdict: { finding: 'repaired', claims: false } }), proof: 'confirmed' })).toBe(words.noClaim);
    expect(proofOf({ comparison: compared('repaired'), repair: null })).toBe(words.twice(STALLED, RAN));
    expect(proofOf({ comparison: compared('repaired'), traces: [] })).toBe(words.proven(STALLED, RAN));
  });

  it('may be the two figures that decide where the same is seen and they are better, unless a fault is still there', () => {
    const same = { before_finding: 'suspect', after_finding: 'suspect' };
    const better = proofOf({ comparison: compared('better', same), proof: 'cannot-tell' });
    expect(better).toContain('current while running, from 6.90 A to 3.80 A');
    expect(better.split('; ')).toHaveLength(2);
    expect(proofOf({ comparison: compared('better', same), proof: 'still-open' })).toBe(words.notProven(words.past.suspect, words.past.suspect));
    expect(proofOf({ comparison: compared('unchanged', same), proof: 'cannot-tell' })).toBe(words.notProven(words.past.suspect, words.past.suspect));
  });

  it('of a single test needs that it was made after the repair', () => {
    const alone = (start: string, proof: Case['proof']): string => proofOf({ traces: [BEFORE, { ...AFTER, start }, { ...AFTER, result: null }], proof });
    expect(alone('2026-11-25T11:59:59Z', 'confirmed')).toBe(words.untested);
    expect(alone('2026-11-25T12:00:00Z', 'confirmed')).toBe(words.afterAlone(RAN, true));
    expect(alone('2026-11-26T12:00:00Z', 'not-tested')).toBe(words.untested);
    expect([alone('2026-11-26T12:00:00Z', 'cannot-tell'), alone('2026-11-26T12:00:00Z', null)]).toEqual([words.afterAlone(RAN, false), words.afterAlone(RAN, false)]);
    expect([proofOf({ traces: [] }), proofOf({ traces: [{ ...AFTER, result: null }] })]).toEqual([words.untested, words.untested]);
    expect(proofOf({ repair: null })).toBe(words.once('26 November 2026', RAN));
  });

  it('never says of a motor that ran as it should where nothing was there to judge it by', () => {
    const unjudged = { ...AFTER, result: { ...AFTER.result, verdict: { ...AFTER.result.verdict, basis: 'none' as const } } };
    const stalled = { ...BEFORE, result: { ...BEFORE.result, verdict: { ...BEFORE.result.verdict, basis: 'none' as const } } };
    expect([proofOf({ repair: null, traces: [unjudged] }), proofOf({ repair: null, traces: [stalled] })]).toEqual([words.once('26 November 2026', words.past.unjudged), words.once('24 November 2026', STALLED)]);
  });
});
