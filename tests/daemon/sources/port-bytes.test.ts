import { SerialPortMock } from 'serialport';
import fc from 'fast-check';
import { afterEach, describe, expect, it } from 'vitest';
import { latin1, LineSplitter, MAX_LINE_BYTES } from '../../../src/core/decode/line-splitter.ts';
import { serialPorts, type OpenPort } from '../../../src/daemon/sources/serial/serial-port.ts';
import { ByteCount } from '../../../src/daemon/sources/serial/byte-count.ts';
import { settled } from './kit.ts';

const PATH = '/dev/mock';
const ports = serialPorts(SerialPortMock as unknown as Parameters<typeof serialPorts>[0]);

afterEach(() => SerialPortMock.binding.reset());

function linesOf(pieces: readonly Uint8Array[]): string[] {
  const lines: string[] = [];
  const keep = (bytes: Uint8Array, startIndex: number, endIndex: number): void => void lines.push(latin1(bytes, startIndex, endIndex));
  const splitter = new LineSplitter(keep, keep);
  for (const piece of pieces) splitter.push(piece);
  return lines;
}

/** Opens the mock of serialport and keeps hold of its binding to send bytes. */
async function openMock(onPiece: (piece: Uint8Array) => void): Promise<{ port: OpenPort; send: (bytes: Uint8Array | string) => void }> {
  SerialPortMock.binding.createPort(PATH, { record: true });
  const bindings: { emitData(data: Buffer | string): void }[] = [];
  const open = SerialPortMock.binding.open;
  SerialPortMock.binding.open = async (options: Parameters<typeof open>[0]) => {
    const binding = await open.call(SerialPortMock.binding, options);
    bindings.push(binding);
    return binding;
  };
  const port = await ports.open(PATH, 115_200, { bytes: onPiece, gone: () => undefined });
  SerialPortMock.binding.open = open;
  return { port, send: (bytes) => bindings[0]!.emitData(typeof bytes === 'string' ? bytes : Buffer.from(bytes)) };
}

describe('the count of bytes outside any line of text', () => {
  it('is the one that a look at every byte gives, wherever the bytes lie', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 200 }), fc.nat(7), (bytes, skipped) => {
        const piece = bytes.subarray(Math.min(skipped, bytes.length));
        const plain = [...piece].filter((byte) => (byte < 32 && ![9, 10, 13].includes(byte)) || byte > 126).length;
        const count = new ByteCount();
        count.add(piece);
        expect([count.bytes, count.oddBytes]).toEqual([piece.length, plain]);
      }),
      { numRuns: 500 },
    );
  });

  it('sees one odd byte among text', () => {
    const text = fc.array(fc.integer({ min: 32, max: 126 }), { minLength: 1, maxLength: 40 });
    fc.assert(
      fc.property(text, fc.nat(39), fc.constantFrom(0, 8, 11, 12, 14, 31, 127, 128, 255), (plain, at, odd) => {
        const count = new ByteCount();
        count.add(Uint8Array.from(plain).fill(odd, at % plain.length, (at % plain.length) + 1));
        expect(count.oddBytes).toBe(1);
      }),
    );
  });
});

describe('the cutter of lines', () => {
  it('gives every line as a cut of the whole text gives it, for any split', () => {
    fc.assert(
      fc.property(fc.array(fc.uint8Array({ maxLength: 400 }), { maxLength: 10 }), (pieces) => {
        const expected = Buffer.concat(pieces).toString('latin1').split('\n').slice(0, -1);
        expect(linesOf(pieces)).toEqual(expected);
      }),
      { numRuns: 200 },
    );
  });

  it('tells once of what runs on without a line end, with its beginning, and drops the rest', () => {
    const long = new Uint8Array(1_000_000).fill(0x55);
    expect(linesOf([long, long, Buffer.from('tail\nwhole\n')]).map((line) => line.length)).toEqual([MAX_LINE_BYTES, 5]);
    const exact = linesOf([Buffer.from(`${'x'.repeat(MAX_LINE_BYTES)}\nnext\n`)]);
    expect(exact.map((line) => line.length)).toEqual([MAX_LINE_BYTES, 4]);
  });
});

describe('a port through serialport, on its own mock binding', () => {
  it('gives every byte as it came', async () => {
    const pieces: Uint8Array[] = [];
    const { port, send } = await openMock((piece) => pieces.push(piece));
    send('1\n2\n3\n4');
    await settled();
    send('5\n');
    await settled();
    expect(linesOf(pieces)).toEqual(['1', '2', '3', '45']);
    await port.close();
  });

  it('keeps every byte of a line, for the checksum is over bytes', async () => {
    const pieces: Uint8Array[] = [];
    const { port, send } = await openMock((piece) => pieces.push(piece));
    send(Uint8Array.from([0xc3, 0x28, 0xff, 0x00, 0x80, 10]));
    await settled();
    expect([...linesOf(pieces)[0]!].map((character) => character.charCodeAt(0))).toEqual([0xc3, 0x28, 0xff, 0x00, 0x80]);
    expect([port.bytes, port.oddBytes]).toEqual([6, 4]);
    await port.close();
  });

  it('counts anew when the speed is changed', async () => {
    const { port, send } = await openMock(() => undefined);
    send('2,2');
    await settled();
    await port.setBaud(9600);
    send('7,70\n');
    await settled();
    expect(port.bytes).toBe(5);
    await port.close();
  });

  it('gives nothing after it was closed', async () => {
    const pieces: Uint8Array[] = [];
    const { port, send } = await openMock((piece) => pieces.push(piece));
    send('1\n');
    await settled();
    await port.close();
    expect(linesOf(pieces)).toEqual(['1']);
    await port.close();
  });

  it('that is not there rejects with the words of the system', async () => {
    await expect(ports.open('/dev/nowhere', 9600, { bytes: () => undefined, gone: () => undefined })).rejects.toThrow(/does not exist/);
  });
});
