import { SerialPortMock } from 'serialport';
import fc from 'fast-check';
import { afterEach, describe, expect, it } from 'vitest';
import { LineSplitter, MAX_LINE_BYTES } from '../../../src/core/decode/line-splitter.ts';
import { serialPorts, type OpenPort } from '../../../src/daemon/sources/serial-port.ts';
import { LineGuard } from '../../../src/daemon/sources/line-guard.ts';
import { settled } from './kit.ts';

const PATH = '/dev/mock';
const ports = serialPorts(SerialPortMock as unknown as Parameters<typeof serialPorts>[0]);

afterEach(() => SerialPortMock.binding.reset());

/** Opens the mock of serialport and keeps hold of its binding to send bytes. */
async function openMock(onLine: (line: string) => void): Promise<{ port: OpenPort; send: (bytes: Uint8Array | string) => void }> {
  SerialPortMock.binding.createPort(PATH, { record: true });
  const bindings: { emitData(data: Buffer | string): void }[] = [];
  const open = SerialPortMock.binding.open;
  SerialPortMock.binding.open = async (options: Parameters<typeof open>[0]) => {
    const binding = await open.call(SerialPortMock.binding, options);
    bindings.push(binding);
    return binding;
  };
  const port = await ports.open(PATH, 115_200, { line: onLine, gone: () => undefined });
  SerialPortMock.binding.open = open;
  return { port, send: (bytes) => bindings[0]!.emitData(typeof bytes === 'string' ? bytes : Buffer.from(bytes)) };
}

function linesOf(pieces: readonly Uint8Array[]): string[] {
  const guard = new LineGuard();
  const out: Buffer[] = [];
  for (const piece of pieces) guard.admit(Buffer.from(piece), (passed) => void out.push(passed));
  const lines = Buffer.concat(out).toString('latin1').split('\n');
  lines.pop();
  return lines;
}

describe('the guard before the ReadlineParser', () => {
  it('lets every line pass as it is, for any split', () => {
    fc.assert(
      fc.property(fc.array(fc.uint8Array({ maxLength: 400 }), { maxLength: 10 }), (pieces) => {
        const expected: string[] = [];
        const splitter = new LineSplitter((line) => expected.push(line), () => undefined);
        for (const piece of pieces) splitter.push(piece);
        expect(linesOf(pieces)).toEqual(expected);
      }),
      { numRuns: 200 },
    );
  });

  it('ends what runs on without a line end one byte past the longest line, and drops the rest', () => {
    const long = new Uint8Array(1_000_000).fill(0x55);
    const lines = linesOf([long, long, Buffer.from('tail\nwhole\n')]);
    expect(lines.map((line) => line.length)).toEqual([MAX_LINE_BYTES + 1, 5]);
    expect(lines[1]).toBe('whole');
    const exact = linesOf([Buffer.from(`${'x'.repeat(MAX_LINE_BYTES)}\nnext\n`)]);
    expect(exact.map((line) => line.length)).toEqual([MAX_LINE_BYTES, 4]);
  });
});

describe('a port through serialport, on its own mock binding', () => {
  it('gives lines apart that came in one piece, and together what came in two', async () => {
    const lines: string[] = [];
    const { port, send } = await openMock((line) => lines.push(line));
    send('1\n2\n3\n4');
    await settled();
    send('5\n');
    await settled();
    expect(lines).toEqual(['1', '2', '3', '45']);
    await port.close();
  });

  it('keeps every byte of a line, for the checksum is over bytes', async () => {
    const lines: string[] = [];
    const { port, send } = await openMock((line) => lines.push(line));
    send(Uint8Array.from([0xc3, 0x28, 0xff, 0x00, 0x80, 10]));
    await settled();
    expect([...lines[0]!].map((character) => character.charCodeAt(0))).toEqual([0xc3, 0x28, 0xff, 0x00, 0x80]);
    expect([port.bytes, port.oddBytes]).toEqual([6, 4]);
    await port.close();
  });

  it('forgets half a line when the speed is changed', async () => {
    const lines: string[] = [];
    const { port, send } = await openMock((line) => lines.push(line));
    send('2,2');
    await settled();
    await port.setBaud(9600);
    send('7,70\n');
    await settled();
    expect(lines).toEqual(['7,70']);
    expect(port.bytes).toBe(5);
    await port.close();
  });

  it('gives no line after it was closed', async () => {
    const lines: string[] = [];
    const { port, send } = await openMock((line) => lines.push(line));
    send('1\n');
    await settled();
    await port.close();
    expect(lines).toEqual(['1']);
    await port.close();
  });

  it('that is not there rejects with the words of the system', async () => {
    await expect(ports.open('/dev/nowhere', 9600, { line: () => undefined, gone: () => undefined })).rejects.toThrow(/does not exist/);
  });
});
