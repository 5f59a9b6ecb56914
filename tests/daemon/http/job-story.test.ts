import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { strToU8, unzipSync, zipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import type { JobRecord } from '../../../src/core/tracefile/record.ts';
import type { JobView } from '../../../src/core/wire/api.ts';
import { startStand, temporaryFolder, type Stand } from '../stand.ts';

const JOB = { depot: 'Mill Lane', vehicle: 'Minibus 4', complaint: 'side step hardly moves', circuit: 'side step', fuse_rating_a: 25, technician: 'R.', note: '' };
/** 8 x 8 red pixels, written by a general-purpose library */
const PNG = Buffer.from('iVBORw0KGgoAAAANSUhEUgAAAAgAAAAICAIAAABLbSncAAAAEklEQVR4nGP8z4APMOGVHbHSAEEsAQ9FBRXuAAAAAElFTkSuQmCC', 'base64');

async function ask<T>(on: Stand, method: string, path: string, body?: unknown): Promise<{ status: number; body: T }> {
  const raw = body instanceof Uint8Array;
  const answer = await on.api(path, { method, ...(body === undefined ? {} : { body }), ...(raw ? { headers: { 'Content-Type': 'application/octet-stream' } } : {}) });
  return { status: answer.status, body: (await answer.json()) as T };
}

async function newJob(on: Stand, more: object = {}): Promise<JobRecord> {
  return (await ask<JobRecord>(on, 'POST', '/api/jobs', { ...JOB, ...more })).body;
}

describe('the story of a job, over HTTP', () => {
  it('keeps plate, VIN, odometer and customer, and leaves them where an older page does not send them', async () => {
    const on = await startStand();
    const { id } = await newJob(on, { plate: 'MT 44', vin: 'AMPTRA1L000000044', odometer_km: 187_250, customer: 'Millbrook transport' });
    const { body } = await ask<JobRecord>(on, 'PUT', `/api/jobs/${id}`, { ...JOB, note: 'left side' });
    expect(body).toMatchObject({ plate: 'MT 44', vin: 'AMPTRA1L000000044', odometer_km: 187_250, customer: 'Millbrook transport', note: 'left side' });
  });

  it('keeps notes with their times, of which a removed one stays in the file', async () => {
    const on = await startStand();
    const { id } = await newJob(on);
    const written = await Promise.all(['Slide full of grit', 'Customer rang'].map((text) => ask<JobRecord>(on, 'POST', `/api/jobs/${id}/notes`, { text })));
    const { notes } = written.map(({ body }) => body).sort((a, b) => b.notes.length - a.notes.length)[0]!;
    expect(notes.map(({ text }) => text).sort()).toEqual(['Customer rang', 'Slide full of grit']);
    expect(new Set(notes.map(({ at }) => at)).size).toBe(2);
    const changed = await ask<JobRecord>(on, 'PUT', `/api/jobs/${id}/notes`, { at: notes[0]!.at, removed: true });
    expect(changed.body.notes.map(({ removed }) => removed)).toEqual([true, false]);
    expect((await ask(on, 'PUT', `/api/jobs/${id}/notes`, { at: '2020-01-01T00:00:00Z', removed: true })).status).toBe(404);
    expect((await ask(on, 'POST', `/api/jobs/${id}/notes`, { text: '  ' })).status).toBe(400);
    expect((await ask(on, 'POST', `/api/jobs/${id}/notes`, { text: 'x'.repeat(4001) })).status).toBe(400);
  });

  it('closes and archives with the time it was said first', async () => {
    const on = await startStand();
    const { id } = await newJob(on);
    const first = (await ask<JobRecord>(on, 'PUT', `/api/jobs/${id}/state`, { closed: true })).body;
    expect(first.closed).toMatch(/^\d{4}-.*Z$/);
    const again = (await ask<JobRecord>(on, 'PUT', `/api/jobs/${id}/state`, { closed: true, archived: true })).body;
    expect([again.closed, again.archived]).toEqual([first.closed, expect.any(String)]);
    expect((await ask<JobRecord>(on, 'PUT', `/api/jobs/${id}/state`, { closed: false })).body).toMatchObject({ closed: null, archived: again.archived });
    expect((await ask(on, 'PUT', `/api/jobs/${id}/state`, { closed: 'yes' })).status).toBe(400);
  });

  it('removes a job from the list, and brings it back', async () => {
    const on = await startStand();
    const { id } = await newJob(on);
    const { body } = await ask<{ removed: string }>(on, 'POST', `/api/jobs/${id}/remove`, {});
    expect((await ask<JobView[]>(on, 'GET', '/api/jobs')).body).toEqual([]);
    expect((await ask<JobView[]>(on, 'GET', '/api/removed-jobs')).body.map(({ job }) => job.vehicle)).toEqual(['Minibus 4']);
    expect((await ask<JobRecord>(on, 'POST', `/api/removed-jobs/${body.removed}/restore`, {})).body.id).toBe(id);
    expect((await ask<JobView[]>(on, 'GET', '/api/jobs')).body).toHaveLength(1);
    expect((await ask(on, 'POST', '/api/jobs/none/remove', {})).status).toBe(404);
    expect((await ask(on, 'POST', '/api/removed-jobs/none/restore', {})).status).toBe(404);
  });
});

describe('photos of a job, over HTTP', () => {
  it('are kept under a name of ours and served as the picture they are, never as a page', async () => {
    const on = await startStand();
    const { id } = await newJob(on);
    const kept = await ask<JobRecord>(on, 'POST', `/api/jobs/${id}/photos?name=${encodeURIComponent('../slide <b>.svg')}`, PNG);
    expect(kept.status).toBe(200);
    const [photo] = kept.body.photos;
    expect(photo).toMatchObject({ caption: '../slide <b>', width_px: 8, height_px: 8, removed: false });
    expect(photo!.id).toMatch(/^photo-[\w-]+\.png$/);
    const served = await on.api(`/api/jobs/${id}/photos/${photo!.id}`);
    expect([served.headers.get('content-type'), served.headers.get('x-content-type-options'), served.headers.get('content-security-policy')]).toEqual(['image/png', 'nosniff', "default-src 'none'; sandbox"]);
    expect(Buffer.from(await served.arrayBuffer()).equals(PNG)).toBe(true);
    expect((await ask<JobRecord>(on, 'PUT', `/api/jobs/${id}/photos/${photo!.id}`, { removed: true })).body.photos[0]!.removed).toBe(true);
    expect((await on.api(`/api/jobs/${id}/photos/job.json`)).status).toBe(400);
    expect((await on.api(`/api/jobs/${id}/photos/photo-none.png`)).status).toBe(404);
  });

  it.each([
    ['an SVG with a script', strToU8('<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>')],
    ['a page', strToU8('<!doctype html><title>x</title>')],
    ['a picture of more pixels than any camera has', (() => {
      const huge = Buffer.from(PNG);
      huge.writeUInt32BE(60_000, 16);
      huge.writeUInt32BE(60_000, 20);
      return huge;
    })()],
  ])('are refused when they are %s, and nothing is left of it', async (_what, file) => {
    const dataDir = temporaryFolder();
    const on = await startStand({ dataDir });
    const { id } = await newJob(on);
    const answer = await ask<{ error: { code: string } }>(on, 'POST', `/api/jobs/${id}/photos?name=photo.png`, new Uint8Array(file));
    expect([413, 422]).toContain(answer.status);
    expect(readdirSync(join(dataDir, 'jobs', id))).toEqual(['job.json']);
  });
});

describe('a job as one zip', () => {
  it('goes to another data folder with its notes and photos, without a trace, too', async () => {
    const on = await startStand();
    const { id } = await newJob(on, { plate: 'MT 44' });
    await ask(on, 'POST', `/api/jobs/${id}/notes`, { text: 'Slide full of grit' });
    await ask(on, 'POST', `/api/jobs/${id}/photos?name=slide.png`, PNG);
    const zip = new Uint8Array(await (await on.api(`/api/jobs/${id}/export.zip`)).arrayBuffer());
    const dataDir = temporaryFolder();
    const there = await startStand({ dataDir });
    const taken = await ask<{ job: JobRecord; traces: number }>(there, 'POST', '/api/jobs-import?name=job.zip', zip);
    expect(taken.status).toBe(200);
    expect(taken.body).toMatchObject({ traces: 0, job: { plate: 'MT 44', notes: [{ text: 'Slide full of grit' }], photos: [{ caption: 'slide' }] } });
    const { job } = taken.body;
    expect(readFileSync(join(dataDir, 'jobs', job.id, job.photos[0]!.id)).equals(PNG)).toBe(true);
    // the same again is a second job, not the first one changed
    expect((await ask<{ job: JobRecord }>(there, 'POST', '/api/jobs-import?name=job.zip', zip)).body.job.id).not.toBe(job.id);
  });

  it('brings in no picture that is none, and no job that is none', async () => {
    const on = await startStand();
    const { id } = await newJob(on);
    const whole = unzipSync(new Uint8Array(await (await on.api(`/api/jobs/${id}/export.zip`)).arrayBuffer()));
    const bad = zipSync({ ...whole, [`${id}/photo-x.png`]: strToU8('<svg onload="alert(1)"/>'), [`${id}/index.html`]: strToU8('<script>alert(1)</script>') });
    const dataDir = temporaryFolder();
    const there = await startStand({ dataDir });
    const taken = await ask<{ job: JobRecord }>(there, 'POST', '/api/jobs-import?name=job.zip', bad);
    expect(readdirSync(join(dataDir, 'jobs', taken.body.job.id))).toEqual(['job.json']);
    expect((await ask<{ error: { text: string } }>(there, 'POST', '/api/jobs-import?name=x.zip', zipSync({ 'a.txt': strToU8('a') }))).body.error.text).toContain('no job');
    expect((await ask(there, 'POST', '/api/jobs-import?name=x.zip', strToU8('not a zip'))).status).toBe(422);
  });
});
