/**
 * CRC-16/CCITT-FALSE: polynomial 0x1021, start value 0xFFFF, not reflected, no final exclusive-or. Guards every framed line.
 * Check value: 0x29B1 for the nine characters "123456789".
 */
const TABLE = makeTable();
/** What a byte does to the CRC when one, two, … seven more bytes follow it: eight bytes are then taken at a step. */
const TABLE_1 = followedByOneMore(TABLE);
const TABLE_2 = followedByOneMore(TABLE_1);
const TABLE_3 = followedByOneMore(TABLE_2);
const TABLE_4 = followedByOneMore(TABLE_3);
const TABLE_5 = followedByOneMore(TABLE_4);
const TABLE_6 = followedByOneMore(TABLE_5);
const TABLE_7 = followedByOneMore(TABLE_6);

/** The CRC of the bytes `[startIndex, endIndex)`, eight at a step. */
export function crc16OfBytes(bytes: Uint8Array, startIndex: number, endIndex: number): number {
  let crc = 0xffff;
  let at = startIndex;
  for (; at + 8 <= endIndex; at += 8) {
    crc =
      TABLE_7[(crc >>> 8) ^ bytes[at]] ^
      TABLE_6[(crc & 0xff) ^ bytes[at + 1]] ^
      TABLE_5[bytes[at + 2]] ^
      TABLE_4[bytes[at + 3]] ^
      TABLE_3[bytes[at + 4]] ^
      TABLE_2[bytes[at + 5]] ^
      TABLE_1[bytes[at + 6]] ^
      TABLE[bytes[at + 7]];
  }
  for (; at < endIndex; at += 1) crc = ((crc << 8) & 0xffff) ^ TABLE[(crc >>> 8) ^ bytes[at]];
  return crc;
}

function makeTable(): Uint16Array {
  const table = new Uint16Array(256);
  for (let byte = 0; byte < 256; byte += 1) {
    let crc = byte << 8;
    for (let bit = 0; bit < 8; bit += 1) crc = (crc & 0x8000) === 0 ? crc << 1 : (crc << 1) ^ 0x1021;
    table[byte] = crc & 0xffff;
  }
  return table;
}

function followedByOneMore(table: Uint16Array): Uint16Array {
  return table.map((crc) => ((crc << 8) & 0xffff) ^ TABLE[crc >>> 8]);
}
