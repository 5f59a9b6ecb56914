import { describe, expect, it } from 'vitest';
import type { Placement } from '../../../src/core/analysis/compare/known-good/known-good.ts';
import type { ComparedMetric } from '../../../src/core/analysis/compare/metrics/compared-metric.ts';
import { changeWords, metricWords, verdictWords } from '../../../src/core/present/wording/compare-words.ts';
import { judgedWords } from '../../../src/core/present/wording/finding-words.ts';
import { judgedTitle, likeWords, manyWords } from '../../../src/core/present/wording/many-words.ts';
import { boundsWords, metricUnit, shownIn } from '../../../src/core/present/wording/metric-words.ts';
import { placeWords } from '../../../src/core/present/wording/place-words.ts';

const pair = (metric: string, before: number | null, after: number | null, more: Partial<ComparedMetric> = {}): ComparedMetric => ({
  direction: 'forward', metric, before, after, change: before === null || after === null ? null : after - before, low: null, high: null, judgement: 'same', method: 'welch', tolerance: 0, before_count: 3, after_count: 3, ...more,
});

describe('several traces in words', () => {
  it('are good by no likeness: all of them may have the same fault', () => {
    expect((['one-stands-out', 'alike', 'cannot-tell'] as const).map((finding) => manyWords(finding).tone)).toEqual(['fault', 'open', 'open']);
  });
});

describe('a compared figure in words', () => {
  it('has three digits of the figure, and the change no more decimals than that', () => {
    expect(changeWords(pair('run_a', 8.123, 4.871, { low: -3.41, high: -3.067 }))).toEqual({ words: 'running current, forward', before: '8.12 A', after: '4.87 A', change: '\u22123.25 A', bounds: '\u22123.41 to \u22123.07' });
    expect(changeWords(pair('run_a', 12.34, 15.06))).toMatchObject({ before: '12.3 A', after: '15.1 A', change: '+2.7 A', bounds: '' });
    expect(changeWords(pair('run_a', 123.4, 99.6))).toMatchObject({ before: '123 A', after: '100 A', change: '\u221224 A' });
  });

  it('keeps the decimals of the other side where one reading happens to be round', () => {
    expect(changeWords(pair('run_a', 5, 4.87))).toMatchObject({ before: '5.00 A', after: '4.87 A', change: '\u22120.13 A' });
    expect(changeWords(pair('run_a', 4.87, 5))).toMatchObject({ before: '4.87 A', after: '5.00 A', change: '+0.13 A' });
    // counts are whole
    expect(changeWords(pair('dropouts', 3, 0, { direction: null }))).toMatchObject({ before: '3', after: '0', change: '\u22123' });
    expect(changeWords(pair('dropouts', 0, 0))).toMatchObject({ before: '0', after: '0', change: '0' });
  });

  it('is in mA where both are below 1 A, and has no sign where it rounds to nothing', () => {
    expect(changeWords(pair('asleep_a', 0.1234, 0.0312, { direction: null }))).toMatchObject({ before: '123 mA', after: '31 mA', change: '\u221292 mA' });
    expect(changeWords(pair('run_a', 0.999, -0.5)).before).toBe('999 mA');
    expect(changeWords(pair('run_a', 1, 0.5)).before).toBe('1.00 A');
    expect(changeWords(pair('run_a', 0.5, -1.5)).after).toBe('\u22121.50 A');
    expect(changeWords(pair('run_a', 8.123, 8.1229, { low: -0.0004, high: 0.0004 }))).toMatchObject({ change: '0.00 A', bounds: '0.00 to 0.00' });
    expect(changeWords(pair('source_ohm', 0.2, 0.05)).before).toBe('0.200 \u03a9');
  });

  it('says where a side has none', () => {
    expect(changeWords(pair('run_a', null, 4.871))).toMatchObject({ before: 'none', after: '4.87 A', change: '' });
    expect(changeWords(pair('run_a', 4.871, null))).toMatchObject({ before: '4.87 A', after: 'none', change: '' });
    expect(changeWords(pair('run_a', null, null))).toMatchObject({ before: 'none', after: 'none' });
  });

  it('tells a share by what was counted', () => {
    const share = pair('faulty_share', 2 / 3, 0, { low: -0.94, high: -0.004, before_count: 3, after_count: 5 });
    expect(changeWords(share)).toMatchObject({ before: '2 of 3', after: '0 of 5', change: '\u221267 %', bounds: '\u221294 % to 0 %' });
    expect(changeWords(pair('faulty_share', 0, 0.5, { before_count: 2, after_count: 4 }))).toMatchObject({ before: '0 of 2', after: '2 of 4', change: '+50 %', bounds: '' });
    expect(changeWords(pair('faulty_share', 0, 0, { low: 0, high: null })).change).toBe('0 %');
    expect(changeWords(pair('faulty_share', null, 0.5, { low: null, high: 1 }))).toMatchObject({ before: 'none', change: '', bounds: '' });
  });

  it('has bounds with both ends, one, or none', () => {
    const number = (value: number): string => String(value);
    const bounds = (low: number | null, high: number | null): string => boundsWords(pair('run_a', 1, 2, { low, high }), number, { range: (from, to) => `${from} to ${to}`, atLeast: (figure) => `at least ${figure}`, atMost: (figure) => `at most ${figure}` });
    expect([bounds(1, 2), bounds(1, null), bounds(null, 2), bounds(null, null)]).toEqual(['1 to 2', 'at least 1', 'at most 2', '']);
    expect([metricUnit(''), metricUnit('ohm'), metricUnit('s')]).toEqual(['', ' \u03a9', ' s']);
    expect([shownIn(pair('run_a', 0.5, null)), shownIn(pair('duration_s', 0.5, 0.5)), shownIn(pair('run_a', null, -1))]).toEqual([{ factor: 1000, unit: 'mA' }, { factor: 1, unit: 's' }, { factor: 1, unit: 'A' }]);
  });

  it('is called as it came where this version does not know it', () => {
    expect([metricWords('run_a'), metricWords('torque_nm'), metricWords('constructor')]).toEqual(['running current', 'torque_nm', 'constructor']);
    expect(verdictWords({ finding: 'repaired' } as never)).toMatchObject({ title: 'Repaired', tone: 'good' });
    expect(verdictWords({ finding: 'repaired', claims: false } as never)).toMatchObject({ title: 'Cannot tell', tone: 'open' });
    expect(verdictWords({ finding: 'worse', claims: true } as never).tone).toBe('fault');
  });
});

describe('one of several', () => {
  const read = (finding: string) => ({ finding });

  it('is like the others only where it reads as more than half of them do', () => {
    expect(likeWords(read('normal'), ['normal', 'normal', 'stalled'].map(read))).toBe('like the others');
    expect(likeWords(read('stalled'), ['normal', 'normal', 'stalled'].map(read))).toBe('stalled, unlike most of the others');
    expect(likeWords(read('stalled'), ['normal', 'stalled'].map(read))).toBe('stalled, unlike most of the others');
  });

  it('is not called normal where nothing judged it, as on its own page', () => {
    const unjudged = { finding: 'normal', basis: 'none' } as const;
    expect(judgedTitle(unjudged)).toBe(judgedWords('normal', 'none').title);
    expect(judgedTitle(unjudged)).not.toBe(judgedTitle({ finding: 'normal', basis: 'limits' }));
    expect(likeWords(unjudged, [unjudged, read('stalled'), read('stalled')])).toBe('ran and stopped, unlike most of the others');
  });
});

describe('a trace against known-good limits', () => {
  const place = (more: Partial<Placement>): Placement => ({ direction: 'forward', metric: 'run_a', value: 5, low_value: 4.9, high_value: 5.1, low: 4, high: 6, place: 'inside', beyond: 0, beyond_share: 0, certain: true, ...more });
  const above = place({ value: 6.24, low_value: 6.1, high_value: 6.4, place: 'above', beyond: 0.24, beyond_share: 0.04 });
  const below = place({ value: 3, low_value: null, high_value: null, place: 'below', beyond: 1, beyond_share: 0.25 });

  it('is inside where every figure is', () => {
    expect(placeWords([])).toMatchObject({ title: 'Nothing to compare', tone: 'open', rows: [] });
    expect(placeWords([place({})])).toMatchObject({ title: 'Inside', tone: 'good', rows: [{ here: '5.00 A (4.90 to 5.10)', limits: '4.00 to 6.00 A', where: 'inside' }] });
    expect(placeWords([place({ certain: false })])).toMatchObject({ title: 'Inside', rows: [{ where: 'inside, its uncertainty passes the limit' }] });
  });

  it('is outside by so much, and by how sure a figure', () => {
    expect(placeWords([place({}), above])).toMatchObject({ title: 'Outside', tone: 'fault', sentence: 'One figure is outside the limits, furthest running current forward 4.0 % (0.240 A) above.' });
    expect(placeWords([below, above])).toMatchObject({ title: 'Outside', sentence: '2 figures are outside the limits, furthest running current forward 25 % (1.00 A) below.', rows: [{ here: '3.00 A' }, {}] });
    const unsure = { ...below, certain: false };
    expect(placeWords([unsure])).toMatchObject({ title: 'On the edge', tone: 'open', rows: [{ where: '25 % (1.00 A) below, within its uncertainty' }] });
    // a certain one counts before one that is further away and not certain
    expect(placeWords([unsure, above]).sentence).toContain('furthest running current forward 4.0 %');
    expect(placeWords([place({ metric: 'source_ohm', value: -0.1, low_value: null })]).rows[0]!.here).toBe('\u22120.100 \u03a9');
  });
});
