import type { TransformCallback } from 'node:stream';
import { ReadlineParser } from '@serialport/parser-readline';
import { MAX_LINE_BYTES } from '../../core/decode/line-splitter.ts';

const LF = 10;
const LINE_END = Buffer.from('\n');
/** 1 for the bytes that stand in no line of text: controls but CR, tab and LF, and what is not ASCII. */
const ODD = Uint8Array.from({ length: 256 }, (_, byte) => ((byte < 32 && byte !== 13 && byte !== 9 && byte !== LF) || byte > 126 ? 1 : 0));

/**
 * Looks at what comes before a ReadlineParser gets it, which keeps everything up to the next line end and searches it anew for every piece: 4 MiB without
 * one cost it 5.3 s. What runs on past the longest line is ended there (one byte too long, so that the decoder counts it) and the rest
 * is thrown away up to the next line end.
 */
export class LineGuard {
  /** bytes seen, and those that stand in no line of text: the mark of a wrong baud rate */
  bytes = 0;
  oddBytes = 0;
  #run = 0;
  #skipping = false;

  /** Hands on what may pass, in pieces. */
  admit(chunk: Buffer, pass: (piece: Buffer) => void): void {
    const { length } = chunk;
    this.bytes += length;
    let odd = 0;
    for (let i = 0; i < length; i += 1) odd += ODD[chunk[i]!]!;
    this.oddBytes += odd;
    if (this.#skipping || this.#run + length > MAX_LINE_BYTES) return this.#admitByByte(chunk, pass);
    // no line in it can be too long
    const lastEnd = chunk.lastIndexOf(LF);
    this.#run = lastEnd < 0 ? this.#run + length : length - 1 - lastEnd;
    if (length > 0) pass(chunk);
  }

  #admitByByte(chunk: Buffer, pass: (piece: Buffer) => void): void {
    let start = 0;
    for (let i = 0; i < chunk.length; i += 1) {
      if (chunk[i] === LF) {
        if (this.#skipping) start = i + 1;
        this.#skipping = false;
        this.#run = 0;
        continue;
      }
      if (this.#skipping) continue;
      this.#run += 1;
      if (this.#run > MAX_LINE_BYTES) {
        pass(chunk.subarray(start, i + 1));
        pass(LINE_END);
        this.#skipping = true;
      }
    }
    if (!this.#skipping && start < chunk.length) pass(chunk.subarray(start));
  }
}

/** A ReadlineParser behind its guard, in one stream: a second one would cost as much as the parser itself. */
export class GuardedLines extends ReadlineParser {
  readonly guard = new LineGuard();

  override _transform(chunk: Buffer, encoding: BufferEncoding, done: TransformCallback): void {
    this.guard.admit(chunk, (piece) => super._transform(piece, encoding, ignore));
    done();
  }
}

function ignore(): void {
  // the parser calls back at once; the stream waits for the last piece
}
