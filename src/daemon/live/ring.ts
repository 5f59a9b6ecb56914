import { joinBlocks, lowerBound, type SampleBlock } from '../../core/trace.ts';
import { part } from '../../core/sample-blocks.ts';
import { reduceToColumns } from './reduce.ts';

/** Samples of one piece of memory: 1 MB. Pieces come and go whole, so nothing is ever copied to make room. */
const CHUNK_SAMPLES = 65_536;
// 16 bytes a sample: 55 MiB at most, which is an hour at 1 kHz and 72 s at 50 kHz
const RAW_CHUNKS = 55;
// As many bytes again for older time in reduced form: at most 6 points of 64 samples, so at least 12 minutes at 50 kHz; and no more than two hours, or a slow logger would fill it for days.
const REDUCED = { chunks: 64, spanS: 7200, samplesPerColumn: 64 } as const;

/**
 * The samples of the last while, in bounded memory: the newest as measured, and before them at least ten minutes more in reduced form
 * where the rate is so high that all of them would not fit. What a page that has just been opened sees, and the seconds before a
 * recording, come from here.
 */
export class SampleRing {
  readonly #raw = new ChunkRing(RAW_CHUNKS, Infinity);
  readonly #reduced = new ChunkRing(REDUCED.chunks, REDUCED.spanS);

  push(block: SampleBlock): void {
    if (block.timeS.length === 0) return;
    this.#raw.push(block);
    const columns = Math.ceil(block.timeS.length / REDUCED.samplesPerColumn);
    this.#reduced.push(reduceToColumns(block, block.timeS[0]!, block.timeS[block.timeS.length - 1]!, columns));
  }

  clear(): void {
    this.#raw.clear();
    this.#reduced.clear();
  }

  /** live time of the newest sample, null while empty */
  get lastS(): number | null {
    return this.#raw.lastS;
  }

  /** from when on all samples are here as measured, null while empty */
  get rawFromS(): number | null {
    return this.#raw.firstS;
  }

  /** What is known of `[fromS, toS)`, in pieces: as measured where still here, reduced before that. Views that stay as they are while more samples come. */
  blocks(fromS: number, toS: number): SampleBlock[] {
    const rawFromS = this.#raw.firstS ?? Infinity;
    const raw = this.#raw.blocks(fromS, toS);
    return fromS >= rawFromS ? raw : [...this.#reduced.blocks(fromS, Math.min(toS, rawFromS)), ...raw];
  }

  /** the same in one piece; for short stretches and tests */
  slice(fromS: number, toS: number): SampleBlock {
    return this.#raw.joined(this.blocks(fromS, toS));
  }

  /** only samples as measured, in pieces, for recordings and the analysis */
  rawBlocks(fromS: number, toS: number): SampleBlock[] {
    return this.#raw.blocks(fromS, toS);
  }

  /** the same in one piece, for figures over seconds */
  rawSlice(fromS: number, toS: number): SampleBlock {
    return this.#raw.joined(this.#raw.blocks(fromS, toS));
  }
}

interface Chunk {
  readonly timeS: Float64Array;
  readonly currentA: Float32Array;
  readonly voltageV: Float32Array | null;
  length: number;
}

/** Columns in pieces of equal length; when there are too many, or they reach too far back, the oldest piece goes. */
class ChunkRing {
  readonly #most: number;
  readonly #spanS: number;
  #chunks: Chunk[] = [];

  constructor(most: number, spanS: number) {
    this.#most = most;
    this.#spanS = spanS;
  }

  get firstS(): number | null {
    return this.#chunks[0]?.timeS[0] ?? null;
  }

  get lastS(): number | null {
    const last = this.#chunks.at(-1);
    return last === undefined ? null : last.length > 0 ? last.timeS[last.length - 1]! : (this.#chunks.at(-2)?.timeS[CHUNK_SAMPLES - 1] ?? null);
  }

  clear(): void {
    this.#chunks = [];
  }

  push(block: SampleBlock): void {
    const withVoltage = block.voltageV !== null;
    // a source keeps its channels; should they change, what went before belongs to another set-up
    if (this.#chunks.length > 0 && (this.#chunks[0]!.voltageV !== null) !== withVoltage) this.clear();
    for (let from = 0; from < block.timeS.length; ) {
      let last = this.#chunks.at(-1);
      if (last === undefined || last.length === CHUNK_SAMPLES) {
        last = { timeS: new Float64Array(CHUNK_SAMPLES), currentA: new Float32Array(CHUNK_SAMPLES), voltageV: withVoltage ? new Float32Array(CHUNK_SAMPLES) : null, length: 0 };
        if (this.#chunks.push(last) > this.#most || this.#reachesTooFar()) this.#chunks.shift();
      }
      const count = Math.min(block.timeS.length - from, CHUNK_SAMPLES - last.length);
      last.timeS.set(block.timeS.subarray(from, from + count), last.length);
      last.currentA.set(block.currentA.subarray(from, from + count), last.length);
      if (block.voltageV !== null) last.voltageV?.set(block.voltageV.subarray(from, from + count), last.length);
      last.length += count;
      from += count;
    }
  }

  blocks(fromS: number, toS: number): SampleBlock[] {
    const found: SampleBlock[] = [];
    for (const chunk of this.#chunks) {
      const low = lowerBound(chunk.timeS, fromS, 0, chunk.length);
      const high = lowerBound(chunk.timeS, toS, low, chunk.length);
      if (high > low) found.push(part(chunk, low, high));
    }
    return found;
  }

  /** The second piece alone covers the span. */
  #reachesTooFar(): boolean {
    const second = this.#chunks[1];
    const { lastS } = this;
    return second !== undefined && second.length > 0 && lastS !== null && lastS - second.timeS[0]! > this.#spanS;
  }

  joined(blocks: readonly SampleBlock[]): SampleBlock {
    if (blocks.length === 0) return { timeS: new Float64Array(0), currentA: new Float32Array(0), voltageV: this.#chunks[0]?.voltageV == null ? null : new Float32Array(0) };
    const { timeS, currentA, voltageV } = joinBlocks(blocks, []);
    return { timeS, currentA, voltageV };
  }
}
