import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { language } from '../../../src/core/present/language.ts';
import { MOST_NOTES } from '../../../src/core/tracefile/job-story.ts';
import { StoreError } from '../../../src/daemon/store/files/store-error.ts';
import { DeskDevice } from '../sources/kit.ts';
import { bringTrace, routeBench, settle, type Answered } from './route-bench.ts';

const JOB = { depot: '', vehicle: 'minibus 7', complaint: 'step', circuit: 'step', fuse_rating_a: 20, technician: '', note: '' };
const PNG = Buffer.from('iVBORw0KGgoAAAANSUhEUgAAAAgAAAAICAIAAABLbSncAAAAEklEQVR4nGP8z4APMOGVHbHSAEEsAQ9FBRXuAAAAAElFTkSuQmCC', 'base64');
const textOf = ({ body }: Answered): string => body.error.text;
const noRoom = (): Error => Object.assign(new Error('write'), { code: 'ENOSPC', syscall: 'write' });

async function jobBench() {
  const bench = await routeBench();
  const { body } = await bench.ask('POST', '/api/jobs', JOB);
  bench.sent.length = 0;
  return { ...bench, jobId: body.id as string, path: `/api/jobs/${body.id}` };
}

describe('a change of a job', () => {
  it('is kept beside what another page changed meanwhile, unless it is the same; then both are shown', async () => {
    const { ask, path } = await jobBench();
    // without what the page had before, what it sends holds
    expect((await ask('PUT', path, { ...JOB, note: 'one' })).body.note).toBe('one');
    expect((await ask('PUT', path, { ...JOB, note: 'one', circuit: 'lift', was: { ...JOB, note: 'one' } })).body).toMatchObject({ circuit: 'lift', note: 'one' });
    const clash = await ask('PUT', path, { ...JOB, note: 'two', was: JOB });
    expect([clash.status, clash.body]).toEqual([409, { error: { code: 'changed-meanwhile', text: language.together.clash.refusal }, now: expect.objectContaining({ note: 'one', circuit: 'lift' }) }]);
    const evidence = (fields: object): Promise<Answered> => ask('PUT', `${path}/evidence`, fields);
    expect((await evidence({ signs: { hums: 'yes' } })).body.signs).toEqual({ hums: 'yes' });
    expect((await evidence({ signs: { hums: 'no' }, was: { signs: {} } })).status).toBe(409);
    expect((await evidence({ signs: { hums: 'no' }, was: { signs: { hums: 'yes' } } })).body.signs).toEqual({ hums: 'no' });
    for (const body of [{ signs: 'none' }, { signs: {}, was: { signs: 'none' } }]) expect((await evidence(body)).status).toBe(400);
  });

  it('that is none is refused with the field, and nobody is told of it', async () => {
    const { ask, path, sent } = await jobBench();
    for (const body of ['[]', '"x"', '{}', '{"was":{}}', JSON.stringify({ ...JOB, was: { note: 7 } })]) expect((await ask('PUT', path, body)).status, body).toBe(400);
    expect((await ask('PUT', '/api/jobs/none', JOB)).status).toBe(404);
    expect(sent).toEqual([]);
    await ask('PUT', path, JOB);
    expect(sent).toEqual([{ message: { type: 'stored' }, droppable: false }]);
  });

  it('of its state keeps the time it was said first', async () => {
    const { ask, path } = await jobBench();
    const state = async (change: object): Promise<unknown[]> => {
      const { body } = await ask('PUT', `${path}/state`, change);
      return [body.closed, body.archived];
    };
    const at = '2026-11-25T08:00:00.000Z';
    expect([await state({ closed: true }), await state({ archived: true }), await state({ closed: false }), await state({})]).toEqual([[at, null], [at, at], [null, at], [null, at]]);
  });

  it('that puts it aside ends recording to it', async () => {
    const { ask, path, jobId, live } = await jobBench();
    const { body } = await ask('POST', `${path}/remove`, {});
    expect(live.forgotten).toEqual([jobId]);
    expect((await ask('POST', '/api/jobs/none/remove', {})).status).toBe(404);
    expect(live.forgotten).toEqual([jobId]);
    expect((await ask('GET', '/api/removed-jobs')).body).toMatchObject([{ job: { id: jobId } }]);
    expect((await ask('POST', `/api/removed-jobs/${body.removed}/restore`, {})).body.id).toBe(jobId);
  });
});

describe('what is left of a job', () => {
  it('comes of its traces as they are read now, each with its own progress', async () => {
    const bench = await jobBench();
    const { store, ask, path, jobId } = bench;
    const ref = await store.moveTrace(await bringTrace(store, { test: 'actuation' }), jobId);
    bench.work.does = async (_order, { progress }) => {
      progress?.(0.5);
      throw new StoreError('no-samples', 'It holds no sample.');
    };
    const { status, body } = await ask('GET', `${path}/next`);
    expect([status, body.unread]).toEqual([200, [{ name: expect.any(String), why: 'It holds no sample.' }]]);
    expect(bench.work.orders).toEqual([{ do: 'analyse', path: await store.path(ref), test: 'actuation' }]);
    expect(bench.sent.map(({ message }) => message)).toContainEqual({ type: 'progress', ...ref, what: 'analysis', fraction: 0.5 });
    expect((await ask('GET', '/api/jobs/none/next')).status).toBe(404);
  });
});

describe('the notes of a job', () => {
  it('are told apart by their times, though two were written in one moment', async () => {
    const { ask, path } = await jobBench();
    const write = async (text: string): Promise<any[]> => (await ask('POST', `${path}/notes`, { text })).body.notes;
    await write('a');
    await write('b');
    const notes = await write('c');
    expect(notes.map(({ at, text, removed }) => [at, text, removed])).toEqual(['a', 'b', 'c'].map((text, n) => [`2026-11-25T08:00:00.00${n}Z`, text, false]));
    const change = (at: string, removed: boolean) => ask('PUT', `${path}/notes`, { at, removed });
    expect((await change(notes[1].at, true)).body.notes.map((note: any) => note.removed)).toEqual([false, true, false]);
    expect((await change(notes[1].at, false)).body.notes.map((note: any) => note.removed)).toEqual([false, false, false]);
    const gone = await change('2026-11-25T07:00:00.000Z', true);
    expect([gone.status, textOf(gone)]).toEqual([404, language.daemon.http.jobStory.theJobHasNo]);
  });

  it('are 2000 at most', async () => {
    const { ask, path, store, jobId } = await jobBench();
    const many = (count: number) => store.jobs.updateStory(jobId, () => ({ notes: Array.from({ length: count }, (_, n) => ({ at: new Date(1e12 + n).toISOString(), text: 'x', removed: false })) }));
    await many(MOST_NOTES - 1);
    expect((await ask('POST', `${path}/notes`, { text: 'the last one' })).body.notes).toHaveLength(MOST_NOTES);
    const more = await ask('POST', `${path}/notes`, { text: 'one more' });
    expect([more.status, textOf(more)]).toEqual([413, language.daemon.http.jobStory.aJobKeepsAt(MOST_NOTES)]);
  });
});

describe('a photo of a job', () => {
  it('has the name of its file for a caption, without the ending, of 200 characters at most', async () => {
    const { ask, path, sent } = await jobBench();
    const keep = async (query: string): Promise<string> => (await ask('POST', `${path}/photos${query}`, PNG)).body.photos.at(-1).caption;
    expect([await keep(''), await keep('?name=slide.jpeg'), await keep('?name=slide.x'), await keep('?name=a.b.png'), await keep('?name=slide.longer-ending'), await keep(`?name=${'x'.repeat(250)}`)]).toEqual(['', 'slide', 'slide', 'a.b', 'slide.longer-ending', 'x'.repeat(200)]);
    expect(sent).toHaveLength(6);
  });

  it('is sent as it is; one whose file is gone is not there', async () => {
    const { ask, path, dataFolder, jobId, logged } = await jobBench();
    const { body } = await ask('POST', `${path}/photos`, PNG);
    const { id } = body.photos[0];
    const { status, bytes, headers } = await ask('GET', `${path}/photos/${id}`);
    expect([status, bytes.equals(PNG), headers['content-type'], headers['cache-control'], headers['content-disposition']]).toEqual([200, true, 'image/png', 'no-store', 'inline']);
    writeFileSync(join(dataFolder, 'jobs', jobId, id), '');
    expect((await ask('GET', `${path}/photos/${id}`)).status).toBeGreaterThanOrEqual(400);
    expect(logged).toEqual([]);
  });

  it('or a whole job that cannot be kept is named as the person knows it', async () => {
    const { ask, path, store, scratchDir } = await jobBench();
    const fails = (error: (path: string) => Error) => Object.assign(store, { importJob: async (at: string) => Promise.reject(error(at)) });
    const send = (query: string): Promise<Answered> => ask('POST', `/api/jobs-import${query}`, Buffer.from('x'));
    fails((at) => new StoreError('wrong-format', `${at} holds no job.`));
    expect(textOf(await send('?name=minibus.zip'))).toBe('minibus.zip holds no job.');
    expect(textOf(await send(''))).toBe(`${language.daemon.http.jobStory.theZip} holds no job.`);
    expect(textOf(await send(`?name=${'x'.repeat(250)}`))).toBe(`${'x'.repeat(200)} holds no job.`);
    fails(noRoom);
    const full = await send('?name=minibus.zip');
    expect([full.status, textOf(full)]).toEqual([507, expect.stringContaining('minibus.zip')]);
    Object.assign(store.jobs, { updateStory: async () => Promise.reject(noRoom()) });
    const photo = await ask('POST', `${path}/photos`, PNG);
    expect([photo.status, textOf(photo)]).toEqual([507, expect.stringContaining(language.daemon.http.jobStory.keepThePhoto)]);
    expect(readdirSync(scratchDir)).toEqual([]);
  });
});

describe('the workshop’s logo', () => {
  it('is a picture, and what keeps it from being kept is said', async () => {
    const { ask, scratchDir } = await jobBench();
    expect((await ask('POST', '/api/workshop/logo', PNG)).status).toBe(200);
    expect((await ask('POST', '/api/workshop/logo', Buffer.from('<svg>'))).status).toBe(422);
    expect((await ask('POST', '/api/workshop/logo', Buffer.alloc((1 << 20) + 1))).status).toBe(413);
    expect((await ask('PUT', '/api/workshop', { heading: 'Mill Lane' })).body).toMatchObject({ heading: 'Mill Lane' });
    expect(readdirSync(scratchDir)).toEqual([]);
  });
});

describe('a known-good set', () => {
  const TYPED = { circuit: 'Step', vehicle_type: ' minibus ', place: ' fuse F7 ', usual: { run_a: [3, 4], stall_a: null, inrush_peak_a: null, asleep_a: null } };
  const LEARNT = { schema: 'amptrail-known-good/1', circuit: 'Step', limits: [], problems: [] };

  it('typed in names vehicle and place where somebody said, without the blanks around them', async () => {
    const { ask } = await jobBench();
    const { body: set } = await ask('POST', '/api/known-good/usual', TYPED);
    expect([set.vehicle_type, set.place]).toEqual(['minibus', 'fuse F7']);
    const { body: bare } = await ask('PUT', `/api/known-good/${set.id}/usual`, { ...TYPED, vehicle_type: '  ', place: '' });
    expect(['vehicle_type' in bare, 'place' in bare, bare.id]).toEqual([false, false, set.id]);
  });

  it('learnt of traces is not typed over, and names them', async () => {
    const { ask, work, store, jobId } = await jobBench();
    const ref = await store.moveTrace(await bringTrace(store, { title: 'Good' }), jobId);
    work.does = async () => LEARNT;
    const { body: set } = await ask('POST', '/api/known-good', { circuit: 'Step', traces: [ref] });
    expect(set.members).toEqual([{ ...ref, title: 'Good', vehicle: JOB.vehicle, start: expect.any(String), sha256: expect.any(String) }]);
    expect(work.orders).toEqual([{ do: 'learn', paths: [await store.path(ref)], circuit: 'Step' }]);
    expect((await ask('PUT', `/api/known-good/${set.id}/usual`, TYPED)).status).toBe(409);
    // before anything is learnt
    expect((await ask('PUT', '/api/known-good/none', { circuit: 'Step', traces: [ref] })).status).toBe(404);
    expect(work.orders).toHaveLength(1);
  });

  it('knows its members by their samples, wherever they lie, and by their place', async () => {
    const { ask, work, store, dataFolder, jobId } = await jobBench();
    const [ref, other] = [await bringTrace(store), await bringTrace(store)];
    const { sha256 } = await store.record(ref);
    work.does = async () => LEARNT;
    const { body: set } = await ask('POST', '/api/known-good', { circuit: 'Step', traces: [ref] });
    const file = join(dataFolder, 'known-good', `${set.id}.json`);
    work.does = async () => ({ finding: 'normal', placements: [] });
    const isMember = async (member: object, of: { jobId: string; traceId: string } = ref): Promise<unknown> => {
      writeFileSync(file, JSON.stringify({ ...JSON.parse(readFileSync(file, 'utf8')), members: [{ title: '', vehicle: '', start: '', ...member }] }));
      const { status, body } = await ask('GET', `/api/known-good/${set.id}/place?trace=${of.jobId}/${of.traceId}`);
      return status === 200 ? body.member : status;
    };
    expect(await isMember({ ...ref, sha256 })).toBe(true);
    expect(await isMember({ jobId, traceId: 'elsewhere', sha256 })).toBe(true);
    expect(await isMember({ ...ref, sha256: 'of before' })).toBe(true);
    expect(await isMember({ jobId: ref.jobId, traceId: 'another', sha256: 'other' })).toBe(false);
    expect(await isMember({ jobId, traceId: ref.traceId, sha256: 'other' })).toBe(false);
    // two of which nobody knows the samples are not the same
    const path = join(await store.path(other), 'trace.json');
    writeFileSync(path, JSON.stringify({ ...JSON.parse(readFileSync(path, 'utf8')), sha256: null }));
    expect(await isMember({ jobId, traceId: 'another', sha256: null }, other)).toBe(false);
    expect((await ask('GET', `/api/known-good/${set.id}/place`)).status).toBe(400);
  });

  it('comes from a file that is one, or it is said what is wrong', async () => {
    const { ask } = await jobBench();
    const { cannotBeUsed, noJson, fileTooLarge } = language.daemon.http.usualCurrents;
    const bring = (text: string | Buffer): Promise<Answered> => ask('POST', '/api/known-good/import', Buffer.from(text));
    const { body: set } = await ask('POST', '/api/known-good/usual', TYPED);
    expect((await bring(JSON.stringify({ ...set, circuit: 'Lift' }))).body.taken).toMatchObject([{ circuit: 'Lift' }]);
    expect([textOf(await bring('{')), (await bring('{"schema":"other"}')).status, textOf(await bring('{"schema":"other"}')).startsWith(cannotBeUsed('').slice(0, 10))]).toEqual([cannotBeUsed(noJson), 422, true]);
    const large = await bring(Buffer.alloc((4 << 20) + 1, ' '));
    expect([large.status, textOf(large)]).toEqual([413, fileTooLarge]);
  });
});

describe('a calibration', () => {
  const CALIBRATION = { channel: 'current', by: 'R. Vane', temperature_c: 21, due_days: 10, zero_before: 0.03, zero_after: null, zero_scatter: 0.0005, zero_hours: null, points: [{ applied: 5, read: 4.88, tolerance_percent: 0.8 }], shunt: null, part: null };

  it('is due so many days after it was made, or never, and is used at once', async () => {
    const { ask, live } = await jobBench();
    const keep = (more: object): Promise<Answered> => ask('POST', '/api/calibrations', { logger: 'H1', calibration: { ...CALIBRATION, ...more } });
    expect((await keep({})).body).toMatchObject({ logger: 'H1', calibrations: [{ at: '2026-11-25T08:00:00.000Z', due: '2026-12-05T08:00:00.000Z', taken_back: null }] });
    expect((await keep({ due_days: null })).body.calibrations[1].due).toBeNull();
    expect(live.looked).toBe(2);
    const nothing = await keep({ zero_before: null, points: [] });
    expect([nothing.status, textOf(nothing).length > 20, live.looked]).toEqual([400, true, 2]);
    const back = await ask('POST', '/api/calibrations/take-back', { logger: 'H1', channel: 'current', at: '2026-11-25T08:00:00.000Z' });
    expect([back.body.calibrations[0].taken_back, live.looked]).toEqual(['2026-11-25T08:00:00.000Z', 3]);
    expect((await ask('GET', '/api/calibrations?logger=H2')).body).toEqual({ logger: 'H2', name: '', calibrations: [] });
  });

  it('is given to a recorded trace and taken back from it', async () => {
    const { ask, store, views } = await jobBench();
    const ref = await bringTrace(store);
    await ask('POST', '/api/calibrations', { logger: 'H1', calibration: CALIBRATION });
    const change = async (body: object): Promise<unknown> => (await ask('POST', `/api/traces/unfiled/${ref.traceId}/calibration`, body)).body.calibrations?.map((one: any) => one.taken_back !== null);
    expect([await change({ do: 'apply', logger: 'H1' }), await change({ do: 'take-back' })]).toEqual([[false], [true]]);
    const path = await store.path(ref);
    expect(views.forgotten).toEqual([path, path]);
  });
});

describe('the serial devices of this computer', () => {
  it('are seen and asked from this computer alone', async () => {
    const { ask } = await jobBench();
    for (const [from, status] of [['127.0.0.1', 200], ['::1', 200], ['192.0.2.7', 403]] as const) {
      expect((await ask('GET', '/api/ports', undefined, { from })).status, from).toBe(status);
      expect((await ask('POST', '/api/ports/ask', { path: '/dev/none' }, { from })).status, from).toBe(status === 200 ? 404 : 403);
    }
    expect((await ask('GET', '/api/ports', undefined, { key: 'view-key' })).status).toBe(403);
  });

  it('are asked one at a time, and not the one that is being read', async () => {
    const { ask, ports, live } = await jobBench();
    ports.plugIn(new DeskDevice('/dev/ttyACM0', { vendorId: '2341' }));
    ports.plugIn(new DeskDevice('/dev/ttyACM1', { vendorId: '2341' }));
    ports.refusals.set('/dev/ttyACM1', 'Error: Permission denied, cannot open /dev/ttyACM1');
    const { isBeingRead, isGone, anotherIsAsked } = language.daemon.http.ports;
    const askPort = (path: string): Promise<Answered> => ask('POST', '/api/ports/ask', { path });
    live.port = '/dev/ttyACM0';
    expect([textOf(await askPort('/dev/ttyACM0')), textOf(await askPort('/dev/ttyUSB9'))]).toEqual([isBeingRead('ttyACM0'), isGone('ttyUSB9')]);
    // twice, for the first answer leaves the next to be asked
    for (let times = 0; times < 2; times++) expect((await askPort('/dev/ttyACM1')).body).toMatchObject({ answers: 'denied' });
    live.port = null;
    const slow = askPort('/dev/ttyACM0');
    await settle(() => ports.opened.some(({ path }) => path === '/dev/ttyACM0'));
    const other = await askPort('/dev/ttyACM1');
    expect([other.status, textOf(other)]).toEqual([409, anotherIsAsked]);
    ports.pullOut('/dev/ttyACM0');
    expect((await slow).status).toBe(200);
  });
});

describe('a tablet', () => {
  it('is let in and shut out from this computer alone', async () => {
    const { ask, shut } = await jobBench();
    const [from, tablet] = ['192.0.2.7', { name: 'bay 2', access: 'view' }];
    expect([(await ask('POST', '/api/devices', tablet, { from })).status, (await ask('POST', '/api/devices/x/remove', {}, { from })).status, shut]).toEqual([403, 403, []]);
    const { body } = await ask('POST', '/api/devices', tablet);
    expect([body.device.name, body.urls, body.codes]).toEqual(['bay 2', [], []]);
    expect((await ask('GET', '/api/traces', undefined, { from, key: body.key })).status).toBe(200);
    expect((await ask('POST', `/api/devices/${body.device.id}/remove`, {})).status).toBe(200);
    expect([shut, (await ask('GET', '/api/traces', undefined, { from, key: body.key })).status]).toEqual([[body.device.id], 401]);
  });

  it('gets a ticket for an address of the API, and for nothing that could be read in two ways', async () => {
    const { ask } = await jobBench();
    const ticket = (path: string): Promise<Answered> => ask('POST', '/api/tickets', { path });
    const { body } = await ticket('/api/jobs');
    expect((await ask('GET', body.url, undefined, { headers: { Authorization: undefined } })).status).toBe(200);
    const odd = await ticket('/api/../jobs');
    expect([odd.status, textOf(odd)]).toEqual([400, language.daemon.http.live.pathNotAnAddress]);
  });
});
