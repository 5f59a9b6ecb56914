import { language } from '../../../core/present/language.ts';
import { checkKnownGoodFile } from '../../../core/analysis/compare/known-good/check.ts';
import { KNOWN_GOOD_SCHEMA, type KnownGood, type Placement } from '../../../core/analysis/compare/known-good/known-good.ts';
import { usualLimits } from '../../../core/analysis/compare/known-good/usual.ts';
import type { TraceRef } from '../../../core/wire/api.ts';
import type { KnownGoodMember, PlaceAnswer, TypedCircuit } from '../../../core/wire/prove.ts';
import { requestSignal, accepted, type ApiContext } from './api-context.ts';
import type { Request, Response } from '../http-kit.ts';
import { RouteList, type Route } from '../door/route-list.ts';
import { KnownGoodStore } from '../../prove/known-good-store.ts';
import { RequestError } from '../../errors.ts';
import { readRefs } from './trace-refs.ts';
import { readSent } from './uploads.ts';
import { check } from '../wire-check.ts';

const words = language.daemon.http.usualCurrents;

/** Hundreds of circuits with their limits and members; more is no library of ours. */
const MAX_LIBRARY_BYTES = 4 << 20;

/** Reference sets of known-good traces: learnt, kept, changed, and traces placed against them. */
export function knownGoodRoutes({ store, work, clock }: ApiContext): readonly Route[] {
  const routes = new RouteList();
  const sets = new KnownGoodStore(store.dataFolder);

  routes.get('/known-good', 'view', async (_request: Request, response: Response) => {
    response.json(await sets.list());
  });

  routes.post('/known-good', 'operate', async (request: Request, response: Response) => {
    const { circuit, traces } = accepted(check.knownGood(request.body));
    const known = await learn(circuit, traces, requestSignal(response));
    response.json(await sets.create(known, await membersOf(traces), clock.date()));
  });

  routes.put('/known-good/:id', 'operate', async (request: Request, response: Response) => {
    const id = accepted(check.id(request.params['id']));
    const { circuit, traces } = accepted(check.knownGood(request.body));
    await sets.get(id);
    const known = await learn(circuit, traces, requestSignal(response));
    response.json(await sets.replace(id, known, await membersOf(traces)));
  });

  routes.post('/known-good/usual', 'operate', async (request: Request, response: Response) => {
    response.json(await sets.create(knownOf(accepted(check.typedCircuit(request.body))), [], clock.date()));
  });

  routes.put('/known-good/:id/usual', 'operate', async (request: Request, response: Response) => {
    const id = accepted(check.id(request.params['id']));
    if ((await sets.get(id)).usual === undefined) throw new RequestError(409, 'exists', words.learntStay);
    response.json(await sets.replace(id, knownOf(accepted(check.typedCircuit(request.body))), []));
  });

  routes.post('/known-good/import', 'operate', async (request: Request, response: Response) => {
    const text = await readSent(request, MAX_LIBRARY_BYTES, words.fileTooLarge);
    const found = checkKnownGoodFile(jsonOf(text));
    if (typeof found === 'string') throw new RequestError(422, 'wrong-format', words.cannotBeUsed(found));
    response.json(await sets.importSets(found, clock.date()));
  }, 'file');

  routes.post('/known-good/:id/remove', 'operate', async (request: Request, response: Response) => {
    await sets.remove(accepted(check.id(request.params['id'])));
    response.json({});
  });

  routes.get('/known-good/:id/place', 'view', async (request: Request, response: Response) => {
    const set = await sets.get(accepted(check.id(request.params['id'])));
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

function knownOf({ circuit, vehicle_type: vehicleType, place, usual }: TypedCircuit): KnownGood {
  const named = { ...(vehicleType.trim() === '' ? {} : { vehicle_type: vehicleType.trim() }), ...(place.trim() === '' ? {} : { place: place.trim() }) };
  return { schema: KNOWN_GOOD_SCHEMA, circuit, ...named, usual, limits: usualLimits(usual), problems: [] };
}

function jsonOf(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    throw new RequestError(422, 'wrong-format', words.cannotBeUsed(words.noJson));
  }
}
