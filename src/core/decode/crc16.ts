/**
 * CRC-16/CCITT-FALSE: polynomial 0x1021, start value 0xFFFF, not reflected, no final exclusive-or. Guards every framed line.
 * Check value: 0x29B1 for the nine characters "123456789".
 */
const TABLE = makeTable();

/** The CRC of the characters `[startIndex, endIndex)` of a line in which every character stands for one byte (latin-1). */
export function crc16(line: string, startIndex = 0, endIndex = line.length): number {
  let crc = 0xffff;
  for (let i = startIndex; i < endIndex; i += 1) {
    crc = ((crc << 8) & 0xffff) ^ TABLE[((crc >>> 8) ^ line.charCodeAt(i)) & 0xff];
  }
  return crc;
}

/** Four upper-case hex digits, as they stand after the `*` of a framed line. */
export function crc16Hex(line: string): string {
  return crc16(line).toString(16).toUpperCase().padStart(4, '0');
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
