import type { ActuationOptions, DrainOptions } from '../analysis/options.ts';
import type { CalibrationRecord } from '../analysis/uncertainty/calibration.ts';
import type { ProblemCode } from '../problems.ts';
import { TRACE_SCHEMA, type TraceRecord } from './record.ts';
import { emptyTraceRecord } from './trace-json.ts';
import { language } from '../present/language.ts';

const words = language.files.recordCheck;

/** Lists of a record from outside are read up to these lengths; ours stay far below. */
const MAX_CHANNELS = 16;
const MAX_RANGES = 10_000;
const MAX_SPANS = 1_000_000;
const MAX_IMPORT_PROBLEMS = 100;
const MAX_CALIBRATIONS = 1000;
const MAX_POINTS = 2;

type Check = (value: unknown) => boolean;

export interface RecordRead {
  readonly record: TraceRecord;
  /** fields that cannot be read and count as unknown */
  readonly wrong: readonly string[];
}

/**
 * Reads trace.json as parsed. A field of the right type, down to its last part, is taken; the others fall back to "unknown": files are edited by people and copied by
 * programs. Returns why it is no trace.json at all where that is so.
 */
export function readRecord(value: unknown, id: string): RecordRead | string {
  if (!isObject(value)) return words.itIsNotAnObject;
  if (value['schema'] !== TRACE_SCHEMA) return words.itsSchemaIsNot(JSON.stringify(value['schema'])?.slice(0, 60), TRACE_SCHEMA);
  const record = emptyTraceRecord(id, '', '');
  const wrong: string[] = [];
  for (const name of Object.keys(record) as (keyof TraceRecord)[]) {
    if (!Object.hasOwn(value, name) || name === 'id') continue;
    if (FIELDS[name](value[name])) (record as unknown as Record<string, unknown>)[name] = value[name];
    else wrong.push(name);
  }
  // written before the count was: the list was whole
  if (!Object.hasOwn(value, 'gap_count') || record.gap_count < record.gaps.length) {
    record.gap_count = record.gaps.length;
    record.gap_s = record.gaps.reduce((sum, gap) => sum + gap.end_s - gap.start_s, 0);
  }
  if (!record.channels.some((channel) => channel.name === 'current')) record.channels.unshift({ name: 'current', unit: 'A', range: null, resolution: null });
  return { record, wrong };
}

const isText: Check = (value) => typeof value === 'string';
const isNumber: Check = (value) => typeof value === 'number' && Number.isFinite(value);
const isPositive: Check = (value) => isNumber(value) && (value as number) > 0;
const isCount: Check = (value) => Number.isSafeInteger(value) && (value as number) >= 0;
const isFlag: Check = (value) => typeof value === 'boolean';
const isPair: Check = (value) => Array.isArray(value) && value.length === 2 && value.every(isNumber);
const orNull = (check: Check): Check => (value) => value === null || check(value);
const oneOf = (...values: readonly unknown[]): Check => (value) => values.includes(value);
const listOf = (most: number, check: Check): Check => (value) => Array.isArray(value) && value.length <= most && value.every(check);

/** Every named part must be there and fit. */
function shape(parts: Readonly<Record<string, Check>>): Check {
  return (value) => isObject(value) && Object.entries(parts).every(([name, check]) => Object.hasOwn(value, name) && check(value[name]));
}

/** Parts may be absent; those that are there must fit. Exhaustive by type: a new option asks for its check here. */
function someOf<T>(parts: Readonly<Record<keyof T & string, Check>>): Check {
  return (value) => isObject(value) && (Object.keys(parts) as (keyof T & string)[]).every((name) => !Object.hasOwn(value, name) || parts[name](value[name]));
}

/** Stretches of time in order. */
const isSpans: Check = (value) => {
  if (!Array.isArray(value) || value.length > MAX_SPANS) return false;
  let lastS = -Infinity;
  for (const span of value as unknown[]) {
    if (!isObject(span)) return false;
    const { start_s: startS, end_s: endS } = span;
    if (typeof startS !== 'number' || typeof endS !== 'number' || !(startS >= lastS && endS > startS && endS < Infinity)) return false;
    lastS = endS;
  }
  return true;
};

const sensor = { zeroUncertaintyA: isNumber, gainUncertaintyPercent: isNumber, zeroDriftAPerHour: isNumber, zeroTemperatureA: isNumber, voltageGainPercent: isNumber };
const wire = shape({ areaMm2: isPositive, lengthM: isPositive, temperatureC: isNumber });
const isActuationOptions = someOf<ActuationOptions>({
  ...sensor, runLimitsA: isPair, runLimitsFrom: oneOf('limits', 'known-good'), flagLimitA: isNumber, flagHoldS: isNumber, commutationsPerRevolution: isPositive, fuseRatingA: isNumber, wire, fullScaleA: isPositive, sensorBandwidthHz: isPositive,
});
// the record itself says when it began
const isDrainOptions = someOf<Omit<DrainOptions, 'startedAtMs'>>({
  ...sensor, limitA: isNumber, settlingS: isPositive, batteryAh: isPositive, reserveCapacityMin: isPositive, restedV: isNumber, temperatureC: isNumber, zeroDriftA: isNumber,
  ranges: listOf(MAX_RANGES, shape({ atS: isNumber, resolutionA: orNull(isNumber) })),
});
const problemCode: Check = (value) => isText(value) && /^[a-z-]{1,40}$/.test(value as ProblemCode);

const isCalibration = shape({
  channel: oneOf('current', 'voltage'), at: isText, by: isText, temperature_c: orNull(isNumber), due: orNull(isText), zero_before: orNull(isNumber), zero_after: orNull(isNumber),
  zero_scatter: orNull(isNumber), zero_hours: orNull(isPositive), points: listOf(MAX_POINTS, shape({ applied: isNumber, read: isNumber, tolerance_percent: isNumber })),
  shunt: orNull(shape({ reckoned_ohm: isPositive, ohm: isPositive, class_percent: isNumber })), part: orNull(isText), taken_back: orNull(isText),
});

/** Calibrations as parsed, from trace.json or from the list of a logger. */
export const areCalibrations = listOf(MAX_CALIBRATIONS, isCalibration) as (value: unknown) => value is CalibrationRecord[];

const FIELDS: Readonly<Record<keyof TraceRecord, Check>> = {
  schema: oneOf(TRACE_SCHEMA),
  id: isText,
  title: isText,
  start: isText,
  software: isText,
  simulated: isFlag,
  logger: shape({ name: isText, serial: orNull(isText), firmware: orNull(isText), source: isText }),
  channels: listOf(MAX_CHANNELS, shape({ name: oneOf('current', 'voltage'), unit: oneOf('A', 'V'), range: orNull(isPair), resolution: orNull(isNumber) })),
  calibration: shape({ zero_a: orNull(isNumber), zeroed_at: orNull(isText), gain: isNumber, offset_doubt_a: orNull(isNumber), gain_doubt_percent: orNull(isNumber) }),
  calibrations: areCalibrations,
  test: oneOf(null, 'actuation', 'drain'),
  actuation_options: orNull(isActuationOptions),
  drain_options: orNull(isDrainOptions),
  rate_hz: orNull(isPositive),
  samples: isCount,
  duration_s: isNumber,
  gaps: isSpans,
  gap_count: isCount,
  gap_s: isNumber,
  ranges: listOf(MAX_RANGES, shape({ at_s: isNumber, range: isPair, resolution: orNull(isNumber) })),
  thinning: orNull(shape({ policy: isText, kept_full_rate: isSpans })),
  damage: shape({ bad_crc: isCount, malformed: isCount, too_long: isCount, lost_blocks: isCount, restarts: isCount }),
  clock: orNull(shape({ drift_ppm: isNumber, jitter_s: isNumber })),
  end: oneOf('running', 'ended', 'cut'),
  end_cause: orNull(isText),
  sha256: orNull(isText),
  trace_uid: orNull((value) => isText(value) && /^[0-9a-f]{64}$/.test(value as string)),
  import_problems: listOf(MAX_IMPORT_PROBLEMS, shape({ code: problemCode, text: isText })),
};

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
