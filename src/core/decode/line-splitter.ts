/** A logger's longest line: the longest block is about 8 kB of samples, 11 kB as base64. Longer lines are refused, and never kept. */
export const MAX_LINE_BYTES = 16_384;

/** Is handed a line: the bytes `[startIndex, endIndex)`, its LF left out. They are only lent. */
type LineBytes = (bytes: Uint8Array, startIndex: number, endIndex: number) => void;

/**
 * Cuts a byte stream into lines, whatever the pieces it comes in. A line that lies whole in a piece is handed on where it lies; of one that does not, at most `MAX_LINE_BYTES` are held. What runs on
 * without a line end is thrown away up to the next one and reported once, with what was held of it.
 */
export class LineSplitter {
  private readonly onLine: LineBytes;
  private readonly onTooLong: LineBytes;
  private readonly held = new Uint8Array(MAX_LINE_BYTES);
  private heldCount = 0;
  private skipping = false;

  constructor(onLine: LineBytes, onTooLong: LineBytes) {
    this.onLine = onLine;
    this.onTooLong = onTooLong;
  }

  push(bytes: Uint8Array): void {
    let start = 0;
    while (start < bytes.length) {
      const end = bytes.indexOf(10, start);
      const stop = end < 0 ? bytes.length : end;
      const whole = end >= 0 && this.heldCount === 0 && !this.skipping && stop - start <= MAX_LINE_BYTES;
      if (whole) this.onLine(bytes, start, stop);
      else if (!this.skipping) this.hold(bytes, start, stop);
      if (end < 0) return;
      if (!whole && !this.skipping) this.onLine(this.held, 0, this.heldCount);
      this.heldCount = 0;
      this.skipping = false;
      start = end + 1;
    }
  }

  /** Forgets the half line held: after a reconnection it must never be glued to what follows. */
  reset(): void {
    this.heldCount = 0;
    this.skipping = false;
  }

  private hold(bytes: Uint8Array, start: number, stop: number): void {
    const room = MAX_LINE_BYTES - this.heldCount;
    this.held.set(bytes.subarray(start, Math.min(stop, start + room)), this.heldCount);
    this.heldCount += stop - start;
    if (stop - start <= room) return;
    this.skipping = true;
    this.heldCount = 0;
    this.onTooLong(this.held, 0, MAX_LINE_BYTES);
  }
}

/** The text of a line, one character a byte: the checksum is over bytes, and noise is not UTF-8. */
export function latin1(bytes: Uint8Array, startIndex: number, endIndex: number): string {
  let text = '';
  for (let i = startIndex; i < endIndex; i += 4096) text += String.fromCharCode(...bytes.subarray(i, Math.min(endIndex, i + 4096)));
  return text;
}
