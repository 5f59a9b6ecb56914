import { closeSync, openSync, writeSync } from 'node:fs';
import { ByteWriter, ParquetWriter } from 'hyparquet-writer';
import type { SampleBlock } from '../../../core/trace.ts';
import { chunkStatistics } from './chunk-statistics.ts';

/** Rows of a row group: about as many as DuckDB writes by itself (122,880); 2 MB while it is gathered, and some 40 MB while it is encoded. */
const GROUP_ROWS = 1 << 17;

/** Facts that are the same in every row: written as columns, which a dictionary shrinks to nothing. Every file has the same columns, so that many are one table. */
const FACT_COLUMNS = {
  trace_uid: 'text',
  trace: 'text',
  start: 'text',
  title: 'text',
  test: 'text',
  logger: 'text',
  thinned: 'flag',
  simulated: 'flag',
  job: 'text',
  depot_name: 'text',
  vehicle_name: 'text',
  circuit: 'text',
  complaint: 'text',
  fuse_rating_a: 'number',
} as const;

interface FactTypes {
  text: string;
  number: number;
  flag: boolean;
}

/** null: not known. */
export type ParquetFacts = { readonly [Name in keyof typeof FACT_COLUMNS]: FactTypes[(typeof FACT_COLUMNS)[Name]] | null };

const FACT_ELEMENTS = {
  text: { type: 'BYTE_ARRAY', converted_type: 'UTF8', repetition_type: 'OPTIONAL' },
  number: { type: 'DOUBLE', repetition_type: 'OPTIONAL' },
  flag: { type: 'BOOLEAN', repetition_type: 'OPTIONAL' },
} as const;

interface ParquetOptions {
  readonly facts: ParquetFacts;
  /** key-value notes in the file's footer */
  readonly notes: Readonly<Record<string, string>>;
}

/**
 * Writes samples as Parquet, row group by row group: `time_s` double, `current_a` float, `voltage_v` float (null where none was measured), then the facts. Only an export: a Parquet file
 * that is cut cannot be read.
 */
export class ParquetFile {
  readonly #fd: number;
  readonly #out: ByteWriter;
  readonly #parquet: ParquetWriter;
  /** of the group before */
  #facts: FactChunks | null = null;
  readonly #options: ParquetOptions;
  readonly #timeS = new Float64Array(GROUP_ROWS);
  readonly #currentA = new Float32Array(GROUP_ROWS);
  readonly #voltageV = new Float32Array(GROUP_ROWS);
  /** rows of the group that have a voltage, as stretches; the rest is null */
  #measured: { from: number; to: number }[] = [];
  #filled = 0;

  /** The file must not exist. */
  constructor(path: string, options: ParquetOptions) {
    this.#options = options;
    this.#fd = openSync(path, 'wx');
    this.#out = new ByteWriter(GROUP_ROWS);
    this.#parquet = new ParquetWriter({
      writer: this.#out,
      schema: [
        { name: 'root', num_children: 3 + Object.keys(FACT_COLUMNS).length },
        { name: 'time_s', type: 'DOUBLE', repetition_type: 'REQUIRED' },
        { name: 'current_a', type: 'FLOAT', repetition_type: 'REQUIRED' },
        { name: 'voltage_v', type: 'FLOAT', repetition_type: 'OPTIONAL' },
        ...factElements(),
      ],
      kvMetadata: Object.entries(options.notes).map(([key, value]) => ({ key, value })),
      createdBy: 'amptrail',
    });
  }

  add(block: SampleBlock): void {
    for (let from = 0; from < block.timeS.length; ) {
      const count = Math.min(block.timeS.length - from, GROUP_ROWS - this.#filled);
      this.#timeS.set(block.timeS.subarray(from, from + count), this.#filled);
      this.#currentA.set(block.currentA.subarray(from, from + count), this.#filled);
      if (block.voltageV !== null) {
        this.#voltageV.set(block.voltageV.subarray(from, from + count), this.#filled);
        this.#measured.push({ from: this.#filled, to: this.#filled + count });
      }
      this.#filled += count;
      from += count;
      if (this.#filled === GROUP_ROWS) this.#group();
    }
  }

  /** Writes the footer; without it the file cannot be read. */
  finish(): void {
    if (this.#filled > 0) this.#group();
    void this.#parquet.finish();
    this.#flush();
  }

  close(): void {
    closeSync(this.#fd);
  }

  #group(): void {
    const rows = this.#filled;
    const columns = [
      { name: 'time_s', data: this.#timeS.subarray(0, rows) },
      { name: 'current_a', data: this.#currentA.subarray(0, rows) },
      { name: 'voltage_v', data: this.#voltages(rows), nullable: true },
    ];
    // a group is small enough to be one page; where pages end is otherwise asked value by value
    void this.#parquet.write({ columnData: columns.map((column) => ({ ...column, encoding: 'BYTE_STREAM_SPLIT', statistics: false, offsetIndex: false })), rowGroupSize: rows, pageSize: 0 });
    const chunks = this.#parquet.row_groups.at(-1)!.columns;
    for (const [at, { data }] of columns.entries()) chunks[at]!.meta_data!.statistics = chunkStatistics(data);
    this.#addFacts(rows);
    this.#filled = 0;
    this.#flush();
  }

  /** The facts' columns belong to the group just written: its bytes follow, and its list names them. */
  #addFacts(rows: number): void {
    if (this.#facts?.rows !== rows) this.#facts = factChunks(this.#options.facts, rows);
    const { bytes, columns } = this.#facts;
    const moved = BigInt(this.#out.offset);
    this.#out.appendBytes(bytes);
    const group = this.#parquet.row_groups.at(-1)!;
    group.columns.push(...columns.map((chunk) => movedBy(chunk, moved)));
    for (const { meta_data: data } of columns) group.total_byte_size += data?.total_uncompressed_size ?? 0n;
    group.total_compressed_size = (group.total_compressed_size ?? 0n) + BigInt(bytes.length);
  }

  /** As measured; numbers and nulls where some are missing. */
  #voltages(rows: number): Float32Array | (number | null)[] {
    const measured = this.#measured;
    this.#measured = [];
    if (measured.reduce((sum, { from, to }) => sum + to - from, 0) === rows) return this.#voltageV.subarray(0, rows);
    const values = new Array<number | null>(rows).fill(null);
    for (const { from, to } of measured) for (let i = from; i < to; i++) values[i] = this.#voltageV[i]!;
    return values;
  }

  #flush(): void {
    const bytes = this.#out.getBytes();
    for (let done = 0; done < bytes.length; ) done += writeSync(this.#fd, bytes, done);
    this.#out.index = 0;
  }
}

type ColumnChunk = ParquetWriter['row_groups'][number]['columns'][number];

/** The columns of a row group that are the same in every row, encoded once: all groups of as many rows hold the same bytes. Fourteen columns made anew for each took nine tenths of an export. */
interface FactChunks {
  readonly rows: number;
  readonly bytes: Uint8Array;
  /** their places counted from the first byte of `bytes` */
  readonly columns: readonly ColumnChunk[];
}

function factElements(): { name: string; type: 'BYTE_ARRAY' | 'DOUBLE' | 'BOOLEAN'; converted_type?: 'UTF8'; repetition_type: 'OPTIONAL' }[] {
  return Object.entries(FACT_COLUMNS).map(([name, kind]) => ({ name, ...FACT_ELEMENTS[kind] }));
}

function factChunks(facts: ParquetFacts, rows: number): FactChunks {
  const out = new ByteWriter();
  const elements = factElements();
  const parquet = new ParquetWriter({ writer: out, schema: [{ name: 'root', num_children: elements.length }, ...elements] });
  // the file's first mark is not the columns'
  const startsAt = out.offset;
  void parquet.write({ columnData: elements.map(({ name }) => ({ name, data: new Array<unknown>(rows).fill(facts[name as keyof ParquetFacts]), offsetIndex: false })), rowGroupSize: rows });
  return { rows, bytes: out.getBytes().slice(startsAt), columns: parquet.row_groups[0]!.columns.map((chunk) => movedBy(chunk, -BigInt(startsAt))) };
}

function movedBy(chunk: ColumnChunk, bytes: bigint): ColumnChunk {
  const { meta_data: data } = chunk;
  if (data === undefined) return chunk;
  const dictionary = data.dictionary_page_offset;
  return {
    ...chunk,
    file_offset: chunk.file_offset + bytes,
    meta_data: { ...data, data_page_offset: data.data_page_offset + bytes, ...(dictionary === undefined ? {} : { dictionary_page_offset: dictionary + bytes }) },
  };
}
