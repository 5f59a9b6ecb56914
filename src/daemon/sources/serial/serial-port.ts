import type { Duplex } from 'node:stream';
import type { ErrorCallback } from '@serialport/stream';
import { ByteCount } from './byte-count.ts';
import { GatheringPort } from './gathering-port.ts';

/** A serial device as the operating system lists it. */
export interface PortDetails {
  readonly path: string;
  readonly manufacturer: string | null;
  readonly serialNumber: string | null;
  readonly vendorId: string | null;
  readonly productId: string | null;
}

export interface PortEvents {
  /** what has arrived; only lent */
  bytes(piece: Uint8Array): void;
  /** once, when the port is gone without `close()` having been called; the error's text may say why */
  gone(error: Error | null): void;
}

export interface OpenPort {
  /** bytes received at the present baud rate, and how many of them belong in no line of text */
  readonly bytes: number;
  readonly oddBytes: number;
  write(text: string): void;
  /** another baud rate without reopening, which would reset many boards */
  setBaud(baud: number): Promise<void>;
  close(): Promise<void>;
}

/** How the sources reach serial devices: the real thing here, others in tests. */
export interface PortAccess {
  list(): Promise<readonly PortDetails[]>;
  open(path: string, baud: number, events: PortEvents): Promise<OpenPort>;
}

/** What is used of a SerialPort; its mock has the same. */
interface PortStream extends Duplex {
  readonly isOpen: boolean;
  open(done: ErrorCallback): void;
  close(done: ErrorCallback): void;
  update(options: { baudRate: number }, done: ErrorCallback): void;
  /** the lines of a modem; here only asked for whether there is anybody to answer */
  get(done: (error: Error | null) => void): void;
}

interface PortClass {
  new (options: { path: string; baudRate: number; autoOpen: false }): PortStream;
  list(): Promise<readonly { path: string; manufacturer?: string | undefined; serialNumber?: string | undefined; vendorId?: string | undefined; productId?: string | undefined }[]>;
}

/**
 * Serial devices through node-serialport, on this thread only: in a worker thread it aborts the whole process. Bytes go to the decoder as they come: whoever opens a port, or changes its speed,
 * has it forget the half line of before, which would be glued to what comes after.
 */
export function serialPorts(portClass: PortClass = GatheringPort): PortAccess {
  return {
    async list() {
      const ports = await portClass.list();
      return ports.map(({ path, manufacturer, serialNumber, vendorId, productId }) => ({
        path,
        manufacturer: manufacturer ?? null,
        serialNumber: serialNumber ?? null,
        vendorId: vendorId ?? null,
        productId: productId ?? null,
      }));
    },
    async open(path, baud, events) {
      const port = new portClass({ path, baudRate: baud, autoOpen: false });
      await callback((done) => port.open(done));
      return new SerialSession(port, events);
    },
  };
}

/** How often a port from which nothing comes is asked whether it is still there. */
const LOOK_MS = 400;
/** What the system says of a terminal that has been hung up, or a device that was pulled out. A port without modem lines answers otherwise, and is there. */
const HUNG_UP = /input\/output error|no such device|not configured|bad file descriptor|\bE(IO|NODEV|NXIO|BADF)\b/i;

class SerialSession implements OpenPort {
  readonly #port: PortStream;
  readonly #events: PortEvents;
  #count = new ByteCount();
  #over = false;
  readonly #endLooks: () => void;

  constructor(port: PortStream, events: PortEvents) {
    this.#port = port;
    this.#events = events;
    port.on('data', (piece: Buffer) => {
      this.#count.add(piece);
      if (!this.#over) events.bytes(piece);
    });
    port.on('error', (error: Error) => this.#gone(error));
    port.on('close', (error?: Error | null) => this.#gone(error ?? null));
    port.on('end', () => this.#gone(null));
    this.#endLooks = this.#lookAfter();
  }

  /**
   * The binding answers an end of file by reading again at once, without a word and for ever, at the cost of a core (tests/faults/serial-empty-reads.mjs). So a port that has gone quiet is asked
   * for its modem lines, which the system refuses for one that was hung up; closing it ends the reading.
   */
  #lookAfter(): () => void {
    let bytes = 0;
    const timer = setInterval(() => {
      const quiet = this.#count.bytes === bytes;
      bytes = this.#count.bytes;
      if (quiet && this.#port.isOpen && !this.#over) this.#port.get((error) => void (error !== null && HUNG_UP.test(error.message) && this.#gone(error)));
    }, LOOK_MS);
    timer.unref();
    return () => clearInterval(timer);
  }

  get bytes(): number {
    return this.#count.bytes;
  }

  get oddBytes(): number {
    return this.#count.oddBytes;
  }

  write(text: string): void {
    // a failed write also closes the port, which is reported through `gone`
    if (this.#port.isOpen && !this.#over) this.#port.write(text, () => undefined);
  }

  async setBaud(baud: number): Promise<void> {
    await callback((done) => this.#port.update({ baudRate: baud }, done));
    this.#count = new ByteCount();
  }

  async close(): Promise<void> {
    this.#over = true;
    this.#endLooks();
    if (this.#port.isOpen) await callback((done) => this.#port.close(done)).catch(() => undefined);
  }

  #gone(error: Error | null): void {
    if (this.#over) return;
    this.#over = true;
    this.#endLooks();
    if (this.#port.isOpen) this.#port.close(() => undefined);
    this.#events.gone(error);
  }
}

function callback(call: (done: (error: Error | null) => void) => void): Promise<void> {
  return new Promise((resolve, reject) => {
    call((error) => (error === null || error === undefined ? resolve() : reject(error)));
  });
}
