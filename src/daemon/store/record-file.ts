import { open } from 'node:fs/promises';
import writeFileAtomic from 'write-file-atomic';
import { TRACE_SCHEMA, type TraceRecord } from '../../core/tracefile/record.ts';
import type { Problem } from '../../core/problems.ts';
import { readMarkLines, type MarksRead } from '../../core/tracefile/marks.ts';
import { emptyTraceRecord } from '../../core/tracefile/trace-json.ts';

/** Names of the files of a capture: public, see the README. */
export const SAMPLES_FILE = 'samples.arrows';
export const INDEX_FILE = 'samples.index';
export const RECORD_FILE = 'trace.json';
export const MARKS_FILE = 'marks.jsonl';
export const JOB_FILE = 'job.json';
/** Marks that a person has changed or removed, as they were: evidence is not thrown away. */
export const OLD_MARKS_FILE = 'marks-before.jsonl';

/** trace.json of three days with ten thousand gaps has 600 kB; more than this is no record of ours. */
const MAX_JSON_BYTES = 16 << 20;

/** Replaces a small JSON file so that a crash leaves either the old or the new one, never half of it. */
export async function writeJson(path: string, value: unknown): Promise<void> {
  await writeFileAtomic(path, `${JSON.stringify(value, null, 2)}\n`, { fsync: true });
}

/** Replaces a small text file in the same way. */
export async function writeText(path: string, text: string): Promise<void> {
  await writeFileAtomic(path, text, { fsync: true });
}

/** Text of a small file; null when there is none. Throws on files too large to be small. */
export async function readSmallFile(path: string): Promise<string | null> {
  const file = await open(path, 'r').catch((error: NodeJS.ErrnoException) => {
    if (error.code === 'ENOENT') return null;
    throw error;
  });
  if (file === null) return null;
  try {
    const { size } = await file.stat();
    if (size > MAX_JSON_BYTES) throw new Error(`it has ${size} bytes, more than such a file can have`);
    return await file.readFile('utf8');
  } finally {
    await file.close();
  }
}

/** Reads trace.json; whatever is wrong with it, the samples can still be used, so it becomes a problem and an empty record. */
export async function readTraceRecord(path: string, id: string): Promise<{ record: TraceRecord; known: boolean; problems: Problem[] }> {
  const lost = (why: string): { record: TraceRecord; known: boolean; problems: Problem[] } => ({
    record: emptyTraceRecord(id, '', ''),
    known: false,
    problems: [{ code: 'wrong-format', text: `${path} cannot be used (${why}): the samples are read without the notes on how they were taken.` }],
  });
  let text: string | null;
  try {
    text = await readSmallFile(path);
  } catch (error) {
    return lost(error instanceof Error ? error.message : String(error));
  }
  if (text === null) return lost('there is none');
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    return lost('it is not JSON');
  }
  return checkRecord(value, id, lost);
}

export async function readMarksFile(path: string): Promise<MarksRead> {
  try {
    return readMarkLines((await readSmallFile(path)) ?? '');
  } catch (error) {
    return { marks: [], problems: [{ code: 'bad-mark', text: `${path} cannot be read: ${error instanceof Error ? error.message : String(error)}.` }] };
  }
}

/** Fields of the right type are taken, the others fall back to "unknown": files are edited by people and copied by programs. */
function checkRecord(value: unknown, id: string, lost: (why: string) => { record: TraceRecord; known: boolean; problems: Problem[] }): { record: TraceRecord; known: boolean; problems: Problem[] } {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) return lost('it is not an object');
  const given = value as Record<string, unknown>;
  if (given['schema'] !== TRACE_SCHEMA) return lost(`its schema is ${JSON.stringify(given['schema'])?.slice(0, 60)}, not "${TRACE_SCHEMA}"`);
  const record = emptyTraceRecord(id, '', '');
  const wrong: string[] = [];
  for (const [name, fallback] of Object.entries(record)) {
    if (!(name in given) || name === 'id') continue;
    if (sameKind(given[name], fallback, name)) (record as unknown as Record<string, unknown>)[name] = given[name];
    else wrong.push(name);
  }
  const problems: Problem[] = wrong.length === 0 ? [] : [{ code: 'wrong-format', text: `trace.json: ${wrong.join(', ')} cannot be read and counts as unknown.` }];
  return { record, known: true, problems };
}

function sameKind(value: unknown, fallback: unknown, name: string): boolean {
  if (name === 'gaps') return isSpans(value);
  if (name === 'end') return value === 'running' || value === 'ended' || value === 'cut';
  if (name === 'test') return value === null || value === 'actuation' || value === 'drain';
  if (name === 'rate_hz') return value === null || (typeof value === 'number' && Number.isFinite(value) && value > 0);
  if (name === 'sha256' || name === 'end_cause') return value === null || typeof value === 'string';
  if (name === 'channels') return Array.isArray(value) && value.length <= 16 && value.every((channel) => typeof channel === 'object' && channel !== null && typeof (channel as { name?: unknown }).name === 'string');
  if (name === 'ranges') return Array.isArray(value);
  if (fallback === null) return value === null || (typeof value === 'object' && !Array.isArray(value));
  if (typeof fallback === 'object') {
    if (typeof value !== 'object' || value === null) return false;
    return Object.entries(fallback).every(([key, part]) => part === null || typeof (value as Record<string, unknown>)[key] === typeof part);
  }
  return typeof value === typeof fallback && (typeof value !== 'number' || Number.isFinite(value));
}

function isSpans(value: unknown): boolean {
  if (!Array.isArray(value) || value.length > 1_000_000) return false;
  let lastS = -Infinity;
  for (const span of value as { start_s?: unknown; end_s?: unknown }[]) {
    if (typeof span !== 'object' || span === null || typeof span.start_s !== 'number' || typeof span.end_s !== 'number') return false;
    if (!(span.start_s >= lastS && span.end_s > span.start_s)) return false;
    lastS = span.end_s;
  }
  return true;
}

