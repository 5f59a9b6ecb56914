import { closeSync, openSync, writeSync } from 'node:fs';
import { ByteWriter, ParquetWriter } from 'hyparquet-writer';
import type { SampleBlock } from '../../core/trace.ts';

/** Rows of a row group: large enough to be read fast, 16 MB while it is gathered (Parquet's documentation advises large groups). */
const GROUP_ROWS = 1 << 20;

/** Facts that are the same in every row: written as columns, which a dictionary shrinks to nothing. */
export type ParquetFacts = Readonly<Record<string, string | number | null>>;

export interface ParquetOptions {
  readonly withVoltage: boolean;
  readonly facts: ParquetFacts;
  /** key-value notes in the file's footer */
  readonly notes: Readonly<Record<string, string>>;
}

/**
 * Writes samples as Parquet, row group by row group: `time_s` double, `current_a` float, `voltage_v` float, then the facts. Only an export: a Parquet file
 * that is cut cannot be read.
 */
export class ParquetFile {
  readonly #fd: number;
  readonly #out: ByteWriter;
  readonly #parquet: ParquetWriter;
  readonly #options: ParquetOptions;
  readonly #timeS = new Float64Array(GROUP_ROWS);
  readonly #currentA = new Float32Array(GROUP_ROWS);
  readonly #voltageV: Float32Array;
  #filled = 0;

  /** The file must not exist. */
  constructor(path: string, options: ParquetOptions) {
    this.#options = options;
    this.#voltageV = new Float32Array(options.withVoltage ? GROUP_ROWS : 0);
    this.#fd = openSync(path, 'wx');
    this.#out = new ByteWriter(GROUP_ROWS);
    const { facts } = options;
    this.#parquet = new ParquetWriter({
      writer: this.#out,
      schema: [
        { name: 'root', num_children: (options.withVoltage ? 3 : 2) + Object.keys(facts).length },
        { name: 'time_s', type: 'DOUBLE', repetition_type: 'REQUIRED' },
        { name: 'current_a', type: 'FLOAT', repetition_type: 'REQUIRED' },
        ...(options.withVoltage ? [{ name: 'voltage_v', type: 'FLOAT', repetition_type: 'REQUIRED' } as const] : []),
        ...Object.entries(facts).map(([name, value]) =>
          typeof value === 'number' || (value === null && name.endsWith('_a'))
            ? ({ name, type: 'DOUBLE', repetition_type: 'OPTIONAL' } as const)
            : ({ name, type: 'BYTE_ARRAY', converted_type: 'UTF8', repetition_type: 'OPTIONAL' } as const),
        ),
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
      if (this.#options.withVoltage && block.voltageV !== null) this.#voltageV.set(block.voltageV.subarray(from, from + count), this.#filled);
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
    const facts = Object.entries(this.#options.facts).map(([name, value]) => ({ name, data: Array.from({ length: rows }, () => value), nullable: true }));
    void this.#parquet.write({
      columnData: [
        { name: 'time_s', data: this.#timeS.subarray(0, rows), encoding: 'BYTE_STREAM_SPLIT' },
        { name: 'current_a', data: this.#currentA.subarray(0, rows), encoding: 'BYTE_STREAM_SPLIT' },
        ...(this.#options.withVoltage ? [{ name: 'voltage_v', data: this.#voltageV.subarray(0, rows), encoding: 'BYTE_STREAM_SPLIT' } as const] : []),
        ...facts,
      ],
      rowGroupSize: rows,
    });
    this.#filled = 0;
    this.#flush();
  }

  #flush(): void {
    const bytes = this.#out.getBytes();
    for (let done = 0; done < bytes.length; ) done += writeSync(this.#fd, bytes, done);
    this.#out.index = 0;
  }
}
