import type { TestKind } from '../../../core/analysis/results.ts';
import type { CompareResult } from '../../../core/analysis/compare/results.ts';
import type { ReportInput } from '../../../core/report/input.ts';
import type { TraceRecord } from '../../../core/tracefile/record.ts';
import type { CompareAnswer, ManyAnswer } from '../../../core/wire/prove.ts';
import { requestSignal, accepted, type ApiContext } from './api-context.ts';
import { RequestError } from '../../errors.ts';
import type { Request, Response } from '../http-kit.ts';
import { RouteList, type Route } from '../door/route-list.ts';
import { namesOf } from '../../prove/gather.ts';
import { rounded } from '../../prove/overlays.ts';
import { StoreError } from '../../store/files/store-error.ts';
import { readRefs } from './trace-refs.ts';
import { check } from '../wire-check.ts';
import { language } from '../../../core/present/language.ts';

const words = language.daemon.http.prove;

/** A report is about a few traces: before and after, both sides, both directions. */
const MAX_TRACES = 8;

/** Two traces against each other, and the page that proves a repair. */
export function proveRoutes({ store, work, clock }: ApiContext): readonly Route[] {
  const routes = new RouteList();

  routes.post('/compare', 'view', async (request: Request, response: Response) => {
    const { before, after, test: asked, tolerance } = accepted(check.comparison(request.body));
    const test = asked ?? commonTest([await store.record(before), await store.record(after)]);
    const order = { do: 'compare', before: await store.path(before), after: await store.path(after), test, ...(tolerance === undefined ? {} : { tolerance }) } as const;
    const { result, overlays, nights } = await work.run<{ result: CompareResult; overlays: ReportInput['overlays']; nights: CompareAnswer['nights'] }>(order, { signal: requestSignal(response) });
    response.json({ result, nights, overlays: overlays.map((overlay) => ({ ...overlay, before: plain(overlay.before), after: plain(overlay.after) })) });
  });

  routes.post('/compare-many', 'view', async (request: Request, response: Response) => {
    const { traces, test: asked } = accepted(check.sideBySide(request.body));
    const records: TraceRecord[] = [];
    for (const ref of traces) records.push(await store.record(ref));
    const test = asked ?? commonTest(records);
    const paths: string[] = [];
    for (const ref of traces) paths.push(await store.path(ref));
    response.json(await work.run<ManyAnswer>({ do: 'compare-many', paths, names: namesOf(records), test }, { signal: requestSignal(response) }));
  });

  routes.get('/report', 'view', async (request: Request, response: Response) => {
    const refs = readRefs(String(request.query['traces'] ?? ''), MAX_TRACES);
    const audience = request.query['for'] ?? 'file';
    if (audience !== 'customer' && audience !== 'file') throw new RequestError(400, 'bad-request', words.forCustomerOrFile);
    const paths: string[] = [];
    for (const ref of refs) paths.push(await store.path(ref));
    const asJson = request.query['as'] === 'json';
    const tolerance = request.query['tolerance'] === undefined ? undefined : accepted(check.tolerance(request.query['tolerance']));
    // the clock on the wall beside the page, which the computer that records may not have
    const timeZone = request.query['zone'] === undefined ? undefined : accepted(check.timeZone(request.query['zone']));
    const page = await work.run<string>({ do: 'report', paths, audience, madeAt: clock.date().toISOString(), asJson, ...(tolerance === undefined ? {} : { tolerance }), ...(timeZone === undefined ? {} : { timeZone }) }, { signal: requestSignal(response) });
    if (asJson) {
      response.type('json').send(page);
      return;
    }
    // the report is one file without script: its own styles and pictures are all it may use
    response.set('Content-Security-Policy', `default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'`);
    response.type('html').send(page);
  });
  return routes.all;
}

/** The test the traces were recorded for; one that does not say is read like the others. Throws where they cannot be compared. */
function commonTest(records: readonly TraceRecord[]): TestKind {
  const tests = [...new Set(records.flatMap(({ test }) => test ?? []))];
  if (tests.length > 1) {
    const named = tests.map((test) => words.isOfA(titleOf(records.find((record) => record.test === test)!), TEST_WORDS[test]));
    throw new StoreError('wrong-format', words.theirFiguresHaveNothing(named.join(', ')));
  }
  const [test] = tests;
  if (test === undefined) throw new StoreError('wrong-format', words.noneOfTheTraces);
  return test;
}

function titleOf({ title, id }: TraceRecord): string {
  return title || id;
}

const TEST_WORDS: Readonly<Record<TestKind, string>> = { actuation: words.motorTest, drain: words.drainTest };

/** Typed arrays would become objects in JSON, and more digits than a picture shows only make it long. */
function plain({ timeS, currentA }: { readonly timeS: ArrayLike<number>; readonly currentA: ArrayLike<number> }): { timeS: number[]; currentA: number[] } {
  return { timeS: Array.from(timeS, (atS) => rounded(atS, 1e6)), currentA: Array.from(currentA, (value) => rounded(value, 1e4)) };
}
