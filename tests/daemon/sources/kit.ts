import { fork } from 'node:child_process';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';
import type { DamageCounts, LoggerInfo, LoggerNotice, SourceSink, SourceState } from '../../../src/daemon/sources/source.ts';
import type { Gap } from '../../../src/core/trace.ts';
import type { OpenPort, PortAccess, PortDetails, PortEvents } from '../../../src/daemon/sources/serial/serial-port.ts';
import type { Timing } from '../../../src/daemon/sources/timing.ts';
import { holdNumber } from './pty-number.ts';

export interface Watched extends SourceSink {
  readonly timeS: number[];
  readonly currentA: number[];
  readonly gaps: Gap[];
  readonly states: SourceState[];
  readonly loggers: LoggerInfo[];
  readonly notices: LoggerNotice[];
  counts: DamageCounts;
  /** resolves as soon as `holds` does, looked at after every event */
  until(holds: (all: Watched) => boolean, what: string): Promise<void>;
}

/** A sink that keeps everything, and refuses what no source may ever give. */
export function watch(): Watched {
  const waiting = new Set<{ holds: (all: Watched) => boolean; resolve: () => void }>();
  const seen = (): void => {
    for (const entry of waiting) {
      if (entry.holds(all)) {
        waiting.delete(entry);
        entry.resolve();
      }
    }
  };
  const all: Watched = {
    timeS: [], currentA: [], gaps: [], states: [], loggers: [], notices: [],
    counts: { badCrc: 0, malformed: 0, tooLong: 0, lostBlocks: 0, restarts: 0 },
    state(state) {
      all.states.push(state);
      seen();
    },
    logger(info) {
      all.loggers.push(info);
      seen();
    },
    samples(block) {
      for (let i = 0; i < block.timeS.length; i += 1) {
        const atS = block.timeS[i]!;
        if (!(atS > (all.timeS.at(-1) ?? -1e-12))) throw new Error(`time ${atS} after ${all.timeS.at(-1)}`);
        if (!Number.isFinite(block.currentA[i]!)) throw new Error('a current that is no number');
        all.timeS.push(atS);
        all.currentA.push(block.currentA[i]!);
      }
      seen();
    },
    gap(gap) {
      if (gap.startS !== all.timeS.at(-1)) throw new Error(`gap from ${gap.startS}, last sample at ${all.timeS.at(-1)}`);
      all.gaps.push(gap);
      seen();
    },
    notice(notice) {
      all.notices.push(notice);
      seen();
    },
    damage(counts) {
      all.counts = counts;
      seen();
    },
    until(holds, what) {
      return new Promise((resolve, reject) => {
        if (holds(all)) {
          resolve();
          return;
        }
        const limit = setTimeout(() => reject(new Error(`never: ${what}; states: ${all.states.map((state) => `${state.state}: ${state.text}`).join(' | ')}`)), 30_000);
        waiting.add({ holds, resolve: () => (clearTimeout(limit), resolve()) });
      });
    },
  };
  return all;
}

interface HandTimer {
  atMs: number;
  readonly periodMs: number | null;
  readonly action: () => void;
}

/** Time that passes only when told; asynchronous work between the timers is let through. */
export class HandTiming implements Timing {
  #nowMs = 0;
  #timers: HandTimer[] = [];

  nowMs(): number {
    return this.#nowMs;
  }

  every(periodMs: number, action: () => void): () => void {
    return this.#add({ atMs: this.#nowMs + periodMs, periodMs, action });
  }

  after(delayMs: number, action: () => void): () => void {
    return this.#add({ atMs: this.#nowMs + delayMs, periodMs: null, action });
  }

  async pass(durationMs: number): Promise<void> {
    const endMs = this.#nowMs + durationMs;
    await settled();
    for (;;) {
      const next = this.#timers.reduce((first: HandTimer | null, timer) => (timer.atMs <= endMs && (first === null || timer.atMs < first.atMs) ? timer : first), null);
      if (next === null) break;
      this.#nowMs = next.atMs;
      if (next.periodMs === null) this.#timers = this.#timers.filter((timer) => timer !== next);
      else next.atMs += next.periodMs;
      next.action();
      await settled();
    }
    this.#nowMs = endMs;
  }

  /** the clock jumps, no timer runs: a computer that was asleep */
  skip(durationMs: number): void {
    this.#nowMs += durationMs;
    for (const timer of this.#timers) timer.atMs = Math.max(timer.atMs, this.#nowMs);
  }

  get timers(): number {
    return this.#timers.length;
  }

  #add(timer: HandTimer): () => void {
    this.#timers.push(timer);
    return () => {
      this.#timers = this.#timers.filter((other) => other !== timer);
    };
  }
}

/** Lets everything that waits only for promises and immediates run. */
export async function settled(): Promise<void> {
  for (let i = 0; i < 4; i += 1) await new Promise<void>((resolve) => setImmediate(resolve));
}

/** A computer's ports in memory: devices are plugged in, pulled out, owned by others, and answer at one speed only. */
export class DeskPorts implements PortAccess {
  readonly devices = new Map<string, DeskDevice>();
  readonly refusals = new Map<string, string>();
  opened: { path: string; baud: number }[] = [];

  plugIn(device: DeskDevice): void {
    this.devices.set(device.details.path, device);
  }

  pullOut(path: string): void {
    const device = this.devices.get(path);
    this.devices.delete(path);
    device?.vanish();
  }

  async list(): Promise<readonly PortDetails[]> {
    return [...this.devices.values()].filter((device) => device.listed).map((device) => device.details);
  }

  async open(path: string, baud: number, events: PortEvents): Promise<OpenPort> {
    this.opened.push({ path, baud });
    const refusal = this.refusals.get(path);
    if (refusal !== undefined) throw new Error(refusal);
    const device = this.devices.get(path);
    if (device === undefined) throw new Error(`Error: No such file or directory, cannot open ${path}`);
    return device.connect(baud, events);
  }
}

export class DeskDevice {
  readonly details: PortDetails;
  readonly listed: boolean;
  readonly trueBaud: number | null;
  baud = 0;
  asked = 0;
  #events: PortEvents | null = null;
  #onAsk: (device: DeskDevice) => void;
  #bytes = 0;
  #oddBytes = 0;

  constructor(path: string, options: { serialNumber?: string; vendorId?: string; listed?: boolean; trueBaud?: number; onAsk?: (device: DeskDevice) => void } = {}) {
    this.details = { path, manufacturer: null, serialNumber: options.serialNumber ?? null, vendorId: options.vendorId ?? null, productId: options.vendorId === undefined ? null : '0001' };
    this.listed = options.listed ?? true;
    this.trueBaud = options.trueBaud ?? null;
    this.#onAsk = options.onAsk ?? (() => undefined);
  }

  get isOpen(): boolean {
    return this.#events !== null;
  }

  /** sends a line; at a wrong speed noise arrives in its place */
  send(line: string): void {
    this.#bytes += line.length + 1;
    if (this.trueBaud !== null && this.trueBaud !== this.baud) {
      this.#oddBytes += Math.ceil(line.length * 0.6);
      this.#events?.bytes(Buffer.from(`${line.replace(/[^\n]/g, (character) => String.fromCharCode((character.charCodeAt(0) * 37 + 11) % 256)).replace(/\n/g, 'x')}\n`, 'latin1'));
      return;
    }
    this.#events?.bytes(Buffer.from(`${line}\n`, 'latin1'));
  }

  vanish(): void {
    const events = this.#events;
    this.#events = null;
    events?.gone(new Error('Error: No such device or address'));
  }

  connect(baud: number, events: PortEvents): OpenPort {
    if (this.#events !== null) throw new Error('Error Resource temporarily unavailable Cannot lock port');
    this.#events = events;
    this.#setBaud(baud);
    return new DeskConnection(this, (next) => this.#setBaud(next), () => (this.#events = null));
  }

  get bytes(): number {
    return this.#bytes;
  }

  get oddBytes(): number {
    return this.#oddBytes;
  }

  /** was asked for its hello, at the right speed */
  ask(): void {
    if (this.trueBaud !== null && this.trueBaud !== this.baud) return;
    this.asked += 1;
    this.#onAsk(this);
  }

  #setBaud(baud: number): void {
    this.baud = baud;
    this.#bytes = 0;
    this.#oddBytes = 0;
  }
}

class DeskConnection implements OpenPort {
  readonly #device: DeskDevice;
  readonly #change: (baud: number) => void;
  readonly #end: () => void;

  constructor(device: DeskDevice, change: (baud: number) => void, end: () => void) {
    this.#device = device;
    this.#change = change;
    this.#end = end;
  }

  get bytes(): number {
    return this.#device.bytes;
  }

  get oddBytes(): number {
    return this.#device.oddBytes;
  }

  write(text: string): void {
    if (text.includes('?')) this.#device.ask();
  }

  async setBaud(baud: number): Promise<void> {
    this.#change(baud);
  }

  async close(): Promise<void> {
    this.#end();
  }
}

/** A real pseudo-terminal: `path` is what serialport opens, `write` is what the logger sends, `asked` what it was asked. */
export interface PtyLogger {
  readonly path: string;
  write(text: string): void;
  onData(listener: (text: string) => void): void;
  hangUp(): Promise<void>;
}

/** Opens a pty whose far end is held by a small process of its own until it is hung up. */
export async function openPty(): Promise<PtyLogger> {
  const end = fork(fileURLToPath(new URL('pty-end.mjs', import.meta.url)), { execArgv: [] });
  const listeners = new Set<(text: string) => void>();
  const path = await new Promise<string>((resolve) => {
    end.on('message', (message: { path?: string; heard?: string }) => {
      if (message.path !== undefined) resolve(message.path);
      if (message.heard !== undefined) for (const listener of listeners) listener(message.heard);
    });
  });
  holdNumber(path);
  const exited = once(end, 'exit');
  return {
    path,
    write: (text) => void (end.connected && end.send({ write: text })),
    onData: (listener) => void listeners.add(listener),
    async hangUp() {
      if (end.connected) end.send({ hangUp: true });
      await exited;
    },
  };
}
