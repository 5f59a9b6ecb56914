import { closeSync, openSync, readSync } from 'node:fs';

/** The longest time for which a thread did not get to its timers, and where it went. */
export interface Hold {
  readonly worstMs: number;
  /** of the longest: what the thread worked itself, and what it waited for a processor although it could have worked; NaN where the system does not say */
  readonly workedMs: number;
  readonly waitedMs: number;
  readonly p999Ms: number;
}

const EVERY_MS = 1;
const NS_PER_MS = 1e6;

/**
 * Watches the thread it is made in: a timer of 1 ms that comes late shows a piece of work, or a processor taken away. Which of the two it was is
 * said by /proc/thread-self/schedstat (Linux, proc_pid_schedstat: ns run, ns waited on the run queue), read each time.
 */
export class HoldWatch {
  readonly #file: number | null;
  readonly #bytes = Buffer.alloc(64);
  readonly #lateMs: number[] = [];
  #worst = { lateMs: 0, workedMs: Number.NaN, waitedMs: Number.NaN };
  #timer: NodeJS.Timeout;
  #atMs = performance.now();
  #was: readonly [number, number];

  constructor() {
    this.#file = openStat();
    this.#was = this.#stat();
    this.#timer = setTimeout(() => this.#look(), EVERY_MS);
  }

  stop(): Hold {
    clearTimeout(this.#timer);
    if (this.#file !== null) closeSync(this.#file);
    const sorted = this.#lateMs.toSorted((a, b) => a - b);
    const { lateMs, workedMs, waitedMs } = this.#worst;
    return { worstMs: lateMs, workedMs, waitedMs, p999Ms: sorted[Math.floor(sorted.length * 0.999)] ?? Number.NaN };
  }

  #look(): void {
    const nowMs = performance.now();
    const now = this.#stat();
    const lateMs = nowMs - this.#atMs - EVERY_MS;
    this.#lateMs.push(lateMs);
    if (lateMs > this.#worst.lateMs) this.#worst = { lateMs, workedMs: now[0] - this.#was[0], waitedMs: now[1] - this.#was[1] };
    this.#atMs = nowMs;
    this.#was = now;
    this.#timer = setTimeout(() => this.#look(), EVERY_MS);
  }

  /** ms run and ms waited so far */
  #stat(): readonly [number, number] {
    if (this.#file === null) return [Number.NaN, Number.NaN];
    const length = readSync(this.#file, this.#bytes, 0, this.#bytes.length, 0);
    const [ranNs, waitedNs] = this.#bytes.toString('latin1', 0, length).split(' ').map(Number);
    return [ranNs! / NS_PER_MS, waitedNs! / NS_PER_MS];
  }
}

function openStat(): number | null {
  try {
    return openSync('/proc/thread-self/schedstat', 'r');
  } catch {
    return null;
  }
}
