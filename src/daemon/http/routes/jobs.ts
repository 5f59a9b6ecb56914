import { join } from 'node:path';
import type { AnalysisResult } from '../../../core/analysis/results.ts';
import { jobAnswer } from '../../../core/present/wording/job-words.ts';
import { readEvidenceChanges } from '../../../core/reason/job-evidence.ts';
import { reasonJob } from '../../../core/reason/job-case.ts';
import type { JobEvidence, JobRecord } from '../../../core/tracefile/record.ts';
import type { JobClash, JobNext } from '../../../core/wire/api.ts';
import { ChangedMeanwhile } from '../../store/records/jobs.ts';
import { RequestError } from '../../errors.ts';
import type { Hub } from '../../live/hub.ts';
import { readJobTraces } from '../../prove/job-traces.ts';
import { keepResult } from '../../store/records/result-cache.ts';
import { progressOf, requestSignal, accepted, type ApiContext } from './api-context.ts';
import { RouteList, type Route } from '../door/route-list.ts';
import type { Request, Response } from '../http-kit.ts';
import { check } from '../wire-check.ts';

/** Jobs: the complaint, what was verified and read, what is left of the causes. */
export function jobRoutes(context: ApiContext, hub: Hub): readonly Route[] {
  const { store, work, clock, send } = context;
  const routes = new RouteList();

  routes.get('/jobs', 'view', async (_request: Request, response: Response) => {
    response.json(await store.jobs.list());
  });
  routes.post('/jobs', 'operate', async (request: Request, response: Response) => {
    response.json(await store.jobs.create(accepted(check.jobFields(request.body)), clock.date()));
    send({ type: 'stored' });
  });
  routes.put('/jobs/:job', 'operate', async (request: Request, response: Response) => {
    const { was, fields } = changeOf(request.body);
    await answerChange(response, store.jobs.update(accepted(check.id(request.params['job'])), accepted(check.jobFields(fields)), was === undefined ? null : accepted(check.jobFields(was))));
    send({ type: 'stored' });
  });

  routes.put('/jobs/:job/evidence', 'operate', async (request: Request, response: Response) => {
    const { was, fields } = changeOf(request.body);
    const read = (given: unknown): Partial<JobEvidence> => {
      const changes = readEvidenceChanges(given);
      if (typeof changes === 'string') throw new RequestError(400, 'bad-request', changes);
      return changes;
    };
    await answerChange(response, store.jobs.updateEvidence(accepted(check.id(request.params['job'])), read(fields), was === undefined ? null : read(was)));
    send({ type: 'stored' });
  });

  routes.put('/jobs/:job/state', 'operate', async (request: Request, response: Response) => {
    const { closed, archived } = accepted(check.jobState(request.body));
    const at = clock.date().toISOString();
    // said again, it keeps the time it was said first
    const moment = (wanted: boolean | undefined, before: string | null): string | null => (wanted === undefined ? before : wanted ? (before ?? at) : null);
    response.json(await store.jobs.updateStory(accepted(check.id(request.params['job'])), (now) => ({ closed: moment(closed, now.closed), archived: moment(archived, now.archived) })));
    send({ type: 'stored' });
  });

  routes.post('/jobs/:job/remove', 'operate', async (request: Request, response: Response) => {
    const jobId = accepted(check.id(request.params['job']));
    const removed = await store.removeJob(jobId);
    // nothing may be recorded into a job that is no longer there
    hub.test.forgetJob(jobId);
    response.json({ removed });
    send({ type: 'stored' });
  });
  routes.get('/removed-jobs', 'view', async (_request: Request, response: Response) => {
    response.json(await store.jobs.removed());
  });
  routes.post('/removed-jobs/:job/restore', 'operate', async (request: Request, response: Response) => {
    response.json(await store.jobs.restore(accepted(check.id(request.params['job']))));
    send({ type: 'stored' });
  });

  routes.get('/jobs/:job/next', 'view', async (request: Request, response: Response) => {
    const jobId = accepted(check.id(request.params['job']));
    await store.jobs.check(jobId);
    const job = await store.jobs.read(jobId);
    const folders = (await store.tracesOf(jobId)).map(({ record }) => ({ record, path: join(store.jobs.path(jobId), record.id) }));
    const signal = requestSignal(response);
    const { traces, unread } = await readJobTraces(folders, async ({ path, record }) => {
      const ref = { jobId, traceId: record.id };
      const result = await work.run<AnalysisResult>({ do: 'analyse', path: await store.path(ref), test: record.test! }, { progress: progressOf(context, ref, 'analysis'), signal });
      await keepResult(path, result);
      return result;
    });
    const reasoning = reasonJob(job, traces);
    if (typeof reasoning === 'string') throw new RequestError(422, 'wrong-format', reasoning);
    response.json({ ...jobAnswer(reasoning, job.repair), unread } satisfies JobNext);
  });
  return routes.all;
}

/** The fields of a change, and what the page had before it, if it says so. */
function changeOf(body: unknown): { was: unknown; fields: unknown } {
  if (typeof body !== 'object' || body === null) return { was: undefined, fields: body };
  const { was, ...fields } = body as Record<string, unknown>;
  return { was, fields };
}

/** 409 with what is kept where somebody else has changed the same: the page shows both versions. */
async function answerChange(response: Response, change: Promise<JobRecord>): Promise<void> {
  try {
    response.json(await change);
  } catch (error) {
    if (!(error instanceof ChangedMeanwhile)) throw error;
    response.status(409).json({ error: { code: 'changed-meanwhile', text: error.message }, now: error.now } satisfies JobClash);
  }
}
