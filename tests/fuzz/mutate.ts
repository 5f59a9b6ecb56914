/** Changes to bytes that bring readers into trouble: single bits, numbers at the edge of their type, pieces moved, doubled, cut, or taken from another input. */
const EDGES_32 = [0, 1, 7, 8, 0x7f, 0x80, 0xff, 0x7fff, 0xffff, 0x10000, 0x7fffffff, 0x80000000, 0xfffffffe, 0xffffffff];
const EDGES_64 = [0, -0, 1e-320, -1, 1e300, -1e300, Infinity, -Infinity, Number.NaN, 2 ** 53, 2 ** 31, 0.001];

export function mutate(input: Uint8Array, other: Uint8Array, words: readonly string[], random: () => number, most: number): Uint8Array {
  let bytes = Buffer.from(input);
  const below = (end: number): number => Math.floor(random() * end);
  const splice = (at: number, drop: number, put: Uint8Array): void => {
    bytes = Buffer.concat([bytes.subarray(0, at), put, bytes.subarray(at + drop)]);
  };
  for (let count = 1 + below(random() < 0.7 ? 2 : 8); count > 0; count--) {
    const at = below(bytes.length + 1);
    const room = bytes.length - at;
    switch (below(11)) {
      case 0:
        if (room > 0) bytes[at] = bytes[at]! ^ (1 << below(8));
        break;
      case 1:
        if (room > 0) bytes[at] = below(256);
        break;
      case 2:
        if (room >= 4) bytes.writeUInt32LE(EDGES_32[below(EDGES_32.length)]!, at);
        break;
      case 3:
        if (room >= 4) bytes.writeUInt32LE((bytes.readUInt32LE(at) + [1, -1, 8, -8][below(4)]!) >>> 0, at);
        break;
      case 4:
        if (room >= 8) bytes.writeDoubleLE(EDGES_64[below(EDGES_64.length)]!, at);
        break;
      case 5:
        splice(at, below(Math.min(room, 40) + 1), new Uint8Array(0));
        break;
      case 6: {
        const from = below(bytes.length);
        splice(at, 0, bytes.subarray(from, from + below(60)));
        break;
      }
      case 7: {
        const from = below(other.length);
        splice(at, below(Math.min(room, 60) + 1), other.subarray(from, from + below(200)));
        break;
      }
      case 8:
        if (words.length > 0) splice(at, random() < 0.5 ? 0 : below(Math.min(room, 12) + 1), Buffer.from(words[below(words.length)]!));
        break;
      case 9:
        bytes = bytes.subarray(0, at);
        break;
      default: {
        const piece = bytes.subarray(at, at + 1 + below(30));
        splice(at, 0, Buffer.concat(Array.from({ length: 1 + below(40) }, () => piece)));
      }
    }
  }
  return bytes.subarray(0, most);
}

