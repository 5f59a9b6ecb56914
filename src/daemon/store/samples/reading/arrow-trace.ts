import { basename, extname, join } from 'node:path';
import { setImmediate } from 'node:timers/promises';
import type { Problem } from '../../../../core/problems.ts';
import { blockFault } from '../../../../core/tracefile/arrow/message.ts';
import { gapsOfTable } from '../../../../core/tracefile/arrow/batch-table.ts';
import type { TraceRecord } from '../../../../core/tracefile/record.ts';
import { emptyTraceRecord } from '../../../../core/tracefile/trace-json.ts';
import type { Gap, Mark, SampleBlock, Trace } from '../../../../core/trace.ts';
import { clip, loadBlocks } from '../blocks.ts';
import { factsOfTable } from '../describe-samples.ts';
import { INDEX_FILE, MARKS_FILE, readMarksFile, readTraceRecord, RECORD_FILE, SAMPLES_FILE } from '../../files/record-file.ts';
import { SamplesFile } from '../samples-file.ts';
import { extendIndex, loadIndex } from '../index/trace-index.ts';
import type { OpenOptions, TraceIndex, TraceReader, TraceWindow } from '../types.ts';
import { nextAfter, WindowMaker, type NearRows } from '../index/window-maker.ts';
import { language } from '../../../../core/present/language.ts';

const words = language.daemon.store.arrowTrace;

/** Opens a capture folder, or a samples file by itself. */
export async function openArrowTrace(path: string, kind: 'folder' | 'file', options: OpenOptions): Promise<TraceReader> {
  const problems: Problem[] = [];
  let record = emptyTraceRecord(basename(path, kind === 'file' ? extname(path) : ''), '', '');
  let marks: readonly Mark[] = [];
  let known = false;
  if (kind === 'folder') {
    const read = await readTraceRecord(join(path, RECORD_FILE), basename(path));
    const marksRead = await readMarksFile(join(path, MARKS_FILE));
    ({ record, known } = read);
    marks = marksRead.marks;
    problems.push(...read.problems, ...marksRead.problems, ...record.import_problems);
    if (known && record.end === 'running') problems.push({ code: 'cut-short', text: words.theRecordingWasNot });
  } else record.end = 'ended';
  const file = SamplesFile.open(kind === 'folder' ? join(path, SAMPLES_FILE) : path);
  try {
    const index = await loadIndex(file, kind === 'folder' ? join(path, INDEX_FILE) : null, { ...options, growing: options.growing === true && record.end === 'running', mayWrite: known && record.end !== 'running' });
    problems.push(...index.problems);
    return new ArrowTrace(path, kind === 'folder' ? join(path, INDEX_FILE) : null, file, index, record, known, marks, problems);
  } catch (error) {
    file.close();
    throw error;
  }
}

/** A trace read through its index: blocks by their place in the file, windows from the levels. */
class ArrowTrace implements TraceReader {
  readonly path: string;
  readonly marks: readonly Mark[];
  readonly #stored: TraceRecord;
  /** what trace.json says of the samples holds: the capture is closed, and nothing was lost since */
  readonly #fresh: boolean;
  readonly #indexPath: string | null;
  readonly #file: SamplesFile;
  readonly #problems: Problem[];
  readonly #damage = new Map<number, Gap>();
  #damagedSamples = 0;
  readonly #windows: WindowMaker;
  #index: TraceIndex;
  #gaps: readonly Gap[] = [];
  #record: TraceRecord | null = null;
  #hasVoltage = true;
  /** batches taken into what is above */
  #seen = 0;
  #checked = new Uint8Array(0);
  /** the batch looked into last for a bound: the next bound is often in it too */
  #nearBatch = -1;
  #nearBlock: SampleBlock | null = null;

  constructor(path: string, indexPath: string | null, file: SamplesFile, index: TraceIndex, record: TraceRecord, known: boolean, marks: readonly Mark[], problems: Problem[]) {
    this.path = path;
    this.#file = file;
    this.#index = index;
    this.#indexPath = indexPath;
    this.#problems = problems;
    this.#stored = record;
    this.#fresh = known && record.end !== 'running' && record.samples === index.table.samples;
    this.marks = marks;
    this.#takeIn();
    this.#windows = new WindowMaker(index, indexPath, { rows: (batch, last, passing) => this.#rows(batch, last, passing), near: (wanted) => this.#near(wanted) });
  }

  get samples(): number {
    return this.#index.table.samples - this.#damagedSamples;
  }

  get firstS(): number {
    return this.#index.table.length === 0 ? 0 : this.#index.table.firstS[0]!;
  }

  get lastS(): number {
    const { table } = this.#index;
    return table.length === 0 ? 0 : table.lastS[table.length - 1]!;
  }

  get hasVoltage(): boolean {
    return this.#index.table.length > 0 && this.#hasVoltage;
  }

  get record(): TraceRecord {
    this.#record ??= this.#describe();
    return this.#record;
  }

  async follow(): Promise<boolean> {
    if (this.#indexPath === null || this.#stored.end !== 'running' || this.#index.indexEnd === 0) return false;
    this.#index = await extendIndex(this.#file, this.#indexPath, this.#index);
    this.#takeIn();
    return true;
  }

  #takeIn(): void {
    const { table } = this.#index;
    for (let i = this.#seen; i < table.length; i++) if ((table.flags[i]! & 1) === 0) this.#hasVoltage = false;
    this.#gaps = this.#fresh && this.#stored.gap_count === this.#stored.gaps.length ? this.#stored.gaps.map((gap) => ({ startS: gap.start_s, endS: gap.end_s })) : [...(this.#fresh ? [] : this.#gaps), ...gapsOfTable(table, this.#seen)];
    this.#seen = table.length;
    this.#record = null;
    if (this.#checked.length >= table.length) return;
    const wider = new Uint8Array(Math.max(table.length, 2 * this.#checked.length));
    wider.set(this.#checked);
    this.#checked = wider;
  }

  #describe(): TraceRecord {
    const { table } = this.#index;
    const record = this.#fresh
      ? { ...this.#stored }
      : { ...this.#stored, ...factsOfTable(table, this.#gaps) };
    if (this.hasVoltage && !record.channels.some((channel) => channel.name === 'voltage')) record.channels = [...record.channels, { name: 'voltage', unit: 'V', range: null, resolution: null }];
    return record;
  }

  /** with the stretches that turned out damaged when they were read */
  get gaps(): readonly Gap[] {
    return this.#damage.size === 0 ? this.#gaps : mergeGaps([...this.#gaps, ...this.#damage.values()]);
  }

  get problems(): readonly Problem[] {
    return this.#problems;
  }

  async *blocks(fromS = -Infinity, toS = Infinity): AsyncGenerator<SampleBlock> {
    const [startIndex, endIndex] = this.#index.table.range(fromS, toS);
    let sinceYield = 0;
    for (let i = startIndex; i < endIndex; i++) {
      const block = this.#rows(i, endIndex - 1);
      if (block === null) continue;
      const part = clip(block, fromS, toS);
      if (part === null) continue;
      yield part;
      sinceYield += part.timeS.length;
      if (sinceYield < YIELD_ROWS) continue;
      sinceYield = 0;
      await setImmediate();
    }
  }

  load(fromS = -Infinity, toS = Infinity): Promise<Trace> {
    return loadBlocks(this, fromS, toS);
  }

  async window(fromS: number, toS: number, columns: number): Promise<TraceWindow> {
    return this.#windows.window(fromS, toS, columns, this.gaps);
  }

  async close(): Promise<void> {
    this.#windows.close();
    this.#file.close();
  }

  /**
   * A batch's samples; null when it is damaged, which is noted once. With `last` the caller says that it will read on up to that batch, with `passing` that it looks at one block at a time.
   * Rows are checked once, the CRC-32 at every reading but those for a picture, for which once is enough.
   */
  #rows(batch: number, last = batch, passing = false): SampleBlock | null {
    if (this.#damage.has(batch)) return null;
    const { table } = this.#index;
    this.#nearBatch = -1;
    if (last > batch) this.#file.readAhead(table.offset[batch]!, table.bytes[batch]!, table.offset[last]! + table.bytes[last]!, passing);
    const block = this.#file.entryRows(table.entry(batch), passing, passing && this.#checked[batch] === 1);
    if (typeof block !== 'string' && this.#checked[batch] === 1) return block;
    const fault = typeof block === 'string' ? block : blockFault(block, batch === 0 ? -Infinity : table.lastS[batch - 1]!);
    if (fault === null) {
      this.#checked[batch] = 1;
      return block as SampleBlock;
    }
    const startS = batch === 0 ? table.firstS[batch]! : table.lastS[batch - 1]!;
    const endS = batch + 1 === table.length ? table.lastS[batch]! : table.firstS[batch + 1]!;
    this.#damage.set(batch, { startS, endS });
    this.#damagedSamples += table.rows[batch]!;
    this.#problems.push({ code: 'damaged-block', text: words.samplesFromSTo(table.firstS[batch]!, table.lastS[batch]!, fault) });
    return null;
  }

  /**
   * The rows of a batch at a column's bound. A CRC-32 over the whole batch would cost more than all the rest, so they are held against what the index says of them; the whole
   * batch is checked only when something does not fit.
   */
  #near(wanted: NearRows): SampleBlock | null {
    const { batch, last, firstS, lastS, lowA, highA } = wanted;
    if (this.#damage.has(batch)) return null;
    const { table } = this.#index;
    let block = this.#nearBatch === batch ? this.#nearBlock : null;
    if (block === null) {
      if (last > batch) this.#file.readAhead(table.offset[batch]!, table.bytes[batch]!, table.offset[last]! + table.bytes[last]!, true);
      const read = this.#file.entryRows(table.entry(batch), true, true);
      if (typeof read !== 'string') block = read;
      this.#nearBatch = batch;
      this.#nearBlock = block;
    }
    if (block !== null) {
      const part = clip(block, firstS, nextAfter(lastS));
      if (part === null) return null;
      if (blockFault(part, -Infinity) === null && part.currentA.every((value) => value >= lowA && value <= highA)) return part;
    }
    return this.#rows(batch, last, true);
  }
}

/** Rows read between two looks at the rest of the world: some milliseconds. */
const YIELD_ROWS = 1 << 20;

/** Gaps in order, those that touch joined. */
function mergeGaps(gaps: Gap[]): Gap[] {
  const merged: Gap[] = [];
  for (const gap of gaps.sort((a, b) => a.startS - b.startS)) {
    const last = merged[merged.length - 1];
    if (last !== undefined && gap.startS <= last.endS) merged[merged.length - 1] = { startS: last.startS, endS: Math.max(last.endS, gap.endS) };
    else if (gap.endS > gap.startS) merged.push(gap);
  }
  return merged;
}
