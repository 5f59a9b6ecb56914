import type { TraceRef } from '../../../core/wire/api.ts';
import { accepted } from './api-context.ts';
import { RequestError } from '../../errors.ts';
import { check } from '../wire-check.ts';
import { language } from '../../../core/present/language.ts';

const words = language.daemon.http.traceRefs;

/** Traces named in an address as `JOB/TRACE,JOB/TRACE`; throws 400 unless there is at least one and at most `most`. */
export function readRefs(text: string, most: number): TraceRef[] {
  const refs = text.split(',').filter((part) => part !== '').map((part) => {
    const [jobId, traceId, ...rest] = part.split('/');
    if (rest.length > 0) throw new RequestError(400, 'bad-request', words.tracesAreNamedAs);
    return { jobId: accepted(check.id(jobId)), traceId: accepted(check.id(traceId)) };
  });
  if (refs.length === 0 || refs.length > most) throw new RequestError(400, 'bad-request', most === 1 ? words.oneTraceIsWanted : words.n1ToTracesAre(most));
  return refs;
}
