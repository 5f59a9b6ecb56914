import { z } from 'zod';
import type { DrainOptions, ActuationOptions } from '../../core/analysis/options.ts';
import type { TestKind } from '../../core/analysis/results.ts';
import { MARK_KINDS, type MarkKind } from '../../core/trace.ts';
import type { JobFields, JobStateChange, TraceRef } from '../../core/wire/api.ts';
import type { NewCalibration } from '../../core/wire/calibration.ts';
import type { ArmSettings, FromPage } from '../../core/wire/messages.ts';
import type { TypedCircuit } from '../../core/wire/prove.ts';
import { isPhotoName, MAX_CAPTION, MAX_NOTE_TEXT } from '../../core/tracefile/job-story.ts';
import { messageOf } from '../errors.ts';
import { MAX_HEADING } from '../store/records/workshop.ts';
import { language } from '../../core/present/language.ts';

const words = language.daemon.http.wireCheck;

/**
 * Every message and every request body of a page, checked field by field before anything acts on it: unknown fields, wrong types,
 * numbers out of range and over-long texts are refused with the name of the field. The only door to zod.
 */
export type Checked<T> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly text: string };

// Bounds of what can be meant at all; they keep hostile numbers out of the arithmetic and are no statement about circuits.
const MAX_CURRENT_A = 10_000;
const MAX_DURATION_S = 31 * 86_400;
const MAX_BYTES = 2 ** 40;

const ampere = z.number().min(0).max(MAX_CURRENT_A);
const seconds = z.number().min(0).max(MAX_DURATION_S);
const title = z.string().max(200);
const longText = z.string().max(2000);
/** ids are folder names made by the store: letters, digits, dash, underscore; no dot, no slash */
const id = z.string().regex(/^[\w-]{1,120}$/, words.notAnId);
const markKind = z.enum(MARK_KINDS as readonly [MarkKind, ...MarkKind[]]);
const testKind: z.ZodType<TestKind> = z.enum(['actuation', 'drain']);

const sensorUncertainty = {
  zeroUncertaintyA: ampere.exactOptional(),
  gainUncertaintyPercent: z.number().min(0).max(100).exactOptional(),
  zeroDriftAPerHour: ampere.exactOptional(),
  zeroTemperatureA: ampere.exactOptional(),
  voltageGainPercent: z.number().min(0).max(100).exactOptional(),
};

const actuationOptions: z.ZodType<ActuationOptions> = z.strictObject({
  ...sensorUncertainty,
  runLimitsA: z.tuple([ampere, ampere]).refine(([low, high]) => low < high, words.theLowerLimitComesFirst).exactOptional(),
  runLimitsFrom: z.enum(['limits', 'known-good']).exactOptional(),
  flagLimitA: ampere.exactOptional(),
  flagHoldS: seconds.exactOptional(),
  commutationsPerRevolution: z.number().int().min(1).max(1000).exactOptional(),
  fuseRatingA: ampere.exactOptional(),
  wire: z
    .strictObject({ areaMm2: z.number().positive().max(1000), lengthM: z.number().positive().max(1000), temperatureC: z.number().min(-60).max(200) })
    .exactOptional(),
  fullScaleA: z.number().positive().max(MAX_CURRENT_A).exactOptional(),
  sensorBandwidthHz: z.number().positive().max(1e7).exactOptional(),
});

const drainOptions: z.ZodType<DrainOptions> = z.strictObject({
  ...sensorUncertainty,
  settlingS: seconds.exactOptional(),
  limitA: ampere.exactOptional(),
  batteryAh: z.number().positive().max(10_000).exactOptional(),
  reserveCapacityMin: z.number().positive().max(10_000).exactOptional(),
  restedV: z.number().min(0).max(100).exactOptional(),
  temperatureC: z.number().min(-60).max(100).exactOptional(),
});

const armSettings: z.ZodType<ArmSettings> = z.strictObject({
  startOn: z.discriminatedUnion('kind', [
    z.strictObject({ kind: z.literal('level'), levelA: z.number().min(-MAX_CURRENT_A).max(MAX_CURRENT_A), evenIfPassed: z.boolean().optional() }),
    z.strictObject({ kind: z.literal('slope'), slopeAPerS: z.number().min(-1e9).max(1e9) }),
    z.strictObject({ kind: z.literal('mark') }),
    z.strictObject({ kind: z.literal('time'), at: z.iso.datetime({ offset: true }) }),
    z.strictObject({ kind: z.literal('now') }),
  ]),
  beforeS: z.number().min(0).max(600),
  stopAfterS: seconds.positive().nullable(),
  stopAfterBytes: z.number().int().positive().max(MAX_BYTES).nullable(),
  stopWhenAsleep: z.boolean(),
});

const testSettings = z.strictObject({ test: testKind, actuation: actuationOptions, drain: drainOptions, jobId: id.nullable(), title, thinA: z.number().positive().max(MAX_CURRENT_A).nullable().optional(), zeroErrorA: z.number().positive().max(MAX_CURRENT_A).nullable().optional() });
const type = <Name extends string>(name: Name): z.ZodLiteral<Name> => z.literal(name);

const fromPage: z.ZodType<FromPage> = z.discriminatedUnion('type', [
  z.strictObject({ type: type('join'), protocol: z.number().int(), token: z.string().max(200) }),
  z.strictObject({ type: type('test'), settings: testSettings }),
  z.strictObject({ type: type('job'), jobId: id.nullable() }),
  z.strictObject({ type: type('controls'), do: z.enum(['take', 'hand-over', 'keep']) }),
  z.strictObject({ type: type('record'), do: z.enum(['start', 'stop']) }),
  z.strictObject({ type: type('arm'), arm: armSettings.nullable() }),
  z.strictObject({ type: type('mark'), kind: markKind, label: title, atS: z.number().min(-MAX_DURATION_S).max(1e9).optional(), endS: z.number().min(-MAX_DURATION_S).max(1e9).optional() }),
  z.strictObject({ type: type('zero'), do: z.enum(['take', 'clear']) }),
  z.discriminatedUnion('do', [
    z.strictObject({ type: type('source'), do: z.literal('switch'), position: z.enum(['forward', 'off', 'reverse']) }),
    z.strictObject({ type: type('source'), do: z.literal('fuse'), label: title, fitted: z.boolean() }),
    z.strictObject({ type: type('source'), do: z.literal('choose'), spec: z.string().min(1).max(1000) }),
  ]),
]);

const jobFields: z.ZodType<JobFields> = z.strictObject({
  depot: title,
  vehicle: title,
  complaint: longText,
  circuit: title,
  fuse_rating_a: ampere.nullable(),
  technician: title,
  note: longText,
  plate: title.exactOptional(),
  vin: title.exactOptional(),
  odometer_km: z.number().min(0).max(1e8).nullable().exactOptional(),
  customer: title.exactOptional(),
});

const jobState: z.ZodType<JobStateChange> = z.strictObject({ closed: z.boolean().exactOptional(), archived: z.boolean().exactOptional() });
const time = z.iso.datetime();

/** What may be changed of a stored trace. */
export interface TraceChanges {
  readonly title?: string;
  readonly jobId?: string;
  readonly test?: TestKind | null;
  readonly actuation_options?: ActuationOptions | null;
  readonly drain_options?: DrainOptions | null;
}

const traceChanges: z.ZodType<TraceChanges> = z.strictObject({
  title: title.exactOptional(),
  jobId: id.exactOptional(),
  test: testKind.nullable().exactOptional(),
  actuation_options: actuationOptions.nullable().exactOptional(),
  drain_options: drainOptions.nullable().exactOptional(),
});

const channel = z.enum(['current', 'voltage']);
const loggerName = z.string().min(1).max(200);
const read = z.number().min(-MAX_CURRENT_A).max(MAX_CURRENT_A);
const percent = z.number().min(0).max(100);
const ohm = z.number().positive().max(1e6);

const newCalibration: z.ZodType<NewCalibration> = z.strictObject({
  channel,
  by: title,
  temperature_c: z.number().min(-60).max(90).nullable(),
  due_days: z.number().int().min(1).max(36_500).nullable(),
  zero_before: read.nullable(),
  zero_after: read.nullable(),
  zero_scatter: z.number().min(0).max(MAX_CURRENT_A).nullable(),
  zero_hours: z.number().positive().max(10_000).nullable(),
  points: z.array(z.strictObject({ applied: read, read, tolerance_percent: percent })).max(2),
  shunt: z.strictObject({ reckoned_ohm: ohm, ohm, class_percent: percent }).nullable(),
  part: title.nullable(),
});

const newMark = z
  .strictObject({ time_s: z.number().min(-1).max(MAX_DURATION_S), end_s: z.number().min(-1).max(MAX_DURATION_S).exactOptional(), kind: markKind, label: title })
  .refine(({ kind, time_s: fromS, end_s: endS }) => (kind === 'stretch' ? endS !== undefined && endS > fromS : endS === undefined), words.endSLaterThan);
const traceRef: z.ZodType<TraceRef> = z.strictObject({ jobId: id, traceId: id });
/** Limits of one circuit are learnt from some tens of vehicles, and 93 make the range alone do (compare/known-good/tolerance.ts). */
const MAX_KNOWN_GOOD = 200;
const usualRange = z.tuple([ampere, ampere]).refine(([low, high]) => low < high, words.theLowerCurrentComesFirst).nullable();
const typedCircuit: z.ZodType<TypedCircuit> = z.strictObject({
  circuit: z.string().trim().min(1).max(200),
  vehicle_type: title,
  place: title,
  usual: z
    .strictObject({ run_a: usualRange, stall_a: usualRange, inrush_peak_a: usualRange, asleep_a: usualRange })
    .refine((usual) => Object.values(usual).some((range) => range !== null), words.atLeastOneCurrent),
});
/** As many as can be told apart side by side. */
const MAX_SIDE_BY_SIDE = 8;
const windowQuery = z.object({
  from: z.coerce.number().min(-MAX_DURATION_S).max(1e9),
  to: z.coerce.number().min(-MAX_DURATION_S).max(1e9),
  columns: z.coerce.number().int().min(1).max(16_384),
}).refine(({ from, to }) => to > from, words.toMustBeLater);

/** Checkers by name; each returns the typed value or one sentence that names the field. */
export const check = {
  jobFields: checker(jobFields),
  jobState: checker(jobState),
  heading: checker(z.strictObject({ heading: z.string().max(MAX_HEADING) })),
  newNote: checker(z.strictObject({ text: z.string().trim().min(1).max(MAX_NOTE_TEXT) })),
  noteChange: checker(z.strictObject({ at: time, removed: z.boolean() })),
  photoChange: checker(z.strictObject({ caption: z.string().max(MAX_CAPTION).exactOptional(), removed: z.boolean().exactOptional() })),
  photoName: checker(z.string().refine(isPhotoName, words.notTheNameOf)),
  traceChanges: checker(traceChanges),
  loggerName: checker(loggerName),
  newCalibration: checker(z.strictObject({ logger: loggerName, name: title.exactOptional(), calibration: newCalibration })),
  keptCalibration: checker(z.strictObject({ logger: loggerName, channel, at: title })),
  traceCalibration: checker(z.discriminatedUnion('do', [z.strictObject({ do: z.literal('apply'), logger: loggerName.exactOptional() }), z.strictObject({ do: z.literal('take-back') })])),
  newMark: checker(newMark),
  markChange: checker(z.strictObject({ mark: newMark, change: newMark.nullable() })),
  comparison: checker(z.strictObject({ before: traceRef, after: traceRef, test: testKind.exactOptional(), tolerance: z.number().min(0).max(1).exactOptional() })),
  tolerance: checker(z.coerce.number().min(0).max(1)),
  timeZone: checker(z.string().regex(/^[\w+-]+(\/[\w+-]+)*$/).max(64)),
  sideBySide: checker(z.strictObject({ traces: z.array(traceRef).min(1).max(MAX_SIDE_BY_SIDE), test: testKind.exactOptional() })),
  knownGood: checker(z.strictObject({ circuit: title.min(1), traces: z.array(traceRef).min(1).max(MAX_KNOWN_GOOD) })),
  typedCircuit: checker(typedCircuit),
  device: checker(z.strictObject({ name: z.string().trim().min(1).max(60), access: z.enum(['view', 'operate']) })),
  port: checker(z.strictObject({ path: z.string().min(1).max(1000) })),
  ticket: checker(z.strictObject({ path: z.string().startsWith('/api/').max(2000) })),
  window: checker(windowQuery),
  span: checker(z.object({ from: z.coerce.number().min(-1e9).max(1e9), to: z.coerce.number().min(-1e9).max(1e9) }).refine(({ from, to }) => to > from, words.toMustBeLater)),
  test: checker(testKind),
  id: checker(id),
  options: { actuation: checker(actuationOptions), drain: checker(drainOptions) },
};

/** One text message of a page. */
export function parsePageMessage(text: string): Checked<FromPage> {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch (error) {
    return { ok: false, text: words.notJson(messageOf(error)) };
  }
  const known = (value as { type?: unknown } | null)?.type;
  const result = fromPage.safeParse(value);
  if (result.success) return { ok: true, value: result.data };
  return { ok: false, text: words.theMessageIsNot(typeof known === 'string' ? ` "${known.slice(0, 40)}"` : '', sentence(result.error)) };
}

function checker<T>(schema: z.ZodType<T>): (value: unknown) => Checked<T> {
  return (value) => {
    const result = schema.safeParse(value);
    return result.success ? { ok: true, value: result.data } : { ok: false, text: sentence(result.error) };
  };
}

/** The first thing wrong, with the way to it: `settings.drain.limitA: expected number`. */
function sentence(error: z.ZodError): string {
  const [issue] = error.issues;
  if (issue === undefined) return words.notValid;
  const path = issue.path.map(String).join('.');
  return `${path === '' ? '' : `${path}: `}${issue.message}`.slice(0, 300);
}
