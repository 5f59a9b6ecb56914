import { Transform, type TransformCallback } from 'node:stream';
import { MAX_LINE_BYTES } from '../../core/decode/line-splitter.ts';

const LF = 10;
const LINE_END = Buffer.from('\n');

/**
 * Stands before a ReadlineParser, which keeps everything up to the next line end and searches it anew for every piece: 4 MiB without
 * one cost it 5.3 s. What runs on past the longest line is ended there (one byte too long, so that the decoder counts it) and the rest
 * is thrown away up to the next line end.
 */
export class LineGuard extends Transform {
  /** bytes seen, and those that stand in no line of text: the mark of a wrong baud rate */
  bytes = 0;
  oddBytes = 0;
  #run = 0;
  #skipping = false;

  override _transform(chunk: Buffer, _encoding: BufferEncoding, done: TransformCallback): void {
    this.bytes += chunk.length;
    let start = 0;
    for (let i = 0; i < chunk.length; i += 1) {
      const byte = chunk[i]!;
      if (byte === LF) {
        if (this.#skipping) start = i + 1;
        this.#skipping = false;
        this.#run = 0;
        continue;
      }
      if ((byte < 32 && byte !== 13 && byte !== 9) || byte > 126) this.oddBytes += 1;
      if (this.#skipping) continue;
      this.#run += 1;
      if (this.#run > MAX_LINE_BYTES) {
        this.push(chunk.subarray(start, i + 1));
        this.push(LINE_END);
        this.#skipping = true;
      }
    }
    if (!this.#skipping && start < chunk.length) this.push(chunk.subarray(start));
    done();
  }
}
