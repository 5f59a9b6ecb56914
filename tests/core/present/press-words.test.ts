import { describe, expect, it } from 'vitest';
import type { Actuation, ActuationResult } from '../../../src/core/analysis/results.ts';
import { judgedWords, liveWords, pressWords, resultWords } from '../../../src/core/present/wording/finding-words.ts';

const press = (finding: Actuation['finding'], cut?: Actuation['cut']): Actuation => ({ finding, ...(cut === undefined ? {} : { cut }) }) as Actuation;
const result = (finding: string, actuations: Actuation[], kind = 'motor'): ActuationResult => ({ test: 'actuation', verdict: { finding, basis: 'itself' }, load: { kind }, actuations }) as unknown as ActuationResult;

describe('words for a press that is not recorded from start to end', () => {
  it('name the fault that the recorded part shows, and never say that all is well', () => {
    expect(pressWords(press('stalled', 'end'), false)).toEqual({ title: 'Stalled, partly recorded', tone: 'fault' });
    expect(pressWords(press('normal', 'end'), false)).toEqual({ title: 'Partly recorded', tone: 'open' });
    expect(pressWords(press('unclear', 'start'), false)).toEqual({ title: 'Partly recorded', tone: 'open' });
  });

  it('say of the press of now that it is still on', () => {
    expect(pressWords(press('stalled', 'end'), true)).toEqual({ title: 'Stalled, still on', tone: 'fault' });
    expect(pressWords(press('normal', 'both'), true)).toEqual({ title: 'Still on', tone: 'open' });
    // it began before the recording and is over
    expect(pressWords(press('stalled', 'start'), true).title).toBe('Stalled, partly recorded');
  });

  it('stand on the card only while no whole press says more', () => {
    expect(liveWords(result('unclear', [press('stalled', 'end')])).title).toBe('Stalled, still on');
    expect(liveWords(result('stalled', [press('stalled'), press('normal', 'end')])).title).toBe('Stalled');
    expect(liveWords(result('unclear', [press('unclear')])).title).toBe('Cannot tell');
    // of a press that is over, and of none, the result speaks
    expect([liveWords(result('unclear', [press('stalled')])).title, liveWords(result('unclear', [])).title]).toEqual(['Cannot tell', 'Cannot tell']);
    // nobody has worked the switch yet: that is no fault of the feed
    expect(liveWords(result('unpowered', []))).toMatchObject({ title: 'No press seen yet', tone: 'open' });
    expect(resultWords(result('unpowered', [])).tone).toBe('fault');
  });
});

describe('words for a test that found nothing wrong', () => {
  it('are the same in a list of presses and in a list of traces: never normal where nothing was there to judge by', () => {
    for (const words of [pressWords(press('normal'), false, 'none'), judgedWords('normal', 'none')]) expect(words).toMatchObject({ title: 'Ran and stopped', tone: 'open' });
    for (const words of [pressWords(press('normal'), false, 'itself'), judgedWords('normal', 'limits')]) expect(words).toMatchObject({ title: 'Normal', tone: 'good' });
    expect(judgedWords('stalled', 'none')).toMatchObject({ title: 'Stalled', tone: 'fault' });
    expect(judgedWords('asleep', undefined)).toMatchObject({ tone: 'good' });
  });

  // nothing turned there for sure: words of a motor are for motors alone
  it('claim no motor where the trace does not show one', () => {
    expect(resultWords(result('normal', [press('normal')])).sentence).toMatch(/^It ran/);
    const words = resultWords(result('normal', [press('normal')], 'unknown'));
    expect(words).toMatchObject({ title: 'Normal', tone: 'good' });
    expect(words.sentence).not.toMatch(/\b(ran|turned|its own stall)\b/);
  });

  it('speak of limits only where limits were given', () => {
    const normal = (basis: string): ActuationResult => ({ test: 'actuation', verdict: { finding: 'normal', basis }, load: { kind: 'motor' }, actuations: [] }) as unknown as ActuationResult;
    expect(resultWords(normal('limits')).sentence).toMatch(/within its limits/);
    expect(resultWords(normal('known-good')).sentence).toMatch(/within its limits/);
    expect(resultWords(normal('itself'))).toMatchObject({ title: 'Normal', tone: 'good', sentence: expect.not.stringContaining('limits') });
    expect(resultWords(normal('none'))).toMatchObject({ title: 'Ran and stopped', tone: 'open' });
  });
});
