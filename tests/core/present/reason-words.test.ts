import { describe, expect, it } from 'vitest';
import { fuseProblems } from '../../../src/core/present/wording/fuse-words.ts';
import { jobAnswer } from '../../../src/core/present/wording/job-words.ts';
import { reasonAnswer } from '../../../src/core/present/wording/reason-words.ts';
import { caseFileOf, type Case } from '../../../src/core/reason/case.ts';
import { nextStep } from '../../../src/core/reason/next.ts';
import { whatIsLeft } from '../../../src/core/reason/weigh.ts';

const answerTo = (more: Partial<Case>) => {
  const now: Case = { test: 'actuation', signs: {}, seen: [], readings: [], ...more };
  const left = whatIsLeft(caseFileOf(now));
  return { left, answer: reasonAnswer(left, nextStep(now, left)) };
};

describe('what is left of the causes, in words', () => {
  it('has for every sentence the source of its entry, what decides first', () => {
    const { answer } = answerTo({ seen: [{ observation: 'stalled', trace: '1', said: 'Stalled from 2.00 s.' }], readings: [{ point: 'motor-plus', v: 12.34, while: 'pressed' }, { point: 'motor-minus', v: 0.123, while: 'pressed' }], signs: { hums: 'yes' } });
    const all = answer.causes.flatMap(({ because, sources }) => because.map((text, at) => ({ text, source: sources[at] })));
    expect(all.some(({ text, source }) => text.includes('trace 1: Stalled from 2.00 s.') && source !== undefined)).toBe(true);
    // volts from 1 V on to a tenth, below to a hundredth
    expect(all.some(({ text }) => text.includes('0.12 V') || text.includes('12.3 V'))).toBe(true);
    expect(all.some(({ text }) => text.includes('0.1 V') || text.includes('12.34 V'))).toBe(false);
    // 0.12 V at the motor's minus rule its ground out, as a manual measures it; that it ran only counts against it, as experience has it
    const ground = answer.causes.find(({ cause }) => cause === 'ground')!;
    expect(ground.because.map((text) => text.split(':')[0])).toEqual(['ruled out', 'counts against it']);
    expect(ground.sources).toEqual([expect.stringContaining('testing for voltage drop'), expect.stringContaining('common practice')]);
    const { next } = answerTo({}).answer;
    expect(next!.check.length).toBeGreaterThan(10);
    expect(next!.decides.every(({ result, leaves }) => result.includes(' ') && leaves.length > 0)).toBe(true);
  });

  it('says of a cause that nothing speaks of that nothing does, and names a stored trace by its name', () => {
    expect(new Set(answerTo({}).answer.causes.flatMap(({ because }) => because))).toEqual(new Set(['no evidence for or against it yet']));
    const { answer } = answerTo({ seen: [{ observation: 'stalled', trace: 'job/step', said: '' }] });
    expect(answer.causes.some(({ because }) => because.some((text) => text.endsWith('(job/step)')))).toBe(true);
    expect(answer.contradiction).toBeNull();
  });

  it('names both pieces of evidence that cannot hold together, and what each leaves', () => {
    const pressed = (point: Case['readings'][number]['point'], v: number) => ({ point, v, while: 'pressed' as const });
    const { answer } = answerTo({ signs: { 'blows-unplugged': 'yes' }, seen: [{ observation: 'dead', trace: '1', said: '' }], readings: [pressed('motor-plus', 12.4), pressed('motor-minus', 0.05), pressed('fuse-out', 12.4), pressed('switch-in', 12.4), pressed('switch-out', 12.4)] });
    expect(answer.contradiction).toHaveLength(2);
    expect(answer.next!.code).toBe('verify');
    expect(answer.next!.decides.map(({ result }) => answer.contradiction!.map((piece) => result.includes(piece)))).toEqual([[true, false], [false, true]]);
  });

  it('leads a job with what the repair proved and what was left out', () => {
    const { left } = answerTo({});
    const job = (more: object) => jobAnswer({ test: 'actuation', left, next: null, proof: null, leftOut: [], ...more } as Parameters<typeof jobAnswer>[0], null);
    expect(job({})).toMatchObject({ proof: null, problems: [], next: null });
    expect(job({ leftOut: ['2', '5'] }).problems).toEqual([{ code: 'different-test', text: expect.stringContaining('2, 5') }]);
    const named = job({ proof: { state: 'confirmed', cause: 'motor' } }).proof!.text;
    expect(named).not.toBe(job({ proof: { state: 'confirmed', cause: 'switch' } }).proof!.text);
    expect(job({ proof: { state: 'works', cause: null } }).proof).toMatchObject({ state: 'works' });
    // what to do then: a parked vehicle has no running current
    const unknown = { state: 'cannot-tell', cause: 'motor' };
    expect(job({ proof: unknown }).proof!.text).toContain('Enter the usual running current');
    expect(job({ test: 'drain', proof: unknown }).proof!.text).toContain('until the vehicle has been asleep');
    expect(job({ test: 'drain', proof: unknown }).proof!.text).not.toContain('running');
  });

  it('calls a fuse by name, type and rating, and the sum by none', () => {
    const [one, sum] = fuseProblems([{ code: 'fuse-open', label: 'F12', type: 'mini', ratingA: 15 }, { code: 'fuse-sum', label: null, type: '', ratingA: 0 }]);
    expect(one!.text).toContain('F12 (blade, mini, 15 A)');
    expect(sum!.text).not.toMatch(/null|\(, 0 A\)/);
  });
});
