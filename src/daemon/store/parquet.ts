import { fileWriter, ParquetWriter, schemaFromColumnData } from 'hyparquet-writer';
import type { SampleBlock } from '../../core/trace.ts';

/** Samples of a row group: enough for a good ratio, small enough for memory (a few megabytes a column). */
const GROUP_ROWS = 1 << 18;

/** Facts written beside the samples, as columns that are the same in every row: depot, vehicle, trace. */
export type ParquetFacts = Readonly<Record<string, string>>;

/**
 * Writes samples to a Parquet file, one row group after the other. Parquet has its directory at the end, so a file that was not
 * finished cannot be read: it is for export, never for recording.
 */
export class ParquetSamples {
  readonly #writer: ParquetWriter;
  readonly #facts: ParquetFacts;
  readonly #withVoltage: boolean;
  readonly #waiting: SampleBlock[] = [];
  #rows = 0;

  constructor(path: string, withVoltage: boolean, facts: ParquetFacts = {}) {
    this.#facts = facts;
    this.#withVoltage = withVoltage;
    const schema = schemaFromColumnData({ columnData: this.#columns([]) });
    this.#writer = new ParquetWriter({ writer: fileWriter(path), schema, createdBy: 'amptrail' });
  }

  add(block: SampleBlock): void {
    this.#waiting.push(block);
    this.#rows += block.timeS.length;
    if (this.#rows >= GROUP_ROWS) this.#writeGroup();
  }

  finish(): void {
    this.#writeGroup();
    this.#writer.finish();
  }

  #writeGroup(): void {
    const blocks = this.#waiting.splice(0);
    if (this.#rows === 0) return;
    const rows = this.#rows;
    this.#rows = 0;
    this.#writer.write({ columnData: this.#columns(blocks), rowGroupSize: rows });
  }

  #columns(blocks: readonly SampleBlock[]): Parameters<ParquetWriter['write']>[0]['columnData'] {
    const rows = blocks.reduce((sum, { timeS }) => sum + timeS.length, 0);
    const timeS = new Float64Array(rows);
    const currentA = new Float32Array(rows);
    const voltageV = new Float32Array(rows);
    let at = 0;
    for (const block of blocks) {
      timeS.set(block.timeS, at);
      currentA.set(block.currentA, at);
      if (block.voltageV !== null) voltageV.set(block.voltageV, at);
      at += block.timeS.length;
    }
    return [
      { name: 'time_s', data: timeS, type: 'DOUBLE', nullable: false },
      { name: 'current_a', data: currentA, type: 'FLOAT', nullable: false },
      ...(this.#withVoltage ? [{ name: 'voltage_v', data: voltageV, type: 'FLOAT' as const, nullable: false }] : []),
      ...Object.entries(this.#facts).map(([name, value]) => ({ name, data: Array.from({ length: rows }, () => value), type: 'STRING' as const, nullable: false })),
    ];
  }
}
