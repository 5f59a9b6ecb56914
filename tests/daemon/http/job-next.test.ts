import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import type { JobNext } from '../../../src/core/wire/api.ts';
import { JOB, writeJob, writeTrace } from '../prove-stand.ts';
import { withStand, type Stand } from '../stand.ts';

let dataDir: string;
beforeAll(async () => {
  dataDir = mkdtempSync(join(tmpdir(), 'amptrail-next-'));
  await writeJob(dataDir);
  await writeTrace(dataDir, 'before', 'side-step-jam', { title: 'Before', start: '2026-11-25T07:05:00.000Z' });
  await writeTrace(dataDir, 'after', 'side-step-healthy', { title: 'After', start: '2026-11-25T09:05:00.000Z' });
  await writeTrace(dataDir, 'unknown', 'side-step-jam', { title: 'Which test?', test: null });
  return () => rmSync(dataDir, { recursive: true, force: true });
});

const held = withStand(() => ({ dataDir }));

const EVIDENCE = `/api/jobs/${JOB}/evidence`;

async function next(on: Stand): Promise<JobNext> {
  const response = await on.api(`/api/jobs/${JOB}/next`);
  expect(response.status).toBe(200);
  return (await response.json()) as JobNext;
}

describe('what is left of a job, over HTTP', () => {
  it('comes from its signs and traces, names those that say nothing, and after a repair holds the proof', async () => {
    const on = held.stand;
    expect((await on.api(EVIDENCE, { method: 'PUT', body: { signs: { 'moves-a-little': 'yes' }, repair: { cause: 'mechanism', part: '', work: 'Slide cleaned', at: '2026-11-25T08:00:00Z' } } })).status).toBe(200);
    const proved = await next(on);
    expect(proved).toMatchObject({ test: 'actuation', proof: { state: 'confirmed' }, next: null, unread: [{ name: 'Which test?' }] });
    expect((await on.api(EVIDENCE, { method: 'PUT', body: { repair: null } })).status).toBe(200);
    const open = await next(on);
    expect(open.proof).toBeNull();
    expect(open.causes.find(({ cause }) => cause === 'mechanism')?.because.join(' ')).toContain('(Before: ');
  });

  it('prints in two sentences on the page for the customer', async () => {
    const on = held.stand;
    await on.api(EVIDENCE, { method: 'PUT', body: { repair: { cause: 'mechanism', part: '', work: 'Slide cleaned <b>', at: '2026-11-25T08:00:00Z' } } });
    const page = await (await on.api(`/api/report?traces=${JOB}/before,${JOB}/after&for=customer`)).text();
    expect(page).toContain('We found the fault in the mechanism that the motor drives; work done on 25 November 2026: Slide cleaned &lt;b&gt;.');
    expect(page).toContain('The same test before and after proves the repair');
  });

  it('refuses what is no evidence, with the field', async () => {
    const on = held.stand;
    const error = async (body: unknown): Promise<string> => {
      const response = await on.api(EVIDENCE, { method: 'PUT', body });
      expect(response.status).toBe(400);
      return ((await response.json()) as { error: { text: string } }).error.text;
    };
    expect(await error({ signs: { hums: 'maybe' } })).toContain('signs.hums');
    expect(await error({ colour: 'red' })).toContain('colour is not a field');
    expect(await error({ readings: [{ point: 'bonnet', v: 1 }] })).toContain('readings[0].point');
    expect(await error({ repair: { cause: 'ghost', part: '', work: '', at: '2026-11-25T08:00:00Z' } })).toContain('repair.cause');
    expect(await error({ repair: { cause: null, part: '', work: '', at: 'today' } })).toContain('repair.at');
    expect(await error({ fuse_survey: { battery_a: null, fuses: [{ label: 'F1', type: 'ato', rating_a: 'ten', mv: 1 }] } })).toContain('fuses[0].rating_a');
    expect((await on.api('/api/jobs/nobody/evidence', { method: 'PUT', body: {} })).status).toBe(404);
    expect((await on.api('/api/jobs/nobody/next')).status).toBe(404);
  });
});
