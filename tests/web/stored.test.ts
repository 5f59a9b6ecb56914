import { afterEach, describe, expect, it, vi } from 'vitest';
import type { TraceView } from '../../src/core/wire/api.ts';
import { listTraces } from '../../web/net/api.ts';
import { refreshStored, storedError, traces } from '../../web/state/stored.ts';

vi.mock('../../web/net/api.ts', async (original) => ({ ...(await original<object>()), listJobs: async () => [], listTraces: vi.fn() }));

/** A list that is answered, or refused, when the test says so. */
function later(): { readonly answered: Promise<TraceView[]>; readonly answer: (list: TraceView[]) => void; readonly refuse: (why: Error) => void } {
  let answer!: (list: TraceView[]) => void;
  let refuse!: (why: Error) => void;
  const answered = new Promise<TraceView[]>((resolve, reject) => {
    answer = resolve;
    refuse = reject;
  });
  return { answered, answer, refuse };
}

const RUNNING: TraceView[] = [];
const ENDED: TraceView[] = [];

describe('the traces on disk, as a page knows them', () => {
  afterEach(() => {
    traces.value = null;
    storedError.value = '';
  });

  function twoAsked(): readonly [ReturnType<typeof later>, ReturnType<typeof later>, Promise<unknown>] {
    const [first, second] = [later(), later()];
    vi.mocked(listTraces).mockReturnValueOnce(first.answered).mockReturnValueOnce(second.answered);
    return [first, second, Promise.all([refreshStored(), refreshStored()])];
  }

  it('are those asked for last, in whichever order the answers come', async () => {
    for (const crossed of [false, true]) {
      const [first, second, done] = twoAsked();
      const answers = [(): void => first.answer(RUNNING), (): void => second.answer(ENDED)];
      for (const answer of crossed ? answers.toReversed() : answers) {
        answer();
        await new Promise((resolve) => setTimeout(resolve, 0));
      }
      await done;
      expect(traces.value, crossed ? 'crossed' : 'in turn').toBe(ENDED);
    }
  });

  it('are the earlier answer while the later one is on its way, and an earlier refusal says nothing of the later answer', async () => {
    const [first, second, done] = twoAsked();
    first.answer(RUNNING);
    await vi.waitFor(() => expect(traces.value).toBe(RUNNING));
    second.answer(ENDED);
    await done;
    expect(traces.value).toBe(ENDED);
    const [refused, answered, both] = twoAsked();
    answered.answer(ENDED);
    await vi.waitFor(() => expect(traces.value).toBe(ENDED));
    refused.refuse(new Error('gone'));
    await both;
    expect(storedError.value).toBe('');
  });

  it('say what went wrong where that is the last that is known', async () => {
    const [first, second, done] = twoAsked();
    first.answer(RUNNING);
    second.refuse(new Error('gone'));
    await done;
    expect(storedError.value).toContain('gone');
  });
});
