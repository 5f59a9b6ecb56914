import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { TraceView } from '../../src/core/wire/api.ts';
import { refreshStored, storedError, traces } from '../../web/state/stored.ts';
import { daemonAnswers } from './daemon-answers.ts';

/** A list that is answered, or refused, when the test says so. */
interface Later {
  readonly answered: Promise<TraceView[]>;
  readonly answer: (list: TraceView[]) => void;
  readonly refuse: (why: Error) => void;
}

function later(): Later {
  let answer!: (list: TraceView[]) => void;
  let refuse!: (why: Error) => void;
  const answered = new Promise<TraceView[]>((resolve, reject) => {
    answer = resolve;
    refuse = reject;
  });
  return { answered, answer, refuse };
}

const RUNNING = [{ jobId: 'running' }] as TraceView[];
const ENDED = [{ jobId: 'ended' }] as TraceView[];

describe('the traces on disk, as a page knows them', () => {
  const lists: Later[] = [];

  beforeEach(() => {
    daemonAnswers((_method, path) => (path === '/api/traces' ? lists.shift()!.answered : []));
  });
  afterEach(() => {
    vi.unstubAllGlobals();
    traces.value = null;
    storedError.value = '';
  });

  function twoAsked(): readonly [Later, Later, Promise<unknown>] {
    const [first, second] = [later(), later()];
    lists.push(first, second);
    return [first, second, Promise.all([refreshStored(), refreshStored()])];
  }

  it('are those asked for last, where the answers come in turn', async () => {
    const [first, second, done] = twoAsked();
    first.answer(RUNNING);
    await expect.poll(() => traces.value).toEqual(RUNNING);
    second.answer(ENDED);
    await done;
    expect(traces.value).toEqual(ENDED);
  });

  it('are those asked for last, where the answers cross', async () => {
    const [first, second, done] = twoAsked();
    second.answer(ENDED);
    await expect.poll(() => traces.value).toEqual(ENDED);
    first.answer(RUNNING);
    await done;
    expect(traces.value).toEqual(ENDED);
  });

  it('are not touched by an earlier refusal that comes after the later answer', async () => {
    const [refused, answered, both] = twoAsked();
    answered.answer(ENDED);
    await expect.poll(() => traces.value).toEqual(ENDED);
    refused.refuse(new Error('gone'));
    await both;
    expect(storedError.value).toBe('');
  });

  it('say what went wrong where that is the last that is known', async () => {
    const [first, second, done] = twoAsked();
    first.answer(RUNNING);
    second.refuse(new Error('gone'));
    await done;
    expect(storedError.value).toBe('gone');
  });
});
