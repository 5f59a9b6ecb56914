/**
 * The few tables of an Arrow IPC message that a reader of three columns needs, taken straight from the FlatBuffers bytes
 * (https://arrow.apache.org/docs/format/Columnar.html, format/Message.fbs and Schema.fbs; FlatBuffers "internals" page).
 *
 * A general reader trusts the counts in a message and makes an object for each; a file from a stranger could so ask for billions. Here every read
 * is bounds-checked by DataView (it throws RangeError) and every vector is checked against the bytes there are before it is walked.
 */
export class FlatTable {
  readonly #view: DataView;
  readonly #at: number;
  readonly #vtableAt: number;
  readonly #vtableBytes: number;

  constructor(view: DataView, at: number) {
    this.#view = view;
    this.#at = at;
    this.#vtableAt = at - view.getInt32(at, true);
    this.#vtableBytes = view.getUint16(this.#vtableAt, true);
  }

  static root(view: DataView): FlatTable {
    return new FlatTable(view, view.getUint32(0, true));
  }

  /** Byte position of field `number`, or 0 when it is absent (its default holds). */
  #field(number: number): number {
    const slot = 4 + 2 * number;
    if (slot + 2 > this.#vtableBytes) return 0;
    const offset = this.#view.getUint16(this.#vtableAt + slot, true);
    return offset === 0 ? 0 : this.#at + offset;
  }

  has(number: number): boolean {
    return this.#field(number) !== 0;
  }

  byte(number: number): number {
    const at = this.#field(number);
    return at === 0 ? 0 : this.#view.getUint8(at);
  }

  short(number: number): number {
    const at = this.#field(number);
    return at === 0 ? 0 : this.#view.getInt16(at, true);
  }

  /** A 64-bit whole number; throws RangeError when it is negative or above 2^53. */
  long(number: number): number {
    const at = this.#field(number);
    return at === 0 ? 0 : readLong(this.#view, at);
  }

  table(number: number): FlatTable | null {
    const at = this.#field(number);
    return at === 0 ? null : new FlatTable(this.#view, at + this.#view.getUint32(at, true));
  }

  /** Where the vector's items begin and how many there are, each of `itemBytes`; throws RangeError when they do not fit. */
  vector(number: number, itemBytes: number): { at: number; length: number } {
    const field = this.#field(number);
    if (field === 0) return { at: 0, length: 0 };
    const at = field + this.#view.getUint32(field, true);
    const length = this.#view.getUint32(at, true);
    if (length * itemBytes > this.#view.byteLength - at - 4) throw new RangeError('vector longer than its message');
    return { at: at + 4, length };
  }

  string(number: number): string {
    const { at, length } = this.vector(number, 1);
    let text = '';
    for (let i = 0; i < Math.min(length, 200); i++) text += String.fromCharCode(this.#view.getUint8(at + i));
    return text;
  }
}

export function readLong(view: DataView, at: number): number {
  const high = view.getInt32(at + 4, true);
  const value = high * 2 ** 32 + view.getUint32(at, true);
  if (high < 0 || value > Number.MAX_SAFE_INTEGER) throw new RangeError('number out of range');
  return value;
}
