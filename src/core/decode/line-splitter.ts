/** A logger's longest line: the longest block is about 8 kB of samples, 11 kB as base64. Longer lines are refused, and never kept. */
export const MAX_LINE_BYTES = 16_384;

/**
 * Cuts a byte stream into lines, whatever the pieces it comes in. Holds at most one line of `MAX_LINE_BYTES`; what runs on without a
 * line end is thrown away up to the next one and reported once. Lines come without LF and CR, one character a byte (latin-1): the
 * checksum is over bytes, and noise is not UTF-8.
 */
export class LineSplitter {
  private readonly onLine: (line: string) => void;
  private readonly onTooLong: () => void;
  private readonly held = new Uint8Array(MAX_LINE_BYTES);
  private heldCount = 0;
  private skipping = false;

  constructor(onLine: (line: string) => void, onTooLong: () => void) {
    this.onLine = onLine;
    this.onTooLong = onTooLong;
  }

  push(bytes: Uint8Array): void {
    let start = 0;
    while (start < bytes.length) {
      const end = bytes.indexOf(10, start);
      const stop = end < 0 ? bytes.length : end;
      if (!this.skipping) this.hold(bytes, start, stop);
      if (end < 0) return;
      if (!this.skipping) this.onLine(latin1(this.held, this.heldCount));
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
    if (this.heldCount + stop - start > MAX_LINE_BYTES) {
      this.skipping = true;
      this.heldCount = 0;
      this.onTooLong();
      return;
    }
    this.held.set(bytes.subarray(start, stop), this.heldCount);
    this.heldCount += stop - start;
  }
}

function latin1(bytes: Uint8Array, length: number): string {
  let text = '';
  for (let i = 0; i < length; i += 4096) text += String.fromCharCode(...bytes.subarray(i, Math.min(length, i + 4096)));
  return text;
}
