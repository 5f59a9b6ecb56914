import type { HeardLine } from '../../../core/wire/messages.ts';

/** Newest lines kept for the page, and how much of each. */
const KEPT_LINES = 12;
const KEPT_LINE_LENGTH = 120;

/** The newest lines of a logger, as bytes: text is made of them once a second, when a page is to see it, and not for each of thousands. */
export class HeardLines {
  readonly #bytes = new Uint8Array(KEPT_LINES * KEPT_LINE_LENGTH);
  readonly #lengths = new Uint8Array(KEPT_LINES);
  readonly #damaged = new Uint8Array(KEPT_LINES);
  #count = 0;

  add(bytes: Uint8Array, startIndex: number, endIndex: number, damaged: boolean): void {
    const slot = this.#count % KEPT_LINES;
    const length = Math.min(endIndex - startIndex, KEPT_LINE_LENGTH);
    const at = slot * KEPT_LINE_LENGTH;
    for (let i = 0; i < length; i += 1) this.#bytes[at + i] = bytes[startIndex + i]!;
    this.#lengths[slot] = length;
    this.#damaged[slot] = damaged ? 1 : 0;
    this.#count += 1;
  }

  /** Oldest first. */
  list(): HeardLine[] {
    const lines: HeardLine[] = [];
    for (let k = Math.max(0, this.#count - KEPT_LINES); k < this.#count; k += 1) {
      const slot = k % KEPT_LINES;
      const at = slot * KEPT_LINE_LENGTH;
      lines.push({ text: Buffer.from(this.#bytes.subarray(at, at + this.#lengths[slot]!)).toString('latin1'), damaged: this.#damaged[slot] === 1 });
    }
    return lines;
  }
}
