import type { JobRecord, TraceRecord } from '../tracefile/record.ts';
import type { AnalysisResult, VerdictBasis } from '../analysis/results.ts';
import type { StretchFigures } from '../analysis/stretch.ts';
import type { Mark } from '../trace.ts';
import type { JobAnswer } from '../present/wording/job-words.ts';
import type { Problem } from '../problems.ts';

/**
 * The HTTP side, all under /api, JSON unless said otherwise. Every request carries `Authorization: Bearer TOKEN`, an exact Host, and,
 * when it changes something, an exact Origin and `Content-Type: application/json`. Errors are `{error: {code, text}}` with a fitting status.
 *
 *   GET    /api/jobs                                   JobView[]
 *   POST   /api/jobs                 JobFields      →  JobRecord
 *   PUT    /api/jobs/:job            JobFields, was?: JobFields  →  JobRecord   `was`: what the page had when it began to change. What somebody else
 *                                                                     saved meanwhile stays; the same field changed in two ways is 409 JobClash
 *   PUT    /api/jobs/:job/evidence   Partial<JobEvidence>, was? → JobRecord   signs, readings, repair; fields not given stay
 *   GET    /api/jobs/:job/next                         JobNext       what is left of the causes and what to check next; analyses traces that never were
 *   PUT    /api/jobs/:job/state      JobStateChange →  JobRecord   closed, archived
 *   POST   /api/jobs/:job/notes      {text}         →  JobRecord
 *   PUT    /api/jobs/:job/notes      {at, removed}  →  JobRecord
 *   POST   /api/jobs/:job/photos?name=FILE   body: a JPEG, PNG or WebP file, Content-Type application/octet-stream → JobRecord
 *   GET    /api/jobs/:job/photos/:photo                the picture itself
 *   PUT    /api/jobs/:job/photos/:photo {caption?, removed?} → JobRecord
 *   POST   /api/jobs/:job/remove     {}             →  {removed: ID}   puts the job with all its traces aside, whole
 *   GET    /api/removed-jobs                           JobView[]
 *   POST   /api/removed-jobs/:job/restore {}        →  JobRecord
 *   POST   /api/jobs-import?name=FILE  body: a job that was handed over as a zip → {job: JobRecord, traces: number}
 *   GET    /api/jobs/:job/export.zip                   file download: the job with all its traces, which /api/import takes in again
 *   GET    /api/traces                                 TraceView[]   (all jobs, newest first)
 *   GET    /api/traces/:job/:trace                     TraceDetail
 *   PUT    /api/traces/:job/:trace   {title?, jobId?, test?, actuation_options?, drain_options?} → TraceRecord  (jobId moves it)
 *   GET    /api/traces/:job/:trace/window?from=S&to=S&columns=N      binary sample frame (reduced when more than 4N samples)
 *   GET    /api/traces/:job/:trace/analysis?test=actuation|drain     AnalysisResult (options are those of the trace record)
 *   POST   /api/traces/:job/:trace/marks  {time_s, kind, label, end_s?}  →  Mark[]   (end_s for a stretch)
 *   PUT    /api/traces/:job/:trace/marks  {mark: {time_s, kind, label}, change: {…} | null}  →  Mark[]   (null removes it)
 *   GET    /api/traces/:job/:trace/export.csv | .arrows | .parquet | .zip    file download
 *   POST   /api/traces/:job/:trace/export/cancel  {}  →  {cancelled}      gives up exports of this trace that are being made
 *   GET    /api/traces/:job/:trace/charge?from=S&to=S                ChargeView
 *   GET    /api/live/window?from=S&to=S&columns=N                    binary sample frame in live time (the ring, and the running recording)
 *   GET    /api/live/charge?from=S&to=S                              ChargeView, in live time
 *   POST   /api/import?name=FILE     body: the file (.csv, .arrows, .zip), Content-Type application/octet-stream → TraceRecord of the first
 *                                    (for other people's CSV also &columns=…&rate=HZ&skip-bad=1 as on the command line; &job=JOB)
 *   POST   /api/tickets   {path: '/api/…'}           →  {url}: the same path with a ticket that serves as the token in one GET within a
 *                                                      minute, so that the browser itself can save a long download or open a report
 *   GET    /api/devices                                DeviceView[]   tablets with a key of their own, which stays good after a restart
 *   POST   /api/devices   {name, access: 'view'|'operate'} →  DeviceMade  (from the computer itself; the key is shown this once)
 *   POST   /api/devices/:id/remove  {}               →  {}             (from the computer itself; ends what the device has open)
 *   GET    /api/ports                                 PortSeen[]     serial devices of this computer (on the computer itself); none is opened
 *   POST   /api/ports/ask {path}                    →  PortAnswer     opens one for some seconds and says what answers
 *   GET    /api/workshop                               Workshop      the heading of the pages that are handed over
 *   PUT    /api/workshop  {heading}                 →  Workshop
 *   POST   /api/workshop/logo        body: a JPEG, PNG or WebP file, Content-Type application/octet-stream → Workshop
 *   POST   /api/workshop/logo/remove {}             →  Workshop
 *   /api/calibrations, /api/live/steady, /api/traces/…/calibration  see calibration.ts
 *   /api/compare, /api/compare-many, /api/known-good…              see prove.ts
 *   GET    /api/report?traces=JOB/TRACE,…&for=customer|file&zone=Area/City   one self-contained HTML file, its times by the clock of that zone
 */
export interface JobFields {
  readonly depot: string;
  readonly vehicle: string;
  readonly complaint: string;
  readonly circuit: string;
  readonly fuse_rating_a: number | null;
  readonly technician: string;
  readonly note: string;
  /** left out: stays as it is */
  readonly plate?: string;
  readonly vin?: string;
  readonly odometer_km?: number | null;
  readonly customer?: string;
}

/** Whether a job is done with, and whether it is out of the way; left out: stays. */
export interface JobStateChange {
  readonly closed?: boolean;
  readonly archived?: boolean;
}

/** Nothing was written: somebody else has changed the same fields since the page had them. `now` is what is kept. */
export interface JobClash extends ApiError {
  readonly now: JobRecord;
}

/** What is left of the causes of a complaint. */
export interface JobNext extends JobAnswer {
  /** traces that say nothing here, with the reason */
  readonly unread: readonly { readonly name: string; readonly why: string }[];
}

export interface JobView {
  readonly job: JobRecord;
  readonly traces: number;
}

export interface DeviceView {
  readonly id: string;
  readonly name: string;
  readonly access: 'view' | 'operate';
  /** RFC 3339 UTC */
  readonly created: string;
  /** to the hour; null = never */
  readonly last_seen: string | null;
}

export interface DeviceMade {
  readonly device: DeviceView;
  readonly key: string;
  /** what to open on the device; empty when the daemon answers this computer alone */
  readonly urls: readonly string[];
  /** each of them as a picture for a camera: rows of `#` and blanks */
  readonly codes: readonly string[];
}

export interface PortSeen {
  readonly path: string;
  /** maker and USB numbers, as far as the system knows them; '' otherwise */
  readonly description: string;
  /** `ours`: it is being read · `other`: another program has it open · `free`: nothing is known against it */
  readonly use: 'ours' | 'other' | 'free';
}

export interface PortAnswer {
  readonly answers: 'logger' | 'numbers' | 'silent' | 'busy' | 'denied';
  /** one sentence: what answers, or what to do */
  readonly text: string;
}

export interface TraceRef {
  readonly jobId: string;
  readonly traceId: string;
}

export interface TraceView {
  readonly jobId: string;
  readonly record: TraceRecord;
  /** finding of the last analysis, null when none was made */
  readonly finding: string | null;
  /** what a motor test's finding was judged by; absent beside a key-off test's, and where there is none */
  readonly basis?: VerdictBasis;
}

export interface TraceDetail extends TraceView {
  readonly marks: readonly Mark[];
  readonly problems: readonly Problem[];
  readonly result: AnalysisResult | null;
}

/** What lies between two moments of a trace; `gap_s` of them were not measured and count nothing. `mean_a` is over the time that was measured. */
export interface ChargeView extends StretchFigures {
  readonly charge_c: number;
  readonly charge_ah: number;
  readonly mean_a: number;
  readonly duration_s: number;
  readonly gap_s: number;
}

export interface ApiError {
  readonly error: { readonly code: string; readonly text: string };
}
