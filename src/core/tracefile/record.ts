import type { ActuationOptions, DrainOptions } from '../analysis/options.ts';
import type { CalibrationRecord } from '../analysis/uncertainty/calibration.ts';
import type { GapFields, TestKind } from '../analysis/results.ts';
import type { ProblemCode } from '../problems.ts';
import type { Answer, Cause, Reading, Sign } from '../reason/types.ts';

/**
 * `trace.json` and `job.json`: small files people can read, copy and back up. Written by the daemon with temp file and rename; read by
 * the pages over HTTP. Field names are public.
 */
export const TRACE_SCHEMA = 'amptrail-trace/1';
export const JOB_SCHEMA = 'amptrail-job/1';

export interface RecordedChannel {
  name: 'current' | 'voltage';
  unit: 'A' | 'V';
  /** what the sensor can measure; null when the source did not say */
  range: [number, number] | null;
  /** smallest step of the reading; null when unknown */
  resolution: number | null;
}

/** How far the current reading can be trusted. Uncertainties are 95 % half-widths. */
interface Calibration {
  /** subtracted from every reading, from the zero step; null when no zero was taken */
  zero_a: number | null;
  /** when the zero was taken, RFC 3339 UTC */
  zeroed_at: string | null;
  gain: number;
  offset_doubt_a: number | null;
  gain_doubt_percent: number | null;
}

/** running: being written, or cut by a crash · ended: closed cleanly · cut: found unfinished later and closed with what was whole */
type EndState = 'running' | 'ended' | 'cut';

/** why a capture ended, where it did not end by the person's wish */
export type EndCause = 'stopped' | 'duration' | 'size' | 'asleep' | 'source-ended' | 'source-failed' | 'disk-full' | 'disk-error' | 'lock-lost' | 'shutdown' | 'recovered';

export interface TraceRecord {
  schema: typeof TRACE_SCHEMA;
  id: string;
  /** a name a person gave, for example "before, left side" */
  title: string;
  /** RFC 3339 UTC time of trace time 0 */
  start: string;
  software: string;
  /** made by the virtual vehicle: no real circuit was measured */
  simulated: boolean;
  logger: { name: string; serial: string | null; firmware: string | null; source: string };
  channels: RecordedChannel[];
  calibration: Calibration;
  /** applied when the samples are read, which stay as recorded; of each channel the last one that was not taken back holds */
  calibrations: CalibrationRecord[];
  test: TestKind | null;
  actuation_options: ActuationOptions | null;
  drain_options: DrainOptions | null;
  /** measured over the whole trace once ended; null while unknown */
  rate_hz: number | null;
  samples: number;
  duration_s: number;
  /** all of them, or the longest thousand in order of time: then `gap_count` says how many there are and gaps.csv lists them */
  gaps: GapFields[];
  gap_count: number;
  /** length of all gaps together */
  gap_s: number;
  /** changes of range or resolution by the logger in the course of the trace */
  ranges: { at_s: number; range: [number, number]; resolution: number | null }[];
  /** null = every sample as measured */
  thinning: { policy: string; kept_full_rate: GapFields[] } | null;
  damage: { bad_crc: number; malformed: number; too_long: number; lost_blocks: number; restarts: number };
  clock: { drift_ppm: number; jitter_s: number } | null;
  end: EndState;
  end_cause: EndCause | null;
  /** of samples.arrows, hex, once ended */
  sha256: string | null;
  /** digest of the start and of every sample, whatever file they lie in: two traces with the same one are the same recording; null until ended */
  trace_uid: string | null;
  /** what was wrong with the file this trace was taken in from */
  import_problems: ImportProblem[];
}

interface ImportProblem {
  code: ProblemCode;
  text: string;
}

export interface JobRecord extends JobEvidence, JobStory {
  schema: typeof JOB_SCHEMA;
  id: string;
  created: string;
  depot: string;
  vehicle: string;
  complaint: string;
  circuit: string;
  fuse_rating_a: number | null;
  technician: string;
  note: string;
  plate: string;
  vin: string;
  odometer_km: number | null;
  customer: string;
}

export interface JobNote {
  /** RFC 3339 UTC; no two notes of a job have the same */
  at: string;
  text: string;
  /** put aside by a person; stays in the file */
  removed: boolean;
}

export interface JobPhoto {
  /** name of its file in the job's folder */
  id: string;
  /** RFC 3339 UTC */
  at: string;
  caption: string;
  width_px: number;
  height_px: number;
  /** put aside by a person; its file stays */
  removed: boolean;
}

/** What people keep beside the measuring. All of it may be absent in an older job.json. */
export interface JobStory {
  notes: JobNote[];
  photos: JobPhoto[];
  /** RFC 3339 UTC; null while the job is open */
  closed: string | null;
  /** out of the way, kept whole; null while it is in the list */
  archived: string | null;
}

/** Volts of both motor leads against the battery's negative post, one direction pressed. */
export interface LeadFields {
  a_v: number;
  b_v: number;
  current_a: number | null;
}

export interface FuseFields {
  label: string;
  type: string;
  rating_a: number;
  mv: number;
  ohm: number | null;
}

/** A wire of the circuit, for what it loses by itself. */
export interface WireFields {
  area_mm2: number;
  length_m: number;
}

/** What was done, and when: traces from then on are the proof. */
export interface Repair {
  cause: Cause | null;
  part: string;
  work: string;
  /** RFC 3339 UTC */
  at: string;
}

/** What a job knows beside its traces. All of it may be absent in an older job.json and is then empty. */
export interface JobEvidence {
  /** which test the complaint asks for; null: taken from the traces and the signs */
  test: TestKind | null;
  signs: Partial<Record<Sign, Answer>>;
  /** own words beside a sign */
  sign_words: Partial<Record<Sign, string>>;
  readings: Reading[];
  reversal: { forward: LeadFields; reverse: LeadFields } | null;
  fuse_survey: { battery_a: number | null; fuses: FuseFields[] } | null;
  /** beside the readings of a voltage-drop walk */
  walk: { current_a: number | null; feed: WireFields | null; back: WireFields | null } | null;
  /** traces recorded with the mechanism uncoupled */
  uncoupled: string[];
  repair: Repair | null;
  /** repairs after which the fault was still there, in order of time */
  earlier_repairs: Repair[];
  /** when what a person answered or read was answered, RFC 3339 UTC, by `answerKey`; what has no time counts as older than a repair */
  answered: Record<string, string>;
}
