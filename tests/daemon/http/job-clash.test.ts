import { describe, expect, it } from 'vitest';
import type { JobRecord } from '../../../src/core/tracefile/record.ts';
import type { JobClash } from '../../../src/core/wire/api.ts';
import { startStand, type Stand } from '../stand.ts';

const FIELDS = { depot: 'North', vehicle: 'Van 2', complaint: 'door sticks', circuit: 'door', fuse_rating_a: 20, technician: '', note: '' };

async function startJob(): Promise<{ stand: Stand; job: JobRecord; put: (path: string, body: unknown) => Promise<Response>; kept: () => Promise<JobRecord> }> {
  const stand = await startStand();
  const job = (await (await stand.api('/api/jobs', { method: 'POST', body: FIELDS })).json()) as JobRecord;
  return {
    stand,
    job,
    put: (path, body) => stand.api(`/api/jobs/${job.id}${path}`, { method: 'PUT', body }),
    kept: async () => ((await (await stand.api('/api/jobs')).json()) as { job: JobRecord }[]).find((one) => one.job.id === job.id)!.job,
  };
}

describe('two people who save one job', () => {
  it('both keep what they wrote where it is of different fields', async () => {
    const { put, kept } = await startJob();
    expect((await put('', { ...FIELDS, note: 'left door only', was: FIELDS })).status).toBe(200);
    expect((await put('', { ...FIELDS, technician: 'R.', was: FIELDS })).status).toBe(200);
    expect(await kept()).toMatchObject({ note: 'left door only', technician: 'R.' });
  });

  it('learn where they wrote two things into one field: nothing is overwritten, and what is kept comes with the answer', async () => {
    const { put, kept } = await startJob();
    expect((await put('', { ...FIELDS, note: 'first', was: FIELDS })).status).toBe(200);
    const answer = await put('', { ...FIELDS, note: 'second', technician: 'R.', was: FIELDS });
    expect(answer.status).toBe(409);
    expect(await answer.json()).toMatchObject({ error: { code: 'changed-meanwhile', text: expect.stringContaining('Nothing was overwritten') }, now: { note: 'first', technician: '' } } satisfies Partial<Record<keyof JobClash, unknown>>);
    expect(await kept()).toMatchObject({ note: 'first', technician: '' });
    expect((await put('', { ...FIELDS, note: 'first\nsecond', technician: 'R.', was: { ...FIELDS, note: 'first' } })).status).toBe(200);
    expect(await kept()).toMatchObject({ note: 'first\nsecond', technician: 'R.' });
  });

  it('answer different signs without undoing each other, and learn of the same one', async () => {
    const { put, kept } = await startJob();
    const was = { signs: {}, readings: [] };
    expect((await put('/evidence', { signs: { hums: 'yes' }, readings: [{ point: 'battery', v: 12.6, while: 'pressed' }], was })).status).toBe(200);
    expect((await put('/evidence', { signs: { 'no-sound': 'no' }, readings: [{ point: 'motor-plus', v: 11.8, while: 'pressed' }], was })).status).toBe(200);
    expect((await kept()).signs).toEqual({ hums: 'yes', 'no-sound': 'no' });
    expect((await kept()).readings).toHaveLength(2);
    expect((await put('/evidence', { signs: { hums: 'no' }, was: { signs: {} } })).status).toBe(409);
    expect((await kept()).signs).toEqual({ hums: 'yes', 'no-sound': 'no' });
    // a page that says nothing of what it had is taken at its word, as before
    expect((await put('/evidence', { signs: { hums: 'no' } })).status).toBe(200);
  });

  it('hear at once that something has changed', async () => {
    const { stand, put } = await startJob();
    const page = await stand.page();
    expect((await put('', { ...FIELDS, note: 'x', was: FIELDS })).status).toBe(200);
    await page.next('stored', () => true, 0);
  });

  it('cannot send a version that is none', async () => {
    const { put } = await startJob();
    for (const body of [{ ...FIELDS, was: 1 }, { ...FIELDS, was: { ...FIELDS, vehicle: 3 } }, { ...FIELDS, was: null }, [], 'x']) expect((await put('', body)).status).toBe(400);
    for (const body of [{ signs: {}, was: 'x' }, { signs: {}, was: { nothing: 1 } }]) expect((await put('/evidence', body)).status).toBe(400);
  });
});
