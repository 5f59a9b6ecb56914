import { createHash } from 'node:crypto';
import { existsSync } from 'node:fs';
import { stat } from 'node:fs/promises';
import { join } from 'node:path';
import { setImmediate } from 'node:timers/promises';
import { crc32 } from 'node:zlib';
import type { Problem } from '../../../../core/problems.ts';
import { arrowStreamEnd } from '../../../../core/tracefile/arrow/arrow.ts';
import { blockFault } from '../../../../core/tracefile/arrow/message.ts';
import { INDEX_FILE, MARKS_FILE, readMarksFile, readTraceRecord, RECORD_FILE, SAMPLES_FILE } from '../../files/record-file.ts';
import { MAX_WHOLE_BATCH_BYTES, SamplesFile } from '../samples-file.ts';
import type { Progress } from '../../files/progress.ts';
import { checkCancelled, explainError } from '../../files/store-error.ts';
import { indexIsWhole, loadIndex } from '../index/trace-index.ts';
import { openTrace } from '../reading/trace-reader.ts';
import { language } from '../../../../core/present/language.ts';

const words = language.daemon.store.verify;

interface DamagedRange {
  start_s: number;
  end_s: number;
  text: string;
}

export interface VerifyReport {
  /** every byte of the samples is as it was written, and every block can be read */
  readonly ok: boolean;
  readonly blocks: number;
  /** samples in whole blocks */
  readonly samples: number;
  /** stretches of time whose samples are damaged, in order */
  readonly damaged: readonly DamagedRange[];
  readonly problems: readonly Problem[];
}

/**
 * Checks every block of a trace against the CRC-32 in its index, and all of it against the SHA-256 in trace.json, and names the time ranges that are damaged.
 * What is whole stays usable: readers step over the rest. Changes nothing, so that it says the same the next time (mend.ts repairs). An index that is missing or
 * damaged costs no sample and is no damage; then only the SHA-256 speaks for the samples.
 */
export async function verifyTrace(path: string, progress?: Progress, signal?: AbortSignal): Promise<VerifyReport> {
  const steps = { ...(progress === undefined ? {} : { progress }), ...(signal === undefined ? {} : { signal }) };
  const isFolder = await stat(path).then((found) => found.isDirectory(), (error: unknown) => Promise.reject(explainError(error, words.open(path))));
  if (isFolder) return verifyFolder(path, steps);
  const reader = await openTrace(path, { ...steps, asRecorded: true });
  await reader.close();
  const bad = reader.problems.some((problem) => problem.code === 'damaged-block' || problem.code === 'cut-short');
  const note: Problem = { code: 'index-rebuilt', text: words.aFileByItself };
  return { ok: !bad, blocks: 0, samples: reader.samples, damaged: [], problems: [...reader.problems, note] };
}

async function verifyFolder(folder: string, steps: { progress?: Progress; signal?: AbortSignal }): Promise<VerifyReport> {
  const { record, known, problems: recordProblems } = await readTraceRecord(join(folder, RECORD_FILE), '');
  const problems: Problem[] = [...recordProblems, ...(await readMarksFile(join(folder, MARKS_FILE))).problems];
  const running = known && record.end === 'running';
  if (running) problems.push({ code: 'cut-short', text: words.theRecordingWasNot });
  const indexPath = join(folder, INDEX_FILE);
  const indexWhole = existsSync(indexPath) && indexIsWhole(indexPath);
  const file = SamplesFile.open(join(folder, SAMPLES_FILE));
  try {
    const index = await loadIndex(file, indexWhole || running ? indexPath : null, { ...steps, mayWrite: false });
    if (!indexWhole && !running) problems.push({ code: 'index-rebuilt', text: words.samplesIndexIsMissing });
    problems.push(...index.problems);
    const damaged: DamagedRange[] = [];
    const hash = createHash('sha256');
    const { table } = index;
    const size = file.size();
    let samples = 0;
    let at = 0;
    const feed = (to: number): void => {
      for (; at < to; at += Math.min(MAX_WHOLE_BATCH_BYTES, to - at)) hash.update(file.bytesAt(at, Math.min(MAX_WHOLE_BATCH_BYTES, to - at)));
    };
    for (let i = 0; i < table.length; i++) {
      const entry = table.entry(i);
      const rows = file.entryRows(entry);
      const changed = entry.bytes > MAX_WHOLE_BATCH_BYTES && file.crcOf(entry.offset, entry.bytes) !== entry.crc32 ? words.itsBytesHaveChanged : null;
      const fault = typeof rows === 'string' ? rows : (changed ?? blockFault(rows, -Infinity));
      if (fault === null) samples += entry.rows;
      else addRange(damaged, entry.firstS, entry.lastS, i > 0 ? table.lastS[i - 1]! : entry.firstS, fault);
      feed(Math.min(size, entry.offset + entry.bytes));
      if (i % 64 !== 0) continue;
      checkCancelled(steps.signal);
      steps.progress?.((i + 1) / table.length);
      await setImmediate();
    }
    feed(size);
    steps.progress?.(1);
    if (!running && size === index.samplesEnd + 8 && crc32(file.bytesAt(index.samplesEnd, 8)) !== crc32(arrowStreamEnd())) {
      problems.push({ code: 'damaged-block', text: words.theEndMarkOf });
    }
    if (known && !running && record.samples > table.samples) {
      problems.push({ code: 'cut-short', text: words.traceJsonSaysSamples(record.samples, table.samples) });
    }
    const sum = hash.digest('hex');
    if (record.sha256 !== null && sum !== record.sha256) {
      const where = damaged.length > 0 ? words.seeTheDamagedRanges : words.itCannotBeTold;
      problems.push({ code: 'damaged-block', text: words.samplesArrowsIsNot(where) });
    }
    const bad = problems.some((problem) => ['damaged-block', 'cut-short', 'wrong-format', 'bad-mark'].includes(problem.code));
    return { ok: damaged.length === 0 && !bad, blocks: table.length, samples, damaged, problems };
  } finally {
    file.close();
  }
}

/** Adds a block's time range, joined to the one before when they follow each other. */
function addRange(damaged: DamagedRange[], firstS: number, lastS: number, beforeS: number, text: string): void {
  const last = damaged[damaged.length - 1];
  if (last !== undefined && last.end_s === beforeS) last.end_s = lastS;
  else damaged.push({ start_s: firstS, end_s: lastS, text });
}
