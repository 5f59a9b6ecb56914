/** 1 for the bytes that occur in no line of text: controls but CR, tab and LF, and what is not ASCII. */
const ODD = Uint8Array.from({ length: 256 }, (_, byte) => ((byte < 32 && byte !== 13 && byte !== 9 && byte !== 10) || byte > 126 ? 1 : 0));
/** The same bit of each of four bytes. */
const TOP_BITS = 0x8080_8080 | 0;
const BLANKS = 0x2020_2020;
const ONES = 0x0101_0101;
const NO_WORDS = new Int32Array(0);

/** Bytes seen, and how many of them occur in no line of text: the mark of a wrong baud rate. */
export class ByteCount {
  bytes = 0;
  oddBytes = 0;

  add(chunk: Uint8Array): void {
    const { length } = chunk;
    this.bytes += length;
    // four at a step where the memory lets them be read so
    const wordsFrom = Math.min(length, (4 - (chunk.byteOffset & 3)) & 3);
    const words = length - wordsFrom < 4 ? NO_WORDS : new Int32Array(chunk.buffer, chunk.byteOffset + wordsFrom, (length - wordsFrom) >> 2);
    let odd = oddIn(chunk, 0, wordsFrom);
    for (let k = 0; k < words.length; k += 1) {
      const word = words[k]!;
      // a byte with its top bit set, one below the blank, or 127: at least one of these four may be odd
      if (((word | (word - BLANKS) | (word + ONES)) & TOP_BITS) !== 0) odd += oddIn(chunk, wordsFrom + 4 * k, wordsFrom + 4 * k + 4);
    }
    this.oddBytes += odd + oddIn(chunk, wordsFrom + 4 * words.length, length);
  }
}

function oddIn(chunk: Uint8Array, startIndex: number, endIndex: number): number {
  let odd = 0;
  for (let i = startIndex; i < endIndex; i += 1) odd += ODD[chunk[i]!]!;
  return odd;
}
