import { existsSync, readdirSync, writeFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { unzipSync } from 'fflate';
import { StoreError } from '../../../src/daemon/store/files/store-error.ts';
import { bringTrace, routeBench, settle, type Asked } from './route-bench.ts';

type Bench = Awaited<ReturnType<typeof routeBench>>;

const progressOf = ({ sent }: Bench): unknown[] => sent.filter(({ message }) => message.type === 'progress').map(({ message, droppable }) => ({ ...message, droppable }));
/** long work that goes on until the test lets it */
function held(bench: Bench, content = 'time_s,current_a\n') {
  const runs: { end: () => void; signal: AbortSignal }[] = [];
  bench.work.does = (order, { signal }) =>
    new Promise((resolve, reject) => {
      signal!.addEventListener('abort', () => reject(new StoreError('cancelled', 'Cancelled.')));
      runs.push({ signal: signal!, end: () => (writeFileSync(order.to, content), resolve({})) });
    });
  return runs;
}

describe('a trace that is taken out as a file', () => {
  it('is made where nobody sees it, sent under its own name, and gone from there; how far it is goes to the pages', async () => {
    const bench = await routeBench();
    const ref = await bringTrace(bench.store);
    let made = '';
    bench.work.does = async (order, { progress }) => {
      made = order.to;
      progress!(0.251);
      progress!(0.2511);
      writeFileSync(order.to, 'samples');
    };
    const { status, headers, bytes } = await bench.ask('GET', `/api/traces/unfiled/${ref.traceId}/export.csv`);
    expect([status, bytes.toString(), headers['content-disposition'], headers['cache-control']]).toEqual([200, 'samples', expect.stringContaining('2026-11-25-bench-csv.csv'), expect.stringContaining('no-store')]);
    expect(bench.work.orders).toEqual([{ do: 'convert', from: await bench.store.path(ref), to: made }]);
    await settle(() => progressOf(bench).length === 2);
    expect([existsSync(made), readdirSync(bench.scratchDir)]).toEqual([false, []]);
    expect(progressOf(bench)).toEqual([0.251, 1].map((fraction) => ({ type: 'progress', ...ref, what: 'export', fraction, droppable: true })));
  });

  it('is refused with what the work says, and the pages hear that it is over', async () => {
    const bench = await routeBench();
    const ref = await bringTrace(bench.store);
    bench.work.does = async () => Promise.reject(new StoreError('disk-full', 'There is no room.'));
    const { status, body } = await bench.ask('GET', `/api/traces/unfiled/${ref.traceId}/export.parquet`);
    expect([status, body]).toEqual([507, { error: { code: 'disk-full', text: 'There is no room.' } }]);
    expect(progressOf(bench)).toMatchObject([{ fraction: 1 }]);
    // nothing was made: there is nothing to send
    bench.work.does = async () => ({});
    expect((await bench.ask('GET', `/api/traces/unfiled/${ref.traceId}/export.csv`)).status).toBe(404);
  });

  it('is given up by the page that asked, by hand or by going, and by no other', async () => {
    const bench = await routeBench();
    const ref = await bringTrace(bench.store);
    const path = `/api/traces/unfiled/${ref.traceId}/export`;
    const runs = held(bench);
    const [first, second] = [bench.ask('GET', `${path}.csv`), bench.ask('GET', `${path}.csv`)];
    await settle(() => runs.length === 2);
    expect((await bench.ask('POST', `${path}/cancel`, {}, { key: 'view-key' })).body).toEqual({ cancelled: 0 });
    runs[0]!.end();
    expect((await first).status).toBe(200);
    // all of it is over when the pages hear so
    await settle(() => progressOf(bench).length > 0);
    expect((await bench.ask('POST', `${path}/cancel`, {})).body).toEqual({ cancelled: 1 });
    expect([(await second).status, runs[0]!.signal.aborted, runs[1]!.signal.aborted]).toEqual([499, false, true]);
    expect((await bench.ask('POST', `${path}/cancel`, {})).body).toEqual({ cancelled: 0 });
    const going = new AbortController();
    const third = bench.ask('GET', `${path}.csv`, undefined, { signal: going.signal });
    await settle(() => runs.length === 3);
    going.abort();
    await expect(third).rejects.toThrow();
    await settle(() => runs[2]!.signal.aborted);
    expect(bench.logged).toEqual([]);
  });

  it('may be given up while it is sent: that is no fault', async () => {
    const bench = await routeBench();
    const ref = await bringTrace(bench.store);
    const going = new AbortController();
    bench.work.does = async (order) => {
      writeFileSync(order.to, 'samples');
      going.abort();
    };
    await expect(bench.ask('GET', `/api/traces/unfiled/${ref.traceId}/export.csv`, undefined, { signal: going.signal })).rejects.toThrow();
    await settle(() => readdirSync(bench.scratchDir).length === 0);
    expect(bench.logged).toEqual([]);
  });
});

describe('a zip that is taken out', () => {
  it('holds the trace, or the whole job, and is named like it', async () => {
    const bench = await routeBench();
    const ref = await bringTrace(bench.store);
    const one = await bench.ask('GET', `/api/traces/unfiled/${ref.traceId}/export.zip`);
    expect([one.status, one.headers['content-disposition'], Object.keys(unzipSync(new Uint8Array(one.bytes)))]).toEqual([200, expect.stringContaining('2026-11-25-bench-csv.zip'), expect.arrayContaining([`${ref.traceId}/trace.json`, `${ref.traceId}/samples.arrows`])]);
    expect(progressOf(bench).at(-1)).toEqual({ type: 'progress', ...ref, what: 'export', fraction: 1, droppable: true });
    const job = await bench.ask('GET', '/api/jobs/unfiled/export.zip');
    expect([job.status, job.headers['content-disposition']]).toEqual([200, expect.stringContaining('unfiled.zip')]);
  });

  it('that cannot be read to its end ends the connection; the person at the terminal hears of it unless the page gave up', async () => {
    const bench = await routeBench();
    const ref = await bringTrace(bench.store);
    const broken = async function* (code: 'disk-error' | 'cancelled') {
      yield Uint8Array.of(1);
      throw new StoreError(code, 'So it is.');
    };
    for (const code of ['cancelled', 'disk-error'] as const) {
      Object.assign(bench.store, { exportZip: async () => broken(code), exportJobZip: async () => broken(code) });
      for (const path of [`/api/traces/unfiled/${ref.traceId}/export.zip`, '/api/jobs/unfiled/export.zip']) await expect(bench.ask('GET', path)).rejects.toThrow();
    }
    await settle(() => bench.logged.length >= 2);
    expect(bench.logged.map((text) => text.includes('So it is.'))).toEqual([true, true]);
  });
});

describe('a file that is taken in', () => {
  interface Taken {
    readonly path: string;
    readonly name: string;
    readonly options: Record<string, unknown>;
  }
  /** A bench whose store keeps what it is asked to take in. */
  async function importBench() {
    const bench = await routeBench();
    const ref = await bringTrace(bench.store);
    const taken: Taken[] = [];
    Object.assign(bench.store, { importFile: async (path: string, name: string, options: Taken['options']) => (taken.push({ path, name, options }), [ref]) });
    return { ...bench, taken, bring: (query: string, body = 'x', more: Asked = {}) => bench.ask('POST', `/api/import?${query}`, Buffer.from(body), more) };
  }

  it('is read as the page says', async () => {
    const { bring, taken } = await importBench();
    const rows: [query: string, options: object][] = [
      ['name=a.csv', {}],
      ['name=a.csv&columns=current%3D2%3AmA&rate=1000', { rateHz: 1000, columns: [expect.objectContaining({ role: 'current', name: '2', factor: 0.001 })] }],
      ['name=a.csv&rate=10000000&skip-bad', { rateHz: 1e7, skipBad: true }],
      ['name=a.csv&job=unfiled', { jobId: 'unfiled' }],
    ];
    for (const [query, options] of rows) {
      expect((await bring(query)).status).toBe(200);
      const { name, options: { signal, progress, ...read } } = taken.pop()!;
      expect([name, read, typeof progress, (signal as AbortSignal).aborted], query).toEqual(['a.csv', options, 'function', false]);
    }
  });

  it('is refused before a byte is kept where that cannot be', async () => {
    const { bring, taken, scratchDir } = await importBench();
    const wrongFormat = ['', 'name=', 'name=a.exe', 'name=csv', `name=${'x'.repeat(197)}.csv`];
    const wrongWords = ['columns=speed%3D2', 'columns=', 'rate=0', 'rate=-1', 'rate=10000001', 'rate=x', 'rate=', 'job=..', 'upload=..'].map((words) => `name=a.csv&${words}`);
    for (const [status, queries] of [[415, wrongFormat], [400, wrongWords]] as const) {
      for (const query of queries) {
        const answer = await bring(query);
        expect([answer.status, answer.body.error.text.length > 5], query).toEqual([status, true]);
      }
    }
    expect([taken, readdirSync(scratchDir)]).toEqual([[], []]);
  });

  it('may have its ending in capitals, and a name of 200 characters', async () => {
    const { bring, taken } = await importBench();
    for (const name of ['A.CSV', 'b.Txt', 'c.tsv', 'd.ARROWS', 'e.zip', `${'x'.repeat(196)}.csv`]) {
      expect((await bring(`name=${name}`)).status).toBe(200);
      const call = taken.pop()!;
      expect([call.name, call.path.endsWith(name.slice(name.lastIndexOf('.')).toLowerCase())]).toEqual([name, true]);
    }
  });

  it('tells the page that sends it how much has come, half for the way and half for the reading', async () => {
    const { bring, sent } = await importBench();
    const fractions = async (more: Asked): Promise<unknown[]> => {
      sent.length = 0;
      await bring('name=a.csv&upload=page-7', 'x'.repeat(1000), { halfway: () => settle(() => sent.length > 0), ...more });
      return sent.flatMap(({ message }) => (message.type === 'progress' ? [[message.jobId, message.traceId, message.what, message.fraction]] : []));
    };
    expect(await fractions({})).toEqual([0.25, 0.5].map((fraction) => ['', 'page-7', 'import', fraction]));
    // of a length that nobody told there is no share
    expect(await fractions({ headers: { 'Transfer-Encoding': 'chunked', 'Content-Length': undefined } })).toEqual([['', 'page-7', 'import', 0]]);
  });

  it('that cannot be taken in is named as the person knows it', async () => {
    const bench = await routeBench();
    const fails = async (error: (path: string) => Error): Promise<unknown> => {
      Object.assign(bench.store, { importFile: async (path: string) => Promise.reject(error(path)) });
      const { status, body } = await bench.ask('POST', '/api/import?name=before.csv', Buffer.from('x'));
      return [status, body.error.text];
    };
    expect(await fails((path) => new StoreError('wrong-format', `${path} is no trace.`))).toEqual([422, 'before.csv is no trace.']);
    expect(await fails(() => Object.assign(new Error('write'), { code: 'ENOSPC', syscall: 'write' }))).toEqual([507, expect.stringContaining('before.csv')]);
    expect(await fails(() => new StoreError('cancelled', 'Cancelled.'))).toEqual([499, 'Cancelled.']);
    expect(readdirSync(bench.scratchDir)).toEqual([]);
  });
});
