import { createHash } from 'node:crypto';

/** Value that Hive, Spark, Trino and DuckDB read as NULL in a partition's folder name. */
const NO_VALUE = '__HIVE_DEFAULT_PARTITION__';
/** Longest folder's name here, bytes: file systems take 255, with `vehicle=` before it and room for what others add. */
const MAX_BYTES = 200;
/** Hex digits of the digest that replaces what was cut off. */
const DIGEST_DIGITS = 12;

/**
 * A value as a folder's name: everything but letters, digits, dash, dot and underscore percent-encoded, as Hive does and the engines undo. What is too long is cut between two characters and ends in a digest
 * of all of it, so that two names stay two; the whole name is in the column `depot_name` or `vehicle_name`.
 */
export function partition(value: string): string {
  // half of a pair of surrogates has no encoding
  const text = value.trim().replaceAll(/\p{Surrogate}/gu, '\uFFFD');
  if (text === '') return NO_VALUE;
  const whole = encode(text);
  if (whole.length <= MAX_BYTES) return whole;
  const digest = createHash('sha256').update(text).digest('hex').slice(0, DIGEST_DIGITS);
  let kept = '';
  for (const character of text) {
    const next = encode(character);
    if (kept.length + next.length > MAX_BYTES - DIGEST_DIGITS - 1) break;
    kept += next;
  }
  return `${kept}-${digest}`;
}

/** `TRACE-UID.parquet`: two recordings that began in the same second have two names. */
export function fleetFileName(traceId: string, uid: string): string {
  return `${traceId}-${uid.slice(0, UID_DIGITS)}.parquet`;
}

const UID_DIGITS = 16;

/** The identity in a file's name, null where there is none. */
export function uidOfFileName(name: string): string | null {
  return /-([0-9a-f]{16})\.parquet$/.exec(name)?.[1] ?? null;
}

export function shortUid(uid: string): string {
  return uid.slice(0, UID_DIGITS);
}

function encode(text: string): string {
  return encodeURIComponent(text).replaceAll(/[!'()*~]/g, (mark) => `%${mark.charCodeAt(0).toString(16).toUpperCase()}`).replace(/^\.+/, (dots) => '%2E'.repeat(dots.length));
}
