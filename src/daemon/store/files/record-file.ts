import writeFileAtomic from 'write-file-atomic';
import type { TraceRecord } from '../../../core/tracefile/record.ts';
import type { Problem } from '../../../core/problems.ts';
import { readMarkLines, type MarksRead } from '../../../core/tracefile/marks.ts';
import { readRecord } from '../../../core/tracefile/record-check.ts';
import { emptyTraceRecord } from '../../../core/tracefile/trace-json.ts';
import { openPlain } from './plain-file.ts';
import { language } from '../../../core/present/language.ts';

const words = language.daemon.store.recordFile;

/** Names of the files of a capture: public, see the README. */
export const SAMPLES_FILE = 'samples.arrows';
export const INDEX_FILE = 'samples.index';
export const RECORD_FILE = 'trace.json';
export const MARKS_FILE = 'marks.jsonl';
/** all gaps, where they are too many for trace.json */
export const GAPS_FILE = 'gaps.csv';
export const RESERVE_FILE = '.reserve';
export const JOB_FILE = 'job.json';
/** Marks that a person has changed or removed, as they were: evidence is not thrown away. */
export const OLD_MARKS_FILE = 'marks-before.jsonl';

/** trace.json with a thousand gaps has 60 kB, that of older versions 75 bytes a gap; more than this is no record of ours. */
const MAX_JSON_BYTES = 16 << 20;

/** Replaces a small JSON file so that a crash leaves either the old or the new one, never half of it. `mode`: of a file that was not there; absent: as the process makes them. */
export async function writeJson(path: string, value: unknown, mode?: number): Promise<void> {
  await writeFileAtomic(path, `${JSON.stringify(value, null, 2)}\n`, { fsync: true, ...(mode === undefined ? {} : { mode }) });
}

/** Replaces a small text file in the same way. */
export async function writeText(path: string, text: string): Promise<void> {
  await writeFileAtomic(path, text, { fsync: true });
}

/** Text of a small file; null when there is none. Throws on files too large to be small. */
export async function readSmallFile(path: string): Promise<string | null> {
  const file = await openPlain(path).catch((error: NodeJS.ErrnoException) => {
    if (error.code === 'ENOENT') return null;
    throw error;
  });
  if (file === null) return null;
  try {
    const { size } = await file.stat();
    if (size > MAX_JSON_BYTES) throw new Error(words.itHasBytesMore(size));
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
    problems: [{ code: 'wrong-format', text: words.cannotBeUsedThe(path, why) }],
  });
  let text: string | null;
  try {
    text = await readSmallFile(path);
  } catch (error) {
    return lost(error instanceof Error ? error.message : String(error));
  }
  if (text === null) return lost(words.thereIsNone);
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    return lost(words.itIsNotJson);
  }
  const read = readRecord(value, id);
  if (typeof read === 'string') return lost(read);
  const problems: Problem[] = read.wrong.length === 0 ? [] : [{ code: 'wrong-format', text: words.traceJsonCannotBe(read.wrong.join(', ')) }];
  return { record: read.record, known: true, problems };
}

export async function readMarksFile(path: string): Promise<MarksRead> {
  try {
    return readMarkLines((await readSmallFile(path)) ?? '');
  } catch (error) {
    return { marks: [], problems: [{ code: 'bad-mark', text: words.cannotBeRead(path, error instanceof Error ? error.message : String(error)) }] };
  }
}
