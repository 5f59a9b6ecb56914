/** The plain versions of what src/core/decode does fast: oracles, written for being read. */

/** CRC-16/CCITT-FALSE bit by bit, as it is defined. */
export function plainCrc16(text: string): number {
  let crc = 0xffff;
  for (const character of text) {
    crc ^= character.charCodeAt(0) << 8;
    for (let bit = 0; bit < 8; bit++) crc = (crc & 0x8000) === 0 ? (crc << 1) & 0xffff : ((crc << 1) ^ 0x1021) & 0xffff;
  }
  return crc;
}

/** Counts out of base64 (RFC 4648 section 4) by bits written out; null for anything that is not exactly so many counts. */
export function plainInt16(text: string, count: number): number[] | null {
  const match = /^([A-Za-z0-9+/]*)(={0,2})$/.exec(text);
  if (match === null) return null;
  const [, body, padding] = match;
  if (body!.length !== Math.ceil((count * 16) / 6) || (padding !== '' && (body! + padding).length % 4 !== 0)) return null;
  const alphabet = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';
  const bits = [...body!].map((character) => alphabet.indexOf(character).toString(2).padStart(6, '0')).join('');
  if (/1/.test(bits.slice(count * 16))) return null;
  return Array.from({ length: count }, (_, i) => {
    const low = Number.parseInt(bits.slice(16 * i, 16 * i + 8), 2);
    const high = Number.parseInt(bits.slice(16 * i + 8, 16 * i + 16), 2);
    const value = low + 256 * high;
    return value < 32_768 ? value : value - 65_536;
  });
}

/** Numbers of a line of commas by the language's own reading of them; null where a field is no number of at most 20 digits before and after its dot. */
export function plainNumbers(line: string): number[] | null {
  const fields = line.split(',').map((field) => field.trim());
  if (!fields.every((field) => /^[+-]?(\d{1,20}(\.\d{0,20})?|\.\d{1,20})([eE][+-]?\d{1,2})?$/.test(field))) return null;
  return fields.map(Number);
}

/** The current counts of every block in a text of framed lines, by splitting and regular expressions; lines that are no whole block are passed over. */
export function plainBlocks(text: string, width: number): number[][] {
  const blocks: number[][] = [];
  for (const line of text.split('\n').slice(0, -1)) {
    const match = /^@((\d{1,10}),(\d{1,10}),(\d{1,10}),([^*,]*))\*([0-9A-Fa-f]{4})\r?$/.exec(line);
    if (match === null || Number.parseInt(match[6]!, 16) !== plainCrc16(match[1]!)) continue;
    const counts = plainInt16(match[5]!, Number(match[4]) * width);
    if (counts !== null && counts.length > 0) blocks.push(counts.filter((_, i) => i % width === 0));
  }
  return blocks;
}
