import { stat } from 'node:fs/promises';
import { basename, extname } from 'node:path';
import { listGaps } from '../../../../core/tracefile/gap-list.ts';
import { CsvReader, type CsvSummary } from '../../../../core/tracefile/csv/csv.ts';
import { emptyTraceRecord } from '../../../../core/tracefile/trace-json.ts';
import type { SampleBlock } from '../../../../core/trace.ts';
import { clip, loadBlocks } from '../blocks.ts';
import { openPlain } from '../../files/plain-file.ts';
import { checkCancelled, explainError, StoreError } from '../../files/store-error.ts';
import type { OpenOptions, TraceReader } from '../types.ts';
import { measuredRateHz } from './rate.ts';
import { windowOfBlocks } from './window.ts';
import { language } from '../../../../core/present/language.ts';

const words = language.daemon.store.csvTrace;

const CHUNK_BYTES = 1 << 20;
/** Blocks of a file up to this many samples stay in memory after the first reading (128 MB); a longer file is read again when asked for. */
const KEPT_SAMPLES = 8 * 1024 * 1024;

/** Opens a CSV file: reads it once from end to end, so that bad rows are reported before anything is made of it. */
export async function openCsvTrace(path: string, options: OpenOptions): Promise<TraceReader> {
  let kept: SampleBlock[] | null = [];
  let samples = 0;
  let firstS = 0;
  let lastS = 0;
  const rate = measuredRateHz();
  let summary: CsvSummary | null = null;
  const size = await stat(path).then((found) => found.size).catch((error: unknown) => Promise.reject(explainError(error, words.read(path))));
  for await (const step of readCsvFile(path, options)) {
    if ('summary' in step) {
      summary = step.summary;
      continue;
    }
    for (const block of step.blocks) {
      if (samples === 0) firstS = block.timeS[0]!;
      samples += block.timeS.length;
      lastS = block.timeS[block.timeS.length - 1]!;
      rate.add(block.timeS);
      kept?.push(block);
      if (samples > KEPT_SAMPLES) kept = null;
    }
    options.progress?.(size === 0 ? 1 : step.bytes / size);
  }
  if (summary === null) throw new StoreError('no-samples', words.isEmpty(path));
  const { gaps, problems, withVoltage } = summary;
  const record = emptyTraceRecord(basename(path, extname(path)), '', '');
  record.title = basename(path);
  if (withVoltage) record.channels.push({ name: 'voltage', unit: 'V', range: null, resolution: null });
  record.samples = samples;
  record.duration_s = lastS - firstS;
  record.rate_hz = rate.rateHz();
  Object.assign(record, listGaps(gaps));
  record.end = 'ended';
  record.logger.source = 'file';

  async function* blocks(fromS = -Infinity, toS = Infinity): AsyncGenerator<SampleBlock> {
    const clipped = (block: SampleBlock): SampleBlock | null => clip(block, fromS, toS);
    if (kept !== null) {
      for (const block of kept) {
        const part = clipped(block);
        if (part !== null) yield part;
      }
      return;
    }
    for await (const step of readCsvFile(path, options)) {
      if ('summary' in step) return;
      for (const block of step.blocks) {
        if (block.timeS[0]! >= toS) return;
        const part = clipped(block);
        if (part !== null) yield part;
      }
    }
  }

  const reader: TraceReader = {
    path,
    record,
    marks: [],
    gaps,
    problems,
    samples,
    firstS,
    lastS,
    hasVoltage: withVoltage,
    blocks,
    load: (fromS = -Infinity, toS = Infinity) => loadBlocks(reader, fromS, toS),
    window: (fromS, toS, columns) => windowOfBlocks(blocks(fromS, toS), gaps, fromS, toS, columns),
    follow: async () => false,
    close: async () => {
      kept = null;
    },
  };
  return reader;
}

type CsvStep = { readonly blocks: readonly SampleBlock[]; readonly bytes: number } | { readonly summary: CsvSummary };

/** Reads the file chunk by chunk; throws StoreError when it cannot be used. */
async function* readCsvFile(path: string, options: OpenOptions): AsyncGenerator<CsvStep> {
  let found: SampleBlock[] = [];
  let bytes = 0;
  const reader = new CsvReader({ columns: options.columns ?? null, rateHz: options.rateHz ?? null, skipBad: options.skipBad ?? false }, (block) => found.push(block));
  const refuse = (): void => {
    if (reader.refusal !== null) throw new StoreError(reader.refusal.code, `${path}: ${reader.refusal.text}`);
  };
  try {
    // the stream closes the file
    for await (const chunk of (await openPlain(path)).createReadStream({ highWaterMark: CHUNK_BYTES }) as AsyncIterable<Buffer>) {
      checkCancelled(options.signal);
      reader.push(chunk);
      refuse();
      bytes += chunk.length;
      yield { blocks: found, bytes };
      found = [];
    }
  } catch (error) {
    throw explainError(error, words.read(path));
  }
  const summary = reader.end();
  refuse();
  if (summary.refusal !== null) throw new StoreError(summary.refusal.code, `${path}: ${summary.refusal.text}`);
  yield { blocks: found, bytes };
  yield { summary };
}
