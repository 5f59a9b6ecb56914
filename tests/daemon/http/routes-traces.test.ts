import { statSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { language } from '../../../src/core/present/language.ts';
import { RESULT_SCHEMA, type AnalysisResult } from '../../../src/core/analysis/results.ts';
import type { TraceRef } from '../../../src/core/wire/api.ts';
import { readRefs } from '../../../src/daemon/http/routes/trace-refs.ts';
import { StoreError } from '../../../src/daemon/store/files/store-error.ts';
import { keepResult, readResult } from '../../../src/daemon/store/records/result-cache.ts';
import { bringTrace, routeBench } from './route-bench.ts';

type Bench = Awaited<ReturnType<typeof routeBench>>;

const RESULT = { schema: RESULT_SCHEMA, test: 'actuation', verdict: { finding: 'normal', basis: 'limits' } } as unknown as AnalysisResult;
const DRAIN = { schema: RESULT_SCHEMA, test: 'drain', verdict: { finding: 'asleep', basis: 'limits' } } as unknown as AnalysisResult;
const JOB = { depot: '', vehicle: 'minibus 7', complaint: '', circuit: 'step', fuse_rating_a: null, technician: '', note: '' };

/** Whether what was found of a trace is still kept after a request. */
async function keepsFinding(bench: Bench, ref: TraceRef, method: string, below: string, body: object): Promise<boolean> {
  const folder = await bench.store.path(ref);
  await keepResult(folder, RESULT);
  const { status } = await bench.ask(method, `/api/traces/${ref.jobId}/${ref.traceId}${below}`, body);
  expect(status, JSON.stringify(body)).toBe(200);
  return (await readResult(folder)) !== null;
}

describe('the list of traces', () => {
  it('says what was found of each, and of a motor what it was judged by', async () => {
    const bench = await routeBench();
    const refs = [await bringTrace(bench.store), await bringTrace(bench.store), await bringTrace(bench.store)];
    await keepResult(await bench.store.path(refs[0]!), RESULT);
    await keepResult(await bench.store.path(refs[1]!), DRAIN);
    const { body } = await bench.ask('GET', '/api/traces');
    const said = refs.map(({ traceId }) => body.find((one: any) => one.record.id === traceId)).map(({ jobId, finding, basis }) => [jobId, finding, basis]);
    expect(said).toEqual([['unfiled', 'normal', 'limits'], ['unfiled', 'asleep', undefined], ['unfiled', null, undefined]]);
    expect((await bench.ask('GET', `/api/traces/unfiled/${refs[1]!.traceId}`)).body).toMatchObject({ jobId: 'unfiled', finding: 'asleep', result: DRAIN, marks: [], problems: [] });
  });

  it('is made anew where a trace was moved meanwhile: up to three times more, and then without it', async () => {
    const bench = await routeBench();
    await bringTrace(bench.store);
    const lists = async (gone: (list: number) => Error | null): Promise<unknown[]> => {
      const { traces, path } = Object.getPrototypeOf(bench.store);
      let list = 0;
      Object.assign(bench.store, {
        traces: () => (list++, traces.call(bench.store)),
        path: async (ref: TraceRef) => {
          const error = gone(list);
          if (error !== null) throw error;
          return path.call(bench.store, ref);
        },
      });
      const { status, body } = await bench.ask('GET', '/api/traces');
      return [status, list, body.length];
    };
    const moved = new StoreError('not-found', 'It is not there.');
    expect(await lists(() => null)).toEqual([200, 1, 1]);
    expect(await lists((list) => (list === 1 ? moved : null))).toEqual([200, 2, 1]);
    expect(await lists(() => moved)).toEqual([200, 4, 0]);
    // what is wrong otherwise is not passed over
    expect(await lists(() => new StoreError('disk-error', 'It cannot be read.'))).toEqual([507, 1, undefined]);
    expect(await lists(() => Object.assign(new Error('lstat'), { code: 'not-found' }))).toEqual([500, 1, undefined]);
  });
});

describe('a change of a trace', () => {
  it('lets go of what was found where it could change that, and only there', async () => {
    const bench = await routeBench();
    const ref = await bringTrace(bench.store);
    const keeps = (body: object): Promise<boolean> => keepsFinding(bench, ref, 'PUT', '', body);
    expect([await keeps({}), await keeps({ title: 'before' }), await keeps({ test: 'drain' }), await keeps({ title: 'b', drain_options: { limitA: 0.1 } }), await keeps({ title: 'b', test: null })]).toEqual([true, true, false, false, false]);
    expect(bench.views.forgotten).toEqual([]);
  });

  it('to another job moves its folder as it is, which is closed before', async () => {
    const bench = await routeBench();
    const ref = await bringTrace(bench.store);
    const { body: job } = await bench.ask('POST', '/api/jobs', JOB);
    const from = await bench.store.path(ref);
    const { ino } = statSync(join(from, 'trace.json'));
    const { status, body } = await bench.ask('PUT', `/api/traces/unfiled/${ref.traceId}`, { jobId: job.id });
    const to = await bench.store.path({ jobId: job.id, traceId: body.id });
    expect([status, bench.views.forgotten, statSync(join(to, 'trace.json')).ino]).toEqual([200, [from], ino]);
    expect((await bench.ask('PUT', `/api/traces/${job.id}/${body.id}`, { jobId: 'none' })).status).toBe(404);
  });

  it('by a mark lets go of what was found, but not by a measured stretch', async () => {
    const bench = await routeBench();
    const ref = await bringTrace(bench.store);
    const [note, stretch] = [{ time_s: 1, kind: 'note', label: 'x' }, { time_s: 1, end_s: 2, kind: 'stretch', label: 'dip' }];
    const keeps = (method: string, body: object): Promise<boolean> => keepsFinding(bench, ref, method, '/marks', body);
    const change = (mark: object, to: object | null): Promise<boolean> => keeps('PUT', { mark, change: to });
    expect([await keeps('POST', stretch), await keeps('POST', note)]).toEqual([true, false]);
    expect([await change(stretch, { ...stretch, label: 'sag' }), await change({ ...stretch, label: 'sag' }, { ...note, time_s: 3 }), await change({ ...note, time_s: 3 }, stretch), await change(stretch, null), await change(note, null)]).toEqual([true, false, false, true, false]);
  });
});

describe('long work on a trace', () => {
  it('is asked for what the page wants, and what it finds is kept', async () => {
    const bench = await routeBench();
    const ref = await bringTrace(bench.store);
    const path = await bench.store.path(ref);
    bench.work.does = async (order, { progress }) => {
      progress?.(0.5);
      return order.do === 'analyse' ? RESULT : { charge_c: 1 };
    };
    expect((await bench.ask('GET', `/api/traces/unfiled/${ref.traceId}/analysis?test=actuation`)).body).toEqual(RESULT);
    expect([await readResult(path), bench.sent]).toEqual([RESULT, [{ message: { type: 'progress', ...ref, what: 'analysis', fraction: 0.5 }, droppable: true }]]);
    expect((await bench.ask('GET', `/api/traces/unfiled/${ref.traceId}/charge?from=1&to=2`)).body).toEqual({ charge_c: 1 });
    expect(bench.work.orders).toEqual([{ do: 'analyse', path, test: 'actuation' }, { do: 'charge', path, fromS: 1, toS: 2 }]);
  });
});

describe('traces named in an address', () => {
  it('are JOB/TRACE, one at least, and no more than can be used', () => {
    const ref = (n: number) => ({ jobId: 'unfiled', traceId: `t${n}` });
    expect(readRefs('unfiled/t1,,unfiled/t2,', 2)).toEqual([ref(1), ref(2)]);
    expect(readRefs('unfiled/t1', 1)).toEqual([ref(1)]);
    const words = language.daemon.http.traceRefs;
    for (const [text, most, sentence] of [['', 8, words.n1ToTracesAre(8)], [',', 8, words.n1ToTracesAre(8)], ['a/1,a/2,a/3', 2, words.n1ToTracesAre(2)], ['', 1, words.oneTraceIsWanted], ['a/1,a/2', 1, words.oneTraceIsWanted], ['a/b/c', 8, words.tracesAreNamedAs]] as const) {
      expect(() => readRefs(text, most), text).toThrow(expect.objectContaining({ status: 400, message: sentence }));
    }
    for (const text of ['a', 'a/', '../b', 'a/b.c']) expect(() => readRefs(text, 8), text).toThrow(expect.objectContaining({ status: 400 }));
  });
});

describe('a comparison', () => {
  it('is of the test the traces were recorded for, unless the page names one', async () => {
    const bench = await routeBench();
    const [motor, other, drain, silent] = [await bringTrace(bench.store, { test: 'actuation', title: 'Step' }), await bringTrace(bench.store, { test: 'actuation' }), await bringTrace(bench.store, { test: 'drain', title: '' }), await bringTrace(bench.store, { test: null })];
    bench.work.does = async (order) => (order.do === 'compare' ? { result: {}, nights: [], overlays: [] } : { result: {}, lines: [] });
    const testOf = async (path: string, body: object): Promise<unknown> => {
      bench.work.orders.length = 0;
      const answer = await bench.ask('POST', path, body);
      return answer.status === 200 ? (bench.work.orders[0] as { test: string }).test : [answer.status, answer.body.error.text];
    };
    const two = (before: TraceRef, after: TraceRef, more = {}): Promise<unknown> => testOf('/api/compare', { before, after, ...more });
    const many = (traces: TraceRef[], more = {}): Promise<unknown> => testOf('/api/compare-many', { traces, ...more });
    expect([await two(motor, other), await two(silent, drain), await two(motor, drain, { test: 'drain' }), await two(silent, silent, { test: 'actuation' })]).toEqual(['actuation', 'drain', 'drain', 'actuation']);
    expect([await many([motor, silent, other]), await many([motor, drain], { test: 'drain' })]).toEqual(['actuation', 'drain']);
    const { isOfA, motorTest, drainTest, theirFiguresHaveNothing, noneOfTheTraces } = language.daemon.http.prove;
    // one without a title goes by its name
    const both = [422, theirFiguresHaveNothing([isOfA('Step', motorTest), isOfA(drain.traceId, drainTest)].join(', '))];
    expect([await two(motor, drain), await many([silent, motor, drain]), await two(silent, silent)]).toEqual([both, both, [422, noneOfTheTraces]]);
  });

  it('is sent with as many digits as a picture shows', async () => {
    const bench = await routeBench();
    const ref = await bringTrace(bench.store, { test: 'actuation' });
    const line = { timeS: Float64Array.of(0.123_456_789), currentA: Float32Array.of(1.234_567) };
    bench.work.does = async () => ({ result: { test: 'actuation' }, nights: ['n'], overlays: [{ direction: 'forward', number: 1, before: line, after: line }] });
    const { body } = await bench.ask('POST', '/api/compare', { before: ref, after: ref, tolerance: 0.05 });
    const plain = { timeS: [0.123457], currentA: [1.2346] };
    expect(body).toEqual({ result: { test: 'actuation' }, nights: ['n'], overlays: [{ direction: 'forward', number: 1, before: plain, after: plain }] });
    const path = await bench.store.path(ref);
    expect(bench.work.orders).toEqual([{ do: 'compare', before: path, after: path, test: 'actuation', tolerance: 0.05 }]);
    await bench.ask('POST', '/api/compare', { before: ref, after: ref });
    expect(bench.work.orders[1]).toEqual({ do: 'compare', before: path, after: path, test: 'actuation' });
  });
});

describe('a report', () => {
  it('is a page without script or a document, for whom and by which clock the page says', async () => {
    const bench = await routeBench();
    const ref = await bringTrace(bench.store);
    const path = await bench.store.path(ref);
    bench.work.does = async (order) => (order.asJson === true ? '{"a":1}' : '<p>');
    const report = (query: string) => bench.ask('GET', `/api/report?traces=unfiled/${ref.traceId}${query}`);
    const order = { do: 'report', paths: [path], audience: 'file', madeAt: '2026-11-25T08:00:00.000Z', asJson: false };
    const page = await report('');
    expect([page.bytes.toString(), page.headers['content-type'], page.headers['content-security-policy']]).toEqual(['<p>', expect.stringContaining('text/html'), expect.stringMatching(/^default-src 'none'; style-src 'unsafe-inline'; img-src data:;/)]);
    expect((await report('&for=customer&as=json&tolerance=0.1&zone=Europe/Vienna')).body).toEqual({ a: 1 });
    await report('&for=file&as=page');
    expect(bench.work.orders).toEqual([order, { ...order, audience: 'customer', asJson: true, tolerance: 0.1, timeZone: 'Europe/Vienna' }, order]);
    for (const wrong of ['&for=me', '&for=', '&tolerance=2', '&zone=../x']) expect((await report(wrong)).status, wrong).toBe(400);
    expect([(await bench.ask('GET', '/api/report')).status, (await bench.ask('GET', `/api/report?traces=${'unfiled/a,'.repeat(9)}`)).status]).toEqual([400, 400]);
    expect(bench.work.orders).toHaveLength(3);
  });
});
