import type { AnalysisResult, TestKind } from '../../src/core/analysis/results.ts';
import type { Mark } from '../../src/core/trace.ts';
import type { JobEvidence, JobRecord, TraceRecord } from '../../src/core/tracefile/record.ts';
import type { ApiError, ChargeView, DeviceMade, DeviceView, JobClash, JobFields, JobNext, JobView, TraceDetail, TraceRef, TraceView } from '../../src/core/wire/api.ts';
import type { SampleFrame } from '../../src/core/wire/sample-frame.ts';
import { decodeSampleFrame } from '../../src/core/wire/sample-frame.ts';
import { keptToken } from './token.ts';
import { language } from '../../src/core/present/language.ts';

const words = language.screens.app.api;

/** The daemon's answer when it could not do what was asked: `text` is made for people. */
export class ApiFailure extends Error {
  readonly status: number;
  readonly code: string;
  /** the whole answer, where it was JSON */
  readonly answer: unknown;

  constructor(status: number, code: string, text: string, answer: unknown = null) {
    super(text);
    this.status = status;
    this.code = code;
    this.answer = answer;
  }
}

export const tracePath = ({ jobId, traceId }: TraceRef): string => `/api/traces/${encodeURIComponent(jobId)}/${encodeURIComponent(traceId)}`;

export const listJobs = (): Promise<JobView[]> => json('GET', '/api/jobs');
export const createJob = (fields: JobFields): Promise<JobRecord> => json('POST', '/api/jobs', fields);
export const updateJob = (jobId: string, fields: JobFields, was: JobFields): Promise<JobRecord> => json('PUT', `/api/jobs/${encodeURIComponent(jobId)}`, { ...fields, was });
export const changeEvidence = (jobId: string, changes: Partial<JobEvidence>, was: Partial<JobEvidence>): Promise<JobRecord> => json('PUT', `/api/jobs/${encodeURIComponent(jobId)}/evidence`, { ...changes, was });
export const getNext = (jobId: string, signal: AbortSignal): Promise<JobNext> => json('GET', `/api/jobs/${encodeURIComponent(jobId)}/next`, undefined, signal);
export const listDevices = (): Promise<DeviceView[]> => json('GET', '/api/devices');
export const addDevice = (name: string, access: DeviceView['access']): Promise<DeviceMade> => json('POST', '/api/devices', { name, access });
export const removeDevice = (id: string): Promise<unknown> => json('POST', `/api/devices/${encodeURIComponent(id)}/remove`, {});
export const listTraces = (): Promise<TraceView[]> => json('GET', '/api/traces');
export const getTrace = (ref: TraceRef): Promise<TraceDetail> => json('GET', tracePath(ref));
export const updateTrace = (ref: TraceRef, change: Partial<Pick<TraceRecord, 'title' | 'test' | 'actuation_options' | 'drain_options'>> & { jobId?: string }): Promise<TraceRecord> =>
  json('PUT', tracePath(ref), change);
export const addMark = (ref: TraceRef, mark: Mark): Promise<Mark[]> => json('POST', `${tracePath(ref)}/marks`, markFields(mark));
export const changeMark = (ref: TraceRef, mark: Mark, change: Mark | null): Promise<Mark[]> =>
  json('PUT', `${tracePath(ref)}/marks`, { mark: markFields(mark), change: change === null ? null : markFields(change) });
const markFields = ({ timeS, kind, label, endS }: Mark): { time_s: number; end_s?: number; kind: Mark['kind']; label: string } => ({ time_s: timeS, kind, label, ...(endS === undefined ? {} : { end_s: endS }) });
export const cancelExports = (ref: TraceRef): Promise<{ cancelled: number }> => json('POST', `${tracePath(ref)}/export/cancel`, {});
export const analyseTrace = (ref: TraceRef, test: TestKind, signal: AbortSignal): Promise<AnalysisResult> =>
  json('GET', `${tracePath(ref)}/analysis?test=${test}`, undefined, signal);
export const chargeOfTrace = (ref: TraceRef, fromS: number, toS: number, signal: AbortSignal): Promise<ChargeView> => json('GET', `${tracePath(ref)}/charge?from=${fromS}&to=${toS}`, undefined, signal);

export const chargeOfLive = (fromS: number, toS: number, signal: AbortSignal): Promise<ChargeView> => json('GET', `/api/live/charge?from=${fromS}&to=${toS}`, undefined, signal);

/** A window of a stored trace (`/api/traces/JOB/TRACE`) or of the live time (`/api/live`), reduced by the daemon when it holds more than `columns` need. */
export async function getWindow(path: string, fromS: number, toS: number, columns: number, signal: AbortSignal): Promise<SampleFrame> {
  const response = await request('GET', `${path}/window?from=${fromS}&to=${toS}&columns=${columns}`, undefined, signal);
  const frame = decodeSampleFrame(await response.arrayBuffer());
  if (typeof frame === 'string') throw new ApiFailure(response.status, 'bad-frame', frame);
  return frame;
}

/** How to read another program's CSV; in the words of `amptrail convert --columns`. */
export interface ImportOptions {
  readonly columns: string;
  readonly rateHz: number | null;
  readonly skipBad: boolean;
}

/** `upload` names the request, so that this page hears how far its own file is. */
export async function importFile(file: File, upload: string, options: ImportOptions | null, signal: AbortSignal): Promise<TraceRecord> {
  const query = new URLSearchParams({ name: file.name, upload });
  if (options !== null && options.columns !== '') query.set('columns', options.columns);
  if (options !== null && options.rateHz !== null) query.set('rate', String(options.rateHz));
  if (options?.skipBad === true) query.set('skip-bad', '1');
  const response = await request('POST', `/api/import?${query.toString()}`, file, signal);
  return (await response.json()) as TraceRecord;
}

/** One request with the token. Throws ApiFailure with the daemon's own words, or plain words when it does not answer at all. */
export async function request(method: string, path: string, body?: unknown, signal?: AbortSignal): Promise<Response> {
  const headers: Record<string, string> = { Authorization: `Bearer ${keptToken()}` };
  const raw = body instanceof Blob;
  if (body !== undefined) headers['Content-Type'] = raw ? 'application/octet-stream' : 'application/json';
  let response: Response;
  try {
    response = await fetch(path, { method, headers, body: body === undefined ? null : raw ? body : JSON.stringify(body), signal: signal ?? null });
  } catch (error) {
    if (error instanceof DOMException && error.name === 'AbortError') throw error;
    throw new ApiFailure(0, 'unreachable', words.theProgramBehindThis);
  }
  if (response.ok) return response;
  const text = await response.text();
  let failure: ApiError['error'] = { code: 'error', text: text.slice(0, 300) || words.programAnswered(response.status) };
  let answer: unknown = null;
  try {
    answer = JSON.parse(text);
    failure = (answer as ApiError).error ?? failure;
  } catch {
    // not JSON: the plain text above says what there is to say
  }
  throw new ApiFailure(response.status, failure.code, failure.text, answer);
}

/** What is kept, when somebody else has changed the same meanwhile; null for any other failure. */
export function clashOf(error: unknown): JobRecord | null {
  return error instanceof ApiFailure && error.code === 'changed-meanwhile' ? (error.answer as JobClash).now : null;
}

async function json<Answer>(method: string, path: string, body?: unknown, signal?: AbortSignal): Promise<Answer> {
  const response = await request(method, path, body, signal);
  return (await response.json()) as Answer;
}

/** True for the error of a request that a person (or a newer request) gave up. */
export function isAbort(error: unknown): boolean {
  return error instanceof DOMException && error.name === 'AbortError';
}
