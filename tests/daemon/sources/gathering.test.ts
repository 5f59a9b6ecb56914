import { SerialPort, SerialPortMock } from 'serialport';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { GatheringPort } from '../../../src/daemon/sources/serial/gathering-port.ts';

const PATH = '/dev/mock';
/** Above the pause between two reads, whatever it is. */
const LONG_MS = 1000;

interface MockBinding {
  emitData(data: Buffer): void;
}

beforeEach(() => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] });
  SerialPortMock.binding.reset();
  SerialPortMock.binding.createPort(PATH, { maxReadSize: 4096 });
});
afterEach(() => {
  vi.restoreAllMocks();
  vi.useRealTimers();
});

/** The port on serialport's mock binding, what it has handed on, and how often it has asked for more. */
async function open(): Promise<{ binding: MockBinding; got: Buffer[]; reads: () => number }> {
  const read = vi.spyOn(SerialPort.prototype, '_read');
  const port = new GatheringPort({ path: PATH, baudRate: 115_200, autoOpen: false, binding: SerialPortMock.binding } as never);
  const got: Buffer[] = [];
  await new Promise<void>((resolve) => void port.open(() => resolve()));
  const binding = port.port as unknown as MockBinding;
  port.on('data', (chunk: Buffer) => void got.push(chunk));
  await turns();
  return { binding, got, reads: () => read.mock.calls.length };
}

async function turns(): Promise<void> {
  for (let i = 0; i < 20; i++) await new Promise(setImmediate);
}

describe('a port that lets bytes gather', () => {
  it('asks for more after a pause when a read brought little, and at once when it brought much', async () => {
    const { binding, reads } = await open();
    const before = reads();
    binding.emitData(Buffer.alloc(10));
    await turns();
    expect(reads()).toBe(before);
    vi.advanceTimersByTime(LONG_MS);
    await turns();
    expect(reads()).toBe(before + 1);
    binding.emitData(Buffer.alloc(4096));
    await turns();
    expect(reads()).toBeGreaterThan(before + 1);
  });

  it('hands the first bytes after a silence on without a pause, and every byte in order', async () => {
    const { binding, got } = await open();
    binding.emitData(Buffer.from('first,'));
    await turns();
    expect(Buffer.concat(got).toString()).toBe('first,');
    binding.emitData(Buffer.from('second,'));
    binding.emitData(Buffer.from('third'));
    vi.advanceTimersByTime(LONG_MS);
    await turns();
    vi.advanceTimersByTime(LONG_MS);
    await turns();
    expect(Buffer.concat(got).toString()).toBe('first,second,third');
  });
});
