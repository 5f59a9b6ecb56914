import type { AnalysisResult } from '../../../core/analysis/results.ts';
import type { Mark } from '../../../core/trace.ts';
import type { ChargeView, TraceDetail, TraceView } from '../../../core/wire/api.ts';
import { encodeSampleFrame } from '../../../core/wire/sample-frame.ts';
import { progressOf, requestSignal, sendFrameBody, accepted, traceRef, type ApiContext } from './api-context.ts';
import type { Request, Response } from '../http-kit.ts';
import { RouteList, type Route } from '../door/route-list.ts';
import { StoreError } from '../../store/files/store-error.ts';
import { dropResult, keepResult, readResult } from '../../store/records/result-cache.ts';
import { check } from '../wire-check.ts';

/** Lists made anew for a trace that was moved meanwhile: one is enough for a person's move, and a list is not to wait for a script that moves all the time. */
const MOST_LISTED_AGAIN = 3;

/** Every trace with its finding; `someMoved` where one was gone from its job before it was read. */
async function listOf(store: ApiContext['store']): Promise<{ views: TraceView[]; someMoved: boolean }> {
  const views: TraceView[] = [];
  let someMoved = false;
  for (const { jobId, record } of await store.traces()) {
    const path = await store.path({ jobId, traceId: record.id }).catch((error: unknown) => {
      if (error instanceof StoreError && error.code === 'not-found') return null;
      throw error;
    });
    if (path === null) someMoved = true;
    else views.push({ jobId, record, ...findingOf(await readResult(path)) });
  }
  return { views, someMoved };
}

/** Stored traces: lists, changes, windows, analyses, marks, charge. */
export function traceRoutes(context: ApiContext): readonly Route[] {
  const { store, work, views } = context;
  const routes = new RouteList();

  routes.get('/traces', 'view', async (_request: Request, response: Response) => {
    let listed = await listOf(store);
    // moved to another job while it was listed: there it may not have been yet
    for (let again = 0; listed.someMoved && again < MOST_LISTED_AGAIN; again++) listed = await listOf(store);
    response.json(listed.views);
  });

  routes.get('/traces/:job/:trace', 'view', async (request: Request, response: Response) => {
    const ref = traceRef(request);
    const path = await store.path(ref);
    const result = await readResult(path);
    const { record, marks, problems } = await views.outline(path);
    response.json({ jobId: ref.jobId, record, ...findingOf(result), marks, problems, result } satisfies TraceDetail);
  });

  routes.put('/traces/:job/:trace', 'operate', async (request: Request, response: Response) => {
    let ref = traceRef(request);
    const { jobId, ...changes } = accepted(check.traceChanges(request.body));
    if (Object.keys(changes).length > 0) {
      await store.updateTrace(ref, changes);
      if (Object.keys(changes).some((name) => name !== 'title')) await dropResult(await store.path(ref));
    }
    if (jobId !== undefined) {
      await views.forget(await store.path(ref));
      ref = await store.moveTrace(ref, jobId);
    }
    response.json(await store.record(ref));
  });

  routes.get('/traces/:job/:trace/window', 'view', async (request: Request, response: Response) => {
    const { from, to, columns } = accepted(check.window(request.query));
    const window = await views.window(await store.path(traceRef(request)), from, to, columns);
    sendFrameBody(response, encodeSampleFrame({ ...window, sequence: 0, startS: from, endS: to }));
  });

  routes.get('/traces/:job/:trace/analysis', 'view', async (request: Request, response: Response) => {
    const ref = traceRef(request);
    const test = accepted(check.test(request.query['test']));
    const path = await store.path(ref);
    const result = await work.run<AnalysisResult>({ do: 'analyse', path, test }, { progress: progressOf(context, ref, 'analysis'), signal: requestSignal(response) });
    await keepResult(path, result);
    response.json(result);
  });

  routes.post('/traces/:job/:trace/marks', 'operate', async (request: Request, response: Response) => {
    const ref = traceRef(request);
    const mark = markOf(accepted(check.newMark(request.body)));
    const marks = await store.addMark(ref, mark);
    // a stretch is measured, not read: it changes no finding
    if (mark.kind !== 'stretch') await dropResult(await store.path(ref));
    response.json(marks);
  });

  routes.put('/traces/:job/:trace/marks', 'operate', async (request: Request, response: Response) => {
    const ref = traceRef(request);
    const { mark, change } = accepted(check.markChange(request.body));
    const marks = await store.changeMark(ref, markOf(mark), change === null ? null : markOf(change));
    if (mark.kind !== 'stretch' || (change !== null && change.kind !== 'stretch')) await dropResult(await store.path(ref));
    response.json(marks);
  });

  routes.get('/traces/:job/:trace/charge', 'view', async (request: Request, response: Response) => {
    const { from, to } = accepted(check.span(request.query));
    const path = await store.path(traceRef(request));
    response.json(await work.run<ChargeView>({ do: 'charge', path, fromS: from, toS: to }, { signal: requestSignal(response) }));
  });
  return routes.all;
}

function markOf({ time_s: timeS, end_s: endS, kind, label }: { time_s: number; end_s?: number; kind: Mark['kind']; label: string }): Mark {
  return { timeS, kind, label, ...(endS === undefined ? {} : { endS }) };
}

/** What a list says of a trace: `normal` alone would hide that there was nothing to judge it by. */
function findingOf(result: AnalysisResult | null): Pick<TraceView, 'finding' | 'basis'> {
  if (result === null) return { finding: null };
  return { finding: result.verdict.finding, ...(result.test === 'actuation' ? { basis: result.verdict.basis } : {}) };
}
