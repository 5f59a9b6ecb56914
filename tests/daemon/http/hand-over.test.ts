import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import type { JobView, TraceView } from '../../../src/core/wire/api.ts';
import { cli } from '../../cli/run.ts';
import { JOB, writeJob, writeTrace } from '../prove-stand.ts';
import { startStand, type Stand } from '../stand.ts';

let folder: string;
let here: string;
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'amptrail-hand-over-'));
  here = join(folder, 'here');
  await writeJob(here);
  await writeTrace(here, 'before', 'side-step-jam', { title: 'Before the repair' });
  await writeTrace(here, 'after', 'side-step-healthy', { title: 'After the repair' });
  await writeTrace(here, 'night', 'van-quick-drain', { title: 'Parked' });
  return () => rmSync(folder, { recursive: true, force: true });
});

async function zipOf(on: Stand, path: string): Promise<Buffer> {
  const response = await on.api(path);
  expect(response.status).toBe(200);
  return Buffer.from(await response.arrayBuffer());
}

async function takeIn(on: Stand, zip: Buffer): Promise<void> {
  const response = await on.api('/api/import?name=handed-over.zip', { method: 'POST', body: zip, headers: { 'Content-Type': 'application/octet-stream' } });
  expect(response.status, await response.clone().text()).toBe(200);
}

const list = async <Item>(on: Stand, path: string): Promise<Item[]> => (await (await on.api(path)).json()) as Item[];

/** What the command line reads in a trace, whichever machine it lies on. */
async function reading(dataDir: string, jobId: string, traceId: string): Promise<unknown> {
  const { out, code } = await cli(['analyse', join(dataDir, 'jobs', jobId, traceId), '--json']);
  expect(code).toBe(0);
  return JSON.parse(out);
}

describe('handing over', () => {
  it('a whole job as one zip gives the second amptrail the same job, the same samples and the same readings', async () => {
    const zip = await zipOf(await startStand({ dataDir: here }), `/api/jobs/${JOB}/export.zip`);
    const there = join(folder, 'there');
    const second = await startStand({ dataDir: there });
    await takeIn(second, zip);
    const traces = await list<TraceView>(second, '/api/traces');
    expect(traces.map(({ record }) => record.title).sort()).toEqual(['After the repair', 'Before the repair', 'Parked']);
    const [job] = await list<JobView>(second, '/api/jobs');
    expect(job!.job).toMatchObject({ vehicle: 'Minibus 4', complaint: 'The side step stops halfway', note: 'Linkage cleaned and greased.' });
    for (const { jobId, record } of traces) {
      const own = JSON.parse(readFileSync(join(here, 'jobs', JOB, record.id, 'trace.json'), 'utf8')) as { sha256: string };
      expect(record.sha256, record.title).toBe(own.sha256);
      expect(await reading(there, jobId, record.id)).toEqual(await reading(here, JOB, record.id));
      expect(await cli(['verify', join(there, 'jobs', jobId, record.id)])).toMatchObject({ code: 0 });
    }
    // and the two still compare as they did before
    const folders = traces.filter(({ record }) => record.test === 'actuation').map(({ jobId, record }) => join(there, 'jobs', jobId, record.id));
    const { out } = await cli(['compare', folders.find((path) => path.endsWith('before'))!, folders.find((path) => path.endsWith('after'))!, '--json']);
    expect(JSON.parse(out)).toMatchObject({ verdict: { finding: 'repaired' } });
  });

  it('one trace as one zip brings its samples, its marks and its reading', async () => {
    const zip = await zipOf(await startStand({ dataDir: here }), `/api/traces/${JOB}/night/export.zip`);
    const there = join(folder, 'one');
    const second = await startStand({ dataDir: there });
    await takeIn(second, zip);
    const [trace] = await list<TraceView>(second, '/api/traces');
    expect(trace!.record.title).toBe('Parked');
    const [from, to] = [join(here, 'jobs', JOB, 'night'), join(there, 'jobs', trace!.jobId, trace!.record.id)];
    expect(readFileSync(join(to, 'samples.arrows')).equals(readFileSync(join(from, 'samples.arrows')))).toBe(true);
    expect(readFileSync(join(to, 'marks.jsonl'), 'utf8')).toBe(readFileSync(join(from, 'marks.jsonl'), 'utf8'));
    expect(await reading(there, trace!.jobId, trace!.record.id)).toEqual(await reading(here, JOB, 'night'));
  });

  it('made by the command line is taken in as well as one made by the page', async () => {
    const out = join(folder, 'job.zip');
    expect(await cli(['convert', join(here, 'jobs', JOB), out])).toMatchObject({ code: 0 });
    const there = join(folder, 'by-line');
    const second = await startStand({ dataDir: there });
    await takeIn(second, readFileSync(out));
    expect(await list<TraceView>(second, '/api/traces')).toHaveLength(3);
    // nothing of the work of unpacking is left
    expect(readdirSync(there).filter((name) => name.startsWith('.import'))).toEqual([]);
  });
});
