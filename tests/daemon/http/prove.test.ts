import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import type { CompareResult } from '../../../src/core/analysis/compare/results.ts';
import { JOB, writeJob, writeTrace } from '../prove-stand.ts';
import { withStand, type Stand } from '../stand.ts';

const BEFORE = { jobId: JOB, traceId: 'before' };
const AFTER = { jobId: JOB, traceId: 'after' };

let dataDir: string;
beforeAll(async () => {
  dataDir = mkdtempSync(join(tmpdir(), 'amptrail-prove-'));
  await writeJob(dataDir);
  await writeTrace(dataDir, 'before', 'side-step-jam', { title: 'Before the repair' });
  await writeTrace(dataDir, 'after', 'side-step-healthy', { title: 'After the repair' });
  await writeTrace(dataDir, 'night', 'van-quick-drain', { title: 'Parked' });
  await writeTrace(dataDir, 'unknown-a', 'side-step-jam', { test: null });
  await writeTrace(dataDir, 'unknown-b', 'side-step-healthy', { test: null });
  await writeTrace(dataDir, 'dead', 'side-step-dead', { title: 'Nothing happens' });
  return () => rmSync(dataDir, { recursive: true, force: true });
});

const held = withStand(() => ({ dataDir }));

interface Answer {
  readonly result: CompareResult;
  readonly overlays: readonly { readonly direction: string; readonly number: number; readonly before: { timeS: number[]; currentA: number[] }; readonly after: { timeS: number[]; currentA: number[] } }[];
}

async function compare(on: Stand, body: unknown): Promise<{ status: number; answer: Answer; error: { code: string; text: string } }> {
  const response = await on.api('/api/compare', { method: 'POST', body });
  const json = (await response.json()) as Answer & { error: { code: string; text: string } };
  return { status: response.status, answer: json, error: json.error };
}

describe('POST /api/compare', () => {
  it('finds a jam before and none after repaired, with overlays on one switch edge', async () => {
    const { status, answer } = await compare(held.stand, { before: BEFORE, after: AFTER });
    expect(status).toBe(200);
    expect(answer.result.test).toBe('actuation');
    expect(answer.result.verdict.finding).toBe('repaired');
    expect(answer.result.before_finding).toBe('stalled');
    expect(answer.result.after_finding).toBe('normal');
    // every pair of actuations, by direction and order
    expect(answer.overlays.map(({ direction, number }) => `${direction} ${number}`)).toEqual(['forward 1', 'forward 2', 'forward 3', 'reverse 1', 'reverse 2', 'reverse 3']);
    for (const { before, after } of answer.overlays) {
      for (const line of [before, after]) {
        expect(line.timeS.length).toBe(line.currentA.length);
        // both at rest before the edge, both under power 0.1 s after it: an inrush of a motor of some amperes is far above 1 A
        expect(Math.abs(valueAt(line, -0.1))).toBeLessThan(0.5);
        expect(valueAt(line, 0.1)).toBeGreaterThan(1);
      }
    }
  });

  it('takes the tolerance within which a person calls a change the same', async () => {
    const on = held.stand;
    const judged = async (tolerance: number): Promise<string | undefined> =>
      (await compare(on, { before: BEFORE, after: AFTER, tolerance })).answer.result.pairs.find(({ metric, direction }) => metric === 'moving_s' && direction === 'reverse')?.judgement;
    expect(await judged(0.05)).toBe('higher');
    expect(await judged(1)).toBe('same');
    expect((await compare(on, { before: BEFORE, after: AFTER, tolerance: -1 })).status).toBe(400);
  });

  it('says the opposite when the traces change places', async () => {
    const { answer } = await compare(held.stand, { before: AFTER, after: BEFORE, test: 'actuation' });
    expect(answer.result.verdict.finding).toBe('worse');
  });

  it('reads a trace that does not name its test like the other one', async () => {
    const { status, answer } = await compare(held.stand, { before: { jobId: JOB, traceId: 'unknown-a' }, after: AFTER });
    expect(status).toBe(200);
    expect(answer.result.test).toBe('actuation');
  });

  it('refuses traces of different tests, and traces of which neither names its test, with what to do', async () => {
    const on = held.stand;
    const different = await compare(on, { before: BEFORE, after: { jobId: JOB, traceId: 'night' } });
    expect(different.status).toBe(422);
    expect(different.error.text).toContain('motor test');
    expect(different.error.text).toContain('drain test');
    const neither = await compare(on, { before: { jobId: JOB, traceId: 'unknown-a' }, after: { jobId: JOB, traceId: 'unknown-b' } });
    expect(neither.status).toBe(422);
    expect(neither.error.text).toContain('choose motor or drain');
  });

  it('states what can still be compared when one trace has no actuation', async () => {
    const { status, answer } = await compare(held.stand, { before: { jobId: JOB, traceId: 'dead' }, after: AFTER });
    expect(status).toBe(200);
    expect(answer.overlays).toEqual([]);
    expect(answer.result.problems.map(({ code }) => code)).toContain('no-pairs');
    expect(answer.result.verdict.finding).toBe('repaired');
  });

  it('refuses names that are no ids, paths that lead elsewhere, and traces that are not there', async () => {
    const on = held.stand;
    for (const traceId of ['../before', '..', 'a/b', 'a\\b', '', '.', 'con.txt', '%2e%2e', 'x'.repeat(200)]) {
      const { status, error } = await compare(on, { before: { jobId: JOB, traceId }, after: AFTER });
      expect(status, traceId).toBe(400);
      expect(error.text).toContain('before.traceId');
    }
    expect((await compare(on, { before: { jobId: '..', traceId: 'before' }, after: AFTER })).status).toBe(400);
    expect((await compare(on, { before: { jobId: JOB, traceId: 'gone' }, after: AFTER })).status).toBe(404);
    expect((await compare(on, { before: { jobId: 'nobody', traceId: 'before' }, after: AFTER })).status).toBe(404);
    expect((await compare(on, { before: BEFORE })).status).toBe(400);
    expect((await compare(on, { before: BEFORE, after: AFTER, test: 'colour' })).status).toBe(400);
    expect((await compare(on, { before: BEFORE, after: AFTER, path: '/etc' })).status).toBe(400);
  });

  it('needs the token and the page\'s own origin', async () => {
    const on = held.stand;
    const body = JSON.stringify({ before: BEFORE, after: AFTER });
    expect((await on.api('/api/compare', { method: 'POST', body, headers: { Authorization: '' } })).status).toBe(401);
    expect((await on.api('/api/compare', { method: 'POST', body, headers: { Origin: 'http://elsewhere.example' } })).status).toBe(403);
  });
});

describe('GET /api/report', () => {
  it('makes one page of a before and an after, with the job, without script or outside file', async () => {
    const on = held.stand;
    const response = await on.api(`/api/report?traces=${JOB}/before,${JOB}/after&for=customer`);
    expect(response.status).toBe(200);
    expect(response.headers.get('content-type')).toContain('text/html');
    const page = await response.text();
    expect(page).toContain('We ran the same test twice');
    expect(page).toContain('Minibus 4');
    expect(page).toContain('The side step stops halfway');
    expect(page).not.toMatch(/<script|<link|src=|https?:/i);
  });

  it('gives everything for the file: hashes, sensor, cautions, what was not tested', async () => {
    const page = await (await held.stand.api(`/api/report?traces=${JOB}/before,${JOB}/after&for=file`)).text();
    expect(page.match(/SHA-256 of the samples: [0-9a-f]{64}/g)).toHaveLength(2);
    for (const words of ['Not tested', 'Cautions', 'Check next', 'virtual vehicle', 'Linkage cleaned']) expect(page).toContain(words);
  });

  it('tells its times by the clock of the zone that the page names', async () => {
    const on = held.stand;
    const made = async (zone: string): Promise<string> => /Made ([^<]*) with/.exec(await (await on.api(`/api/report?traces=${JOB}/before&for=customer&zone=${zone}`)).text())![1]!;
    const minutes = (text: string): number => Date.parse(`${text.replace(',', '')} UTC`) / 60_000;
    // Kathmandu is 5 h 45 min ahead of UTC the whole year (IANA time zone database, Asia/Kathmandu)
    expect(Math.abs(minutes(await made('Asia%2FKathmandu')) - minutes(await made('UTC')) - 345)).toBeLessThanOrEqual(1);
  });

  it('may be opened by the browser itself with a ticket, under a policy that allows its own style and nothing else', async () => {
    const on = held.stand;
    const path = `/api/report?traces=${JOB}/night&for=file`;
    const ticket = (await (await on.api('/api/tickets', { method: 'POST', body: { path } })).json()) as { url: string };
    const response = await fetch(`http://127.0.0.1:${on.daemon.port}${ticket.url}`);
    expect(response.status).toBe(200);
    expect(response.headers.get('content-security-policy')).toMatch(/^default-src 'none'; style-src 'unsafe-inline'; img-src data:;/);
    expect((await fetch(`http://127.0.0.1:${on.daemon.port}${ticket.url}`)).status).toBe(401);
  });

  it('refuses lists that name no traces, too many, or places elsewhere', async () => {
    const on = held.stand;
    const many = Array.from({ length: 9 }, () => `${JOB}/before`).join(',');
    for (const traces of ['', ',', 'before', `${JOB}/before/after`, '../../etc/passwd', `${JOB}/..`, `..%2F${JOB}/before`, many]) {
      const response = await on.api(`/api/report?traces=${traces}`);
      expect(response.status, traces).toBe(400);
      expect(((await response.json()) as { error: { text: string } }).error.text).not.toBe('');
    }
    expect((await on.api(`/api/report?traces=${JOB}/gone`)).status).toBe(404);
    expect((await on.api(`/api/report?traces=${JOB}/before&for=everybody`)).status).toBe(400);
    expect((await on.api(`/api/report?traces=${JOB}/before&zone=${encodeURIComponent('"><script>')}`)).status).toBe(400);
    expect((await on.api(`/api/report?traces=${JOB}/before&tolerance=much`)).status).toBe(400);
    expect((await on.api(`/api/report?traces=${JOB}/before&for=customer&for=file`)).status).toBe(400);
  });
});

/** Mean of the samples within 20 ms of a moment. */
function valueAt({ timeS, currentA }: { timeS: number[]; currentA: number[] }, atS: number): number {
  const near = currentA.filter((_, i) => Math.abs(timeS[i]! - atS) < 0.02);
  return near.reduce((sum, value) => sum + value, 0) / near.length;
}
