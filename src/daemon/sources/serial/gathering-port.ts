import { SerialPort } from 'serialport';

/**
 * A read costs the same whether it brings ten bytes or a thousand (a turn in the thread pool, one that finds nothing, a wait): 900 a second took a fifth of a core. So a read that
 * brought little is followed by a pause in which more can gather. The first byte after a silence is never waited for.
 */
const GATHER_MS = 4;
/** A read that brings this much is followed at once by the next: half of the 4096 bytes that Linux keeps for the reader of a terminal (N_TTY_BUF_SIZE). */
const ENOUGH_BYTES = 2048;

/** A serial port that reads in larger pieces. It loses nothing by it: what is not read yet waits in the operating system. */
export class GatheringPort extends SerialPort {
  #broughtBytes = 0;

  override push(chunk: unknown, encoding?: BufferEncoding): boolean {
    this.#broughtBytes = chunk instanceof Uint8Array ? chunk.length : 0;
    return super.push(chunk, encoding);
  }

  override _read(size: number): void {
    const little = this.#broughtBytes > 0 && this.#broughtBytes < ENOUGH_BYTES;
    this.#broughtBytes = 0;
    if (little) setTimeout(() => super._read(size), GATHER_MS);
    else super._read(size);
  }
}
