import { basename, extname, join } from 'node:path';
import type { Problem } from '../../core/problems.ts';
import { gapsOfTable, rateOfTable, type BatchTable } from '../../core/tracefile/batch-table.ts';
import { emptyTraceRecord } from '../../core/tracefile/trace-json.ts';
import type { TraceRecord } from '../../core/tracefile/record.ts';
import type { Gap, Mark, SampleBlock } from '../../core/trace.ts';
import { clip, loadBlocks } from './blocks.ts';
import { MARKS_FILE, readMarksFile, readTraceRecord, SAMPLES_FILE } from './record-file.ts';
import { SamplesFile } from './samples-file.ts';
import { scanSamples } from './scan.ts';
import type { OpenOptions, TraceReader } from './trace-reader.ts';
import { windowOfBlocks } from './window.ts';

/** Opens a capture folder, or a samples file by itself. */
export async function openArrowTrace(path: string, kind: 'folder' | 'file', options: OpenOptions): Promise<TraceReader> {
  const file = SamplesFile.open(kind === 'folder' ? join(path, SAMPLES_FILE) : path);
  try {
    const scan = await scanSamples(file, options);
    const problems: Problem[] = [];
    let record: TraceRecord;
    let marks: readonly Mark[] = [];
    let known = false;
    if (kind === 'folder') {
      const read = await readTraceRecord(join(path, 'trace.json'), basename(path));
      const marksRead = await readMarksFile(join(path, MARKS_FILE));
      record = read.record;
      known = read.known;
      marks = marksRead.marks;
      problems.push(...read.problems, ...marksRead.problems);
    } else {
      record = emptyTraceRecord(basename(path, extname(path)), '', '');
      record.end = 'ended';
    }
    problems.push(...scan.problems);
    return makeReader(path, file, scan.table, record, marks, known, problems);
  } catch (error) {
    file.close();
    throw error;
  }
}

function makeReader(path: string, file: SamplesFile, table: BatchTable, record: TraceRecord, marks: readonly Mark[], known: boolean, problems: Problem[]): TraceReader {
  const fresh = known && record.end !== 'running' && record.samples === table.samples;
  const gaps: readonly Gap[] = fresh ? record.gaps.map((gap) => ({ startS: gap.start_s, endS: gap.end_s })) : gapsOfTable(table);
  const firstS = table.length === 0 ? 0 : table.firstS[0]!;
  const lastS = table.length === 0 ? 0 : table.lastS[table.length - 1]!;
  let hasVoltage = table.length > 0;
  for (let i = 0; i < table.length; i++) if ((table.flags[i]! & 1) === 0) hasVoltage = false;
  if (!fresh) {
    record.samples = table.samples;
    record.duration_s = lastS - firstS;
    record.rate_hz = rateOfTable(table);
    record.gaps = gaps.map((gap) => ({ start_s: gap.startS, end_s: gap.endS }));
  }

  async function* blocks(fromS = -Infinity, toS = Infinity): AsyncGenerator<SampleBlock> {
    const [startIndex, endIndex] = table.range(fromS, toS);
    for (let i = startIndex; i < endIndex; i++) {
      const found = file.messageAt(table.offset[i]!, table.offset[i]! + table.bytes[i]!);
      if ('end' in found) continue;
      for (const block of file.rows(found)) {
        const part = clip(block, fromS, toS);
        if (part !== null) yield part;
      }
    }
  }

  const reader: TraceReader = {
    path,
    record,
    marks,
    gaps,
    problems,
    samples: table.samples,
    firstS,
    lastS,
    hasVoltage,
    blocks,
    load: (fromS = -Infinity, toS = Infinity) => loadBlocks(reader, fromS, toS),
    window: (fromS, toS, columns) => windowOfBlocks(blocks(fromS, toS), gaps, fromS, toS, columns),
    close: async () => file.close(),
  };
  return reader;
}
