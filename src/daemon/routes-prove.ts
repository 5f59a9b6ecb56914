import type { TestKind } from '../core/analysis/results.ts';
import type { CompareResult } from '../core/analysis/compare/results.ts';
import type { ReportInput } from '../core/report/input.ts';
import type { TraceRecord } from '../core/tracefile/record.ts';
import type { TraceRef } from '../core/wire/api.ts';
import { requestSignal, take, type ApiContext } from './api-context.ts';
import { RequestError } from './errors.ts';
import { Router, type Request, type Response } from './http-kit.ts';
import { StoreError } from './store/store-error.ts';
import { check } from './wire-check.ts';

/** A report is about a few traces: before and after, both sides, both directions. */
const MAX_TRACES = 8;

/** Two traces against each other, and the page that proves a repair. */
export function proveRoutes({ store, work, clock }: ApiContext): Router {
  const router = Router();

  router.post('/compare', async (request: Request, response: Response) => {
    const { before, after, test: asked } = take(check.comparison(request.body));
    const test = asked ?? commonTest(await store.record(before), await store.record(after));
    const order = { do: 'compare', before: await store.path(before), after: await store.path(after), test } as const;
    const { result, overlays } = await work.run<{ result: CompareResult; overlays: ReportInput['overlays'] }>(order, { signal: requestSignal(response) });
    response.json({ result, overlays: overlays.map((overlay) => ({ ...overlay, before: plain(overlay.before), after: plain(overlay.after) })) });
  });

  router.get('/report', async (request: Request, response: Response) => {
    const refs = readRefs(String(request.query['traces'] ?? ''));
    const audience = request.query['for'] ?? 'file';
    if (audience !== 'customer' && audience !== 'file') throw new RequestError(400, 'bad-request', 'for: customer or file.');
    const paths: string[] = [];
    for (const ref of refs) paths.push(await store.path(ref));
    const html = await work.run<string>({ do: 'report', paths, audience, madeAt: clock.date().toISOString() }, { signal: requestSignal(response) });
    // the report is one file without script: its own styles and pictures are all it may use
    response.set('Content-Security-Policy', `default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'`);
    response.type('html').send(html);
  });
  return router;
}

/** The test both traces were recorded for; one that does not say is read like the other. Throws where they cannot be compared. */
function commonTest(before: TraceRecord, after: TraceRecord): TestKind {
  if (before.test !== null && after.test !== null && before.test !== after.test) {
    throw new StoreError('wrong-format', `The first trace is of a ${TEST_WORDS[before.test]}, the second of a ${TEST_WORDS[after.test]}: their figures have nothing in common. Choose two traces of the same test.`);
  }
  const test = before.test ?? after.test;
  if (test === null) throw new StoreError('wrong-format', 'Neither trace says which test it is of: choose motor or drain for one of them on its own page first.');
  return test;
}

const TEST_WORDS: Readonly<Record<TestKind, string>> = { actuation: 'motor test', drain: 'drain test' };

function readRefs(text: string): TraceRef[] {
  const refs = text.split(',').filter((part) => part !== '').map((part) => {
    const [jobId, traceId, ...rest] = part.split('/');
    if (rest.length > 0) throw new RequestError(400, 'bad-request', 'traces: JOB/TRACE, separated by commas.');
    return { jobId: take(check.id(jobId)), traceId: take(check.id(traceId)) };
  });
  if (refs.length === 0 || refs.length > MAX_TRACES) throw new RequestError(400, 'bad-request', `A report is made of 1 to ${MAX_TRACES} traces.`);
  return refs;
}

/** Typed arrays would become objects in JSON. */
function plain({ timeS, currentA }: { readonly timeS: ArrayLike<number>; readonly currentA: ArrayLike<number> }): { timeS: number[]; currentA: number[] } {
  return { timeS: Array.from(timeS), currentA: Array.from(currentA) };
}
