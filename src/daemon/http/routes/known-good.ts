import type { KnownGood, Placement } from '../../../core/analysis/compare/known-good/known-good.ts';
import type { TraceRef } from '../../../core/wire/api.ts';
import type { KnownGoodMember, PlaceAnswer } from '../../../core/wire/prove.ts';
import { requestSignal, take, type ApiContext } from './api-context.ts';
import type { Request, Response } from '../http-kit.ts';
import { RouteList, type Route } from '../door/route-list.ts';
import { KnownGoodStore } from '../../prove/known-good-store.ts';
import { readRefs } from './trace-refs.ts';
import { check } from '../wire-check.ts';

/** Reference sets of known-good traces: learnt, kept, changed, and traces placed against them. */
export function knownGoodRoutes({ store, work, clock }: ApiContext): readonly Route[] {
  const routes = new RouteList();
  const sets = new KnownGoodStore(store.dataFolder);

  routes.get('/known-good', 'view', async (_request: Request, response: Response) => {
    response.json(await sets.list());
  });

  routes.post('/known-good', 'operate', async (request: Request, response: Response) => {
    const { circuit, traces } = take(check.knownGood(request.body));
    const known = await learn(circuit, traces, requestSignal(response));
    response.json(await sets.create(known, await membersOf(traces), clock.date()));
  });

  routes.put('/known-good/:id', 'operate', async (request: Request, response: Response) => {
    const id = take(check.id(request.params['id']));
    const { circuit, traces } = take(check.knownGood(request.body));
    await sets.get(id);
    const known = await learn(circuit, traces, requestSignal(response));
    response.json(await sets.replace(id, known, await membersOf(traces)));
  });

  routes.post('/known-good/:id/remove', 'operate', async (request: Request, response: Response) => {
    await sets.remove(take(check.id(request.params['id'])));
    response.json({});
  });

  routes.get('/known-good/:id/place', 'view', async (request: Request, response: Response) => {
    const set = await sets.get(take(check.id(request.params['id'])));
    const [ref] = readRefs(String(request.query['trace'] ?? ''), 1);
    const path = await store.path(ref!);
    const { sha256 } = await store.record(ref!);
    const found = await work.run<{ finding: string; placements: Placement[] }>({ do: 'place', path, known: set, runLimitsA: set.run_limits_a }, { signal: requestSignal(response) });
    const member = set.members.some((one) => (sha256 !== null && one.sha256 === sha256) || (one.jobId === ref!.jobId && one.traceId === ref!.traceId));
    response.json({ ...found, member } satisfies PlaceAnswer);
  });
  return routes.all;

  async function learn(circuit: string, traces: readonly TraceRef[], signal: AbortSignal): Promise<KnownGood> {
    const paths: string[] = [];
    for (const ref of traces) paths.push(await store.path(ref));
    return work.run<KnownGood>({ do: 'learn', paths, circuit }, { signal });
  }

  async function membersOf(traces: readonly TraceRef[]): Promise<KnownGoodMember[]> {
    const members: KnownGoodMember[] = [];
    for (const ref of traces) {
      const { title, start, sha256 } = await store.record(ref);
      const { vehicle } = await store.jobs.read(ref.jobId);
      members.push({ ...ref, title, vehicle, start, sha256 });
    }
    return members;
  }
}
