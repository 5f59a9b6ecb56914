/**
 * Reads an Intel HEX image into program memory, checking every record's sum.
 * Format: ":", byte count, 16-bit address, type (00 data, 01 end), data, two's complement sum (Intel, Hexadecimal Object File Format, 1988).
 */
export function readHexImage(text: string, bytes: number): Uint16Array {
  const memory = new Uint8Array(bytes).fill(0xff);
  let ended = false;
  for (const [index, line] of text.trim().split(/\r?\n/).entries()) {
    const record = Uint8Array.from(line.slice(1).match(/../g) ?? [], (pair) => Number.parseInt(pair, 16));
    const sum = record.reduce((total, byte) => total + byte, 0) & 0xff;
    if (line[0] !== ':' || record.length !== record[0]! + 5 || sum !== 0) throw new Error(`line ${index + 1} of the image is damaged`);
    if (record[3] === 1) ended = true;
    else if (record[3] === 0) memory.set(record.subarray(4, -1), (record[1]! << 8) | record[2]!);
    else throw new Error(`line ${index + 1}: record type ${record[3]} is not used by an 8-bit image`);
  }
  if (!ended) throw new Error('the image has no end record');
  return new Uint16Array(memory.buffer);
}
