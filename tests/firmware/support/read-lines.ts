/**
 * The tests' own reading of the line protocol, written from the protocol page alone and without the decoder of the program: what
 * the chip sends is judged by a second pair of eyes.
 */
export type Line =
  | { readonly kind: 'hello'; readonly hello: Hello }
  | { readonly kind: 'block'; readonly seq: number; readonly tUs: number; readonly current: number[]; readonly voltage: number[] }
  | { readonly kind: 'notice'; readonly seq: number; readonly tUs: number; readonly code: string; readonly text: string }
  | { readonly kind: 'damaged'; readonly text: string };

export interface Hello {
  readonly protocol: number;
  readonly logger: string;
  readonly serial: string;
  readonly firmware: string;
  readonly rate_hz: number;
  readonly channels: readonly { readonly name: string; readonly unit: string; readonly scale: number; readonly zero: number; readonly range: readonly [number, number] }[];
}

/** CRC-16/CCITT-FALSE, bit by bit: polynomial 0x1021, start 0xFFFF, most significant bit first, no final exclusive-or. */
export function crcBitByBit(text: string): number {
  let crc = 0xffff;
  for (const byte of Buffer.from(text, 'latin1')) {
    crc ^= byte << 8;
    for (let bit = 0; bit < 8; bit++) crc = crc & 0x8000 ? ((crc << 1) ^ 0x1021) & 0xffff : crc << 1;
  }
  return crc;
}

export function readLine(line: string): Line {
  const star = line.lastIndexOf('*');
  const content = line.slice(1, star);
  const damaged: Line = { kind: 'damaged', text: line };
  if (star < 1 || !/^[0-9A-F]{4}$/.test(line.slice(star + 1)) || crcBitByBit(content) !== Number.parseInt(line.slice(star + 1), 16)) return damaged;
  if (line[0] === '#') return { kind: 'hello', hello: JSON.parse(content) };
  const fields = content.split(',');
  const [seq, tUs] = [Number(fields[0]), Number(fields[1])];
  if (line[0] === '!') return { kind: 'notice', seq, tUs, code: fields[2]!, text: fields.slice(3).join(',') };
  if (line[0] !== '@' || fields.length !== 4) return damaged;
  const bytes = Buffer.from(fields[3]!, 'base64');
  const samples = Number(fields[2]);
  if (bytes.length !== samples * 4) return damaged;
  const [current, voltage]: [number[], number[]] = [[], []];
  for (let i = 0; i < samples; i++) {
    current.push(bytes.readInt16LE(i * 4));
    voltage.push(bytes.readInt16LE(i * 4 + 2));
  }
  return { kind: 'block', seq, tUs, current, voltage };
}

/** Collects bytes into whole lines; what comes before the first line feed counts too, for the chip starts clean. */
export class LineLog {
  readonly texts: string[] = [];
  readonly lines: Line[] = [];
  #partial = '';

  take(byte: number): void {
    if (byte !== 10) {
      this.#partial += String.fromCharCode(byte);
      return;
    }
    const text = this.#partial;
    this.#partial = '';
    if (text === '') return; // sent before the first hello, and without meaning
    this.texts.push(text);
    this.lines.push(readLine(text));
  }

  of<K extends Line['kind']>(kind: K): Extract<Line, { kind: K }>[] {
    return this.lines.filter((line): line is Extract<Line, { kind: K }> => line.kind === kind);
  }

  codes(): string[] {
    return this.of('notice').map((notice) => notice.code);
  }
}
