import { chmod, mkdir, readdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { csvHeader, csvRows } from '../../../src/core/tracefile/csv/csv.ts';
import { readCsv } from '../../core/tracefile/read-csv.ts';
import type { TraceRecord } from '../../../src/core/tracefile/record.ts';
import type { ApiError, ChargeView, JobFields, TraceDetail, TraceView } from '../../../src/core/wire/api.ts';
import { decodeSampleFrame } from '../../../src/core/wire/sample-frame.ts';
import { openTrace } from '../../../src/daemon/store/samples/reading/trace-reader.ts';
import { findScenario } from '../../../src/simulate/scenarios.ts';
import { simulateTrace } from '../../simulate/simulate-trace.ts';
import { blockAt, startStand, temporaryFolder, type Stand } from '../stand.ts';

const JOB: JobFields = { depot: 'north yard', vehicle: 'minibus 7', complaint: 'step hardly moves', circuit: 'side step', fuse_rating_a: 20, technician: 'A. Turner', note: '' };

async function bring(stand: Stand, text: string, name = 'bench.csv', query = ''): Promise<TraceRecord> {
  const answer = await stand.api(`/api/import?name=${encodeURIComponent(name)}${query}`, { method: 'POST', body: new TextEncoder().encode(text), headers: { 'Content-Type': 'application/octet-stream' } });
  expect(answer.status, await answer.clone().text()).toBe(200);
  return (await answer.json()) as TraceRecord;
}

async function get<T>(stand: Stand, path: string): Promise<T> {
  const answer = await stand.api(path);
  expect(answer.status, await answer.clone().text()).toBe(200);
  return (await answer.json()) as T;
}

function jamCsv(): string {
  const { trace } = simulateTrace(findScenario('side-step-jam')!, 5);
  return csvHeader(trace.voltageV !== null) + csvRows(trace, trace.voltageV !== null);
}

const TRIANGLE = 'time_s,current_a\n0,0\n1,2\n2,0\n3,-2\n4,0\n';

describe('jobs and traces over HTTP', () => {
  it('are made, changed, listed and moved', async () => {
    const stand = await startStand();
    const made = (await (await stand.api('/api/jobs', { method: 'POST', body: JOB })).json()) as { id: string };
    expect(made).toMatchObject(JOB);
    const changed = await stand.api(`/api/jobs/${made.id}`, { method: 'PUT', body: { ...JOB, note: 'left side only' } });
    expect(await changed.json()).toMatchObject({ id: made.id, note: 'left side only' });
    const record = await bring(stand, TRIANGLE);
    expect(record).toMatchObject({ samples: 5, duration_s: 4 });
    const moved = await stand.api(`/api/traces/unfiled/${record.id}`, { method: 'PUT', body: { jobId: made.id, title: 'before', test: 'drain', drain_options: { limitA: 0.1 } } });
    expect(await moved.json()).toMatchObject({ title: 'before', test: 'drain', drain_options: { limitA: 0.1 } });
    expect(await get(stand, '/api/jobs')).toEqual([expect.objectContaining({ traces: 1 })]);
    const [view] = await get<TraceView[]>(stand, '/api/traces');
    expect(view).toMatchObject({ jobId: made.id, finding: null });
    const detail = await get<TraceDetail>(stand, `/api/traces/${made.id}/${record.id}`);
    expect(detail).toMatchObject({ marks: [], result: null, record: { title: 'before' } });
    const marks = await stand.api(`/api/traces/${made.id}/${record.id}/marks`, { method: 'POST', body: { time_s: 1.5, kind: 'pull', label: 'F3' } });
    expect(await marks.json()).toEqual([{ timeS: 1.5, kind: 'pull', label: 'F3' }]);
  });

  it('are listed while one of them is moved', async () => {
    const stand = await startStand();
    const made = (await (await stand.api('/api/jobs', { method: 'POST', body: JOB })).json()) as { id: string };
    const record = await bring(stand, TRIANGLE);
    let moving = true;
    const moves = (async () => {
      for (let k = 0; k < 30; k++) {
        const [from, to] = k % 2 === 0 ? ['unfiled', made.id] : [made.id, 'unfiled'];
        expect((await stand.api(`/api/traces/${from}/${record.id}`, { method: 'PUT', body: { jobId: to } })).status).toBe(200);
      }
      moving = false;
    })();
    const lister = async (): Promise<void> => {
      while (moving) expect((await stand.api('/api/traces')).status).toBe(200);
    };
    await Promise.all([moves, lister(), lister(), lister(), lister()]);
    expect(await get<TraceView[]>(stand, '/api/traces')).toHaveLength(1);
  });

  it('answer what is not there, not allowed or not understood with a sentence and a fitting status', async () => {
    const stand = await startStand();
    const record = await bring(stand, TRIANGLE);
    const rows: [path: string, status: number, init?: { method: string; body: unknown }][] = [
      ['/api/traces/unfiled/none', 404],
      ['/api/traces/none/none', 404],
      ['/api/traces/..%2f..%2fetc/passwd', 400],
      [`/api/traces/unfiled/${record.id}/analysis?test=magic`, 400],
      [`/api/traces/unfiled/${record.id}/analysis`, 400],
      [`/api/traces/unfiled/${record.id}/window?from=0&to=4`, 400],
      [`/api/traces/unfiled/${record.id}/charge?from=9&to=12`, 400],
      [`/api/traces/unfiled/${record.id}/export.exe`, 404],
      ['/api/jobs/none', 404, { method: 'PUT', body: JOB }],
      ['/api/jobs', 400, { method: 'POST', body: { ...JOB, fuse_rating_a: 'big' } }],
      ['/api/jobs', 400, { method: 'POST', body: { ...JOB, note: 'x'.repeat(3000) } }],
      ['/api/jobs', 400, { method: 'POST', body: [] }],
      [`/api/traces/unfiled/${record.id}`, 400, { method: 'PUT', body: { sha256: 'mine' } }],
      [`/api/traces/unfiled/${record.id}`, 404, { method: 'PUT', body: { jobId: 'none' } }],
      [`/api/traces/unfiled/${record.id}/marks`, 400, { method: 'POST', body: { time_s: 1e99, kind: 'pull', label: '' } }],
      ['/api/compare', 400, { method: 'POST', body: { before: { jobId: '../x', traceId: 'y' }, after: { jobId: 'x', traceId: 'y' }, test: 'drain' } }],
      ['/api/report?traces=', 400],
      ['/api/report?traces=unfiled/none', 404],
    ];
    for (const [path, status, init] of rows) {
      const answer = await stand.api(path, init);
      const body = (await answer.json()) as ApiError;
      expect([path, answer.status, body.error.text.length > 5], JSON.stringify(body)).toEqual([path, status, true]);
      expect(JSON.stringify(body)).not.toMatch(/at .*\.ts|node_modules/);
    }
  });

  it('give windows as sample frames and the charge between two moments', async () => {
    const stand = await startStand();
    const record = await bring(stand, TRIANGLE);
    const window = decodeSampleFrame(await (await stand.api(`/api/traces/unfiled/${record.id}/window?from=0&to=5&columns=10`)).arrayBuffer());
    expect(window).toMatchObject({ reduced: false, startS: 0, endS: 5, timeS: Float64Array.of(0, 1, 2, 3, 4), currentA: Float32Array.of(0, 2, 0, -2, 0) });
    // area of a triangle: half of base times height
    expect(await get<ChargeView>(stand, `/api/traces/unfiled/${record.id}/charge?from=0&to=2`)).toMatchObject({ charge_c: 2, charge_ah: 2 / 3600, mean_a: 1, duration_s: 2, gap_s: 0 });
    expect(await get<ChargeView>(stand, `/api/traces/unfiled/${record.id}/charge?from=0.5&to=1.5`)).toMatchObject({ charge_c: 1.5, mean_a: 1.5 });
    expect((await get<ChargeView>(stand, `/api/traces/unfiled/${record.id}/charge?from=-10&to=99`)).charge_c).toBeCloseTo(0, 9);
  });
});

describe('long work on stored traces', () => {
  it('analyses in a thread, keeps the finding for the list, and forgets it when a mark or an option changes', async () => {
    const stand = await startStand();
    const record = await bring(stand, jamCsv());
    const result = await get<{ verdict: { finding: string } }>(stand, `/api/traces/unfiled/${record.id}/analysis?test=actuation`);
    expect(result.verdict.finding).toBe('stalled');
    expect((await get<TraceView[]>(stand, '/api/traces'))[0]!.finding).toBe('stalled');
    expect((await get<TraceDetail>(stand, `/api/traces/unfiled/${record.id}`)).result).toEqual(result);
    await stand.api(`/api/traces/unfiled/${record.id}`, { method: 'PUT', body: { title: 'a name changes no finding' } });
    expect((await get<TraceView[]>(stand, '/api/traces'))[0]!.finding).toBe('stalled');
    await stand.api(`/api/traces/unfiled/${record.id}/marks`, { method: 'POST', body: { time_s: 1, kind: 'note', label: 'x' } });
    expect((await get<TraceView[]>(stand, '/api/traces'))[0]!.finding).toBeNull();
  });

  it('keeps a measured stretch with the trace like a mark, changes no finding for it, and prints its figures in the report', async () => {
    const stand = await startStand();
    const record = await bring(stand, jamCsv());
    const path = `/api/traces/unfiled/${record.id}`;
    await stand.api(path, { method: 'PUT', body: { test: 'actuation' } });
    await get(stand, `${path}/analysis?test=actuation`);
    const stretch = { time_s: 0.25, end_s: 1.25, kind: 'stretch', label: 'the dip' };
    expect((await stand.api(`${path}/marks`, { method: 'POST', body: { ...stretch, end_s: 0.25 } })).status).toBe(400);
    expect((await stand.api(`${path}/marks`, { method: 'POST', body: { ...stretch, kind: 'note' } })).status).toBe(400);
    expect(await (await stand.api(`${path}/marks`, { method: 'POST', body: stretch })).json()).toEqual([{ timeS: 0.25, endS: 1.25, kind: 'stretch', label: 'the dip' }]);
    expect((await get<TraceView[]>(stand, '/api/traces'))[0]!.finding).toBe('stalled');
    const figures = await get<ChargeView>(stand, `${path}/charge?from=0.25&to=1.25`);
    expect(figures.peak_to_peak_a).toBeCloseTo(figures.max_a! - figures.min_a!, 6);
    const { url } = (await (await stand.api('/api/tickets', { method: 'POST', body: { path: `/api/report?traces=unfiled/${record.id}&for=file` } })).json()) as { url: string };
    const report = await (await fetch(`http://127.0.0.1:${stand.daemon.port}${url}`)).text();
    expect(report).toContain('Measured stretches');
    expect(report).toContain('the dip');
    // renamed and removed as a mark is
    const renamed = { ...stretch, label: 'sag' };
    expect(await (await stand.api(`${path}/marks`, { method: 'PUT', body: { mark: stretch, change: renamed } })).json()).toMatchObject([{ label: 'sag', endS: 1.25 }]);
    expect(await (await stand.api(`${path}/marks`, { method: 'PUT', body: { mark: renamed, change: null } })).json()).toEqual([]);
  });

  it('compares two traces and makes a report of them, one file without script', async () => {
    const stand = await startStand();
    const [before, after] = [await bring(stand, jamCsv(), 'before.csv'), await bring(stand, jamCsv(), 'after.csv')];
    for (const { id } of [before, after]) await stand.api(`/api/traces/unfiled/${id}`, { method: 'PUT', body: { test: 'actuation' } });
    const ref = ({ id }: TraceRecord) => ({ jobId: 'unfiled', traceId: id });
    const answer = await stand.api('/api/compare', { method: 'POST', body: { before: ref(before), after: ref(after), test: 'actuation' } });
    const comparison = (await answer.json()) as { result: { verdict: { finding: string } }; overlays: { before: { timeS: number[] } }[] };
    expect(comparison.result.verdict.finding).toBe('unchanged');
    expect(comparison.overlays[0]!.before.timeS.length).toBeGreaterThan(10);
    const path = `/api/report?traces=unfiled/${before.id},unfiled/${after.id}&for=customer`;
    const { url } = (await (await stand.api('/api/tickets', { method: 'POST', body: { path } })).json()) as { url: string };
    // the browser opens it by itself: no header, the ticket alone, once
    const report = await fetch(`http://127.0.0.1:${stand.daemon.port}${url}`);
    expect(report.status).toBe(200);
    expect(report.headers.get('content-security-policy')).toContain(`default-src 'none'`);
    expect(await report.text()).not.toMatch(/<script/i);
    expect((await fetch(`http://127.0.0.1:${stand.daemon.port}${url}`)).status).toBe(401);
  });

  it('exports what another import takes back as the same samples', async () => {
    const stand = await startStand();
    const record = await bring(stand, TRIANGLE);
    const base = `/api/traces/unfiled/${record.id}/export`;
    const csv = await stand.api(`${base}.csv`);
    expect(csv.headers.get('content-disposition')).toMatch(/filename="?20\d\d-\d\d-\d\d-bench-csv\.csv"?/);
    const read = readCsv(new Uint8Array(await csv.arrayBuffer()), {});
    expect(Array.from(read.blocks[0]!.currentA)).toEqual([0, 2, 0, -2, 0]);
    for (const ending of ['arrows', 'zip'] as const) {
      const bytes = new Uint8Array(await (await stand.api(`${base}.${ending}`)).arrayBuffer());
      const back = await stand.api(`/api/import?name=again.${ending}`, { method: 'POST', body: bytes, headers: { 'Content-Type': 'application/octet-stream' } });
      expect(await back.json()).toMatchObject({ samples: 5 });
    }
    const parquet = new Uint8Array(await (await stand.api(`${base}.parquet`)).arrayBuffer());
    // the magic bytes at both ends of a Parquet file (format specification)
    expect([parquet.subarray(0, 4), parquet.subarray(-4)].map((bytes) => String.fromCharCode(...bytes))).toEqual(['PAR1', 'PAR1']);
    await stand.daemon.close();
    expect(await readdir(stand.dataDir)).not.toContain('.scratch');
  });

  it('imports other people’s CSV by naming its columns, and refuses what is none with a sentence', async () => {
    const stand = await startStand();
    const record = await bring(stand, 'Zeit;Strom\n0;1500\n10;2500\n', 'meter.csv', `&columns=${encodeURIComponent('time=Zeit:ms,current=Strom:mA')}`);
    const window = decodeSampleFrame(await (await stand.api(`/api/traces/unfiled/${record.id}/window?from=0&to=1&columns=10`)).arrayBuffer());
    expect(window).toMatchObject({ currentA: Float32Array.of(1.5, 2.5) });
    for (const [name, body] of [['x.exe', 'a'], ['x.csv', '\0\0\0'], ['x.arrows', 'no'], ['x.zip', 'PK no'], ['', '']] as const) {
      const answer = await stand.api(`/api/import?name=${name}`, { method: 'POST', body: new TextEncoder().encode(body), headers: { 'Content-Type': 'application/octet-stream' } });
      expect(answer.status, name).toBeGreaterThanOrEqual(400);
      expect(answer.status, name).toBeLessThan(500);
      expect(((await answer.json()) as ApiError).error.text.length).toBeGreaterThan(10);
    }
    expect(await get<TraceView[]>(stand, '/api/traces')).toHaveLength(1);
  });

  it('is cancelled when the page gives the request up, and the daemon goes on', async () => {
    const stand = await startStand();
    const record = await bring(stand, jamCsv());
    const controller = new AbortController();
    const answer = stand.api(`/api/traces/unfiled/${record.id}/analysis?test=actuation`, { signal: controller.signal });
    controller.abort();
    await expect(answer).rejects.toThrow();
    expect((await get<{ verdict: { finding: string } }>(stand, `/api/traces/unfiled/${record.id}/analysis?test=actuation`)).verdict.finding).toBe('stalled');
  });
});

describe('the data folder', () => {
  it('is used by one daemon at a time; the second is told what to do', async () => {
    const stand = await startStand();
    const second = await startStand({ dataDir: stand.dataDir }).catch((error: unknown) => error);
    expect(second).toMatchObject({ code: 'data-folder-in-use', message: expect.stringContaining('--data') });
    await stand.daemon.close();
    const third = await startStand({ dataDir: stand.dataDir });
    expect(third.daemon.dataDir).toBe(stand.dataDir);
  });

  it('that cannot be used is named with the fix', async () => {
    const folder = temporaryFolder();
    await writeFile(join(folder, 'file'), '');
    expect(await startStand({ dataDir: join(folder, 'file', 'data') }).catch((error: unknown) => error)).toMatchObject({ code: 'data-folder', message: expect.stringContaining(folder) });
    if (process.getuid?.() === 0) return;
    await mkdir(join(folder, 'closed'));
    await chmod(join(folder, 'closed'), 0);
    expect(await startStand({ dataDir: join(folder, 'closed') }).catch((error: unknown) => error)).toMatchObject({ code: 'data-folder' });
  });

  it('shows a running recording, which can be marked and looked at but not moved', async () => {
    const stand = await startStand();
    const page = await stand.page();
    stand.source.send(blockAt(0, 2000));
    page.send({ type: 'record', do: 'start' });
    const { traceId } = (await page.next('recording', ({ recording }) => recording !== null)).recording!;
    const job = (await (await stand.api('/api/jobs', { method: 'POST', body: JOB })).json()) as { id: string };
    const move = await stand.api(`/api/traces/unfiled/${traceId}`, { method: 'PUT', body: { jobId: job.id } });
    expect([move.status, ((await move.json()) as ApiError).error.code]).toEqual([409, 'running']);
    // once they are written
    await expect.poll(async () => (await get<TraceView[]>(stand, '/api/traces'))[0]!.record.samples, { timeout: 60_000 }).toBe(2000);
    page.send({ type: 'record', do: 'stop' });
    await page.next('recording', ({ recording }) => recording === null);
    const reader = await openTrace(join(stand.dataDir, 'jobs/unfiled', traceId));
    expect(reader.samples).toBe(2000);
    await reader.close();
  });
});
