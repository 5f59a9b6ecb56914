import { afterEach, describe, expect, it, vi } from 'vitest';
import type { JobRecord } from '../../src/core/tracefile/record.ts';
import type { JobNext } from '../../src/core/wire/api.ts';
import { answer, caseError, change, openedJob, working } from '../../web/job/case-state.ts';
import { daemonAnswers } from './daemon-answers.ts';

const MINIBUS = { id: 'minibus', signs: {}, answered: {} } as unknown as JobRecord;
const BUS = { id: 'library-bus', signs: {}, answered: {} } as unknown as JobRecord;
const OF_MINIBUS = { test: 'actuation' } as JobNext;
const OF_BUS = { test: 'drain' } as JobNext;

/** What was asked of the daemon. */
const asked: string[] = [];

/** A change of the minibus's job that is kept, or refused, when the test says so. */
function onItsWay(): { readonly done: Promise<void>; readonly kept: () => void; readonly refused: (why: Error) => void } {
  let kept!: () => void;
  let refused!: (why: Error) => void;
  const evidence = new Promise((resolve, reject) => {
    kept = () => resolve(MINIBUS);
    refused = reject;
  });
  daemonAnswers((method, path) => {
    asked.push(`${method} ${path}`);
    if (method === 'PUT') return evidence;
    return path === '/api/jobs/minibus/next' ? OF_MINIBUS : [];
  });
  openedJob.value = MINIBUS;
  return { done: change(MINIBUS, () => ({ signs: { hums: 'yes' } })), kept, refused };
}

/** The page goes on to the other job, and has its answer. */
function openTheBus(): void {
  openedJob.value = BUS;
  answer.value = OF_BUS;
  working.value = false;
}

describe('a change of a job that was left before it was kept', () => {
  afterEach(() => {
    vi.unstubAllGlobals();
    asked.length = 0;
    openedJob.value = answer.value = null;
    caseError.value = '';
    working.value = true;
  });

  it('asks what it leaves while its job is open', async () => {
    const { done, kept } = onItsWay();
    kept();
    await done;
    expect(answer.value).toEqual(OF_MINIBUS);
    expect(working.value).toBe(false);
  });

  it('puts no answer of its own in the place of that of the job which is open now', async () => {
    const { done, kept } = onItsWay();
    openTheBus();
    kept();
    await done;
    expect(asked).toEqual(['PUT /api/jobs/minibus/evidence']);
    expect(answer.value).toBe(OF_BUS);
  });

  it('that is refused is said, and leaves the job that is open now as it is', async () => {
    const { done, refused } = onItsWay();
    openTheBus();
    refused(new Error('the disk is full'));
    await done;
    expect(openedJob.value).toBe(BUS);
    expect(answer.value).toBe(OF_BUS);
    expect(caseError.value).toContain('the disk is full');
  });
});
