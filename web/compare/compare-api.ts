import type { TraceRef } from '../../src/core/wire/api.ts';
import type { CompareAnswer, KnownGoodSet, ManyAnswer, PlaceAnswer } from '../../src/core/wire/prove.ts';
import { request } from '../net/api.ts';

/** Questions of the comparing screens to the daemon. All throw ApiFailure with the reason when they cannot be answered. */

/** `tolerance`: the share below which a change counts as the same; null: each figure's own. */
export const compareTraces = (before: TraceRef, after: TraceRef, tolerance: number | null, signal: AbortSignal): Promise<CompareAnswer> =>
  ask('POST', '/api/compare', { before, after, ...(tolerance === null ? {} : { tolerance }) }, signal);

export const compareMany = (traces: readonly TraceRef[], signal: AbortSignal): Promise<ManyAnswer> => ask('POST', '/api/compare-many', { traces }, signal);

export const learnKnownGood = (id: string | null, circuit: string, traces: readonly TraceRef[]): Promise<KnownGoodSet> =>
  id === null ? ask('POST', '/api/known-good', { circuit, traces }) : ask('PUT', `/api/known-good/${encodeURIComponent(id)}`, { circuit, traces });
export const removeKnownGood = (id: string): Promise<unknown> => ask('POST', `/api/known-good/${encodeURIComponent(id)}/remove`, {});
export const placeTrace = (id: string, { jobId, traceId }: TraceRef, signal: AbortSignal): Promise<PlaceAnswer> =>
  ask('GET', `/api/known-good/${encodeURIComponent(id)}/place?trace=${encodeURIComponent(jobId)}/${encodeURIComponent(traceId)}`, undefined, signal);

export interface ReportOrder {
  readonly keys: readonly string[];
  readonly audience: 'customer' | 'file';
  readonly tolerance: number | null;
}

function reportPath({ keys, audience, tolerance }: ReportOrder): string {
  const { timeZone } = Intl.DateTimeFormat().resolvedOptions();
  return `/api/report?traces=${keys.join(',')}&for=${audience}${tolerance === null ? '' : `&tolerance=${tolerance}`}&zone=${encodeURIComponent(timeZone)}`;
}

/** The finished page as HTML. */
export async function fetchReport(order: ReportOrder, signal: AbortSignal): Promise<string> {
  return (await request('GET', reportPath(order), undefined, signal)).text();
}

/** Everything the page rests on, as JSON. */
export async function fetchReportJson(order: ReportOrder): Promise<string> {
  return (await request('GET', `${reportPath(order)}&as=json`)).text();
}

async function ask<Answer>(method: string, path: string, body?: unknown, signal?: AbortSignal): Promise<Answer> {
  return (await (await request(method, path, body, signal)).json()) as Answer;
}
