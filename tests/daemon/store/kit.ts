import { seededRandom } from '../../../src/core/random.ts';
export { seededRandom as seeded } from '../../../src/core/random.ts';
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { afterAll, afterEach, beforeAll } from 'vitest';
import { emptyTraceRecord } from '../../../src/core/tracefile/trace-json.ts';
import type { Gap, Mark, SampleBlock } from '../../../src/core/trace.ts';
import { openTrace } from '../../../src/daemon/store/samples/reading/trace-reader.ts';
import { openAppend, type AppendFile } from '../../../src/daemon/store/files/append-file.ts';
import { TraceWriter, type WriterOptions } from '../../../src/daemon/store/samples/writing/trace-writer.ts';
import { Store } from '../../../src/daemon/store/store.ts';

/** A scratch folder that goes when the tests of the file are over. */
export function scratch(): string {
  const folder = mkdtempSync(join(tmpdir(), 'amptrail-store-'));
  // a test that is run alone has the hooks of its file around it each time
  beforeAll(() => void mkdirSync(folder, { recursive: true }));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** What a technician types in for a job. */
export const JOB_FIELDS = { depot: 'Mill Lane', vehicle: 'minibus 2', complaint: 'side step hardly moves', circuit: 'side step', fuse_rating_a: 25, technician: 'R.', note: '' };

/** Opens data folders by name below `folder`; they are closed after each test. */
export function stores(folder: string): (name: string) => Promise<Store> {
  const opened: Store[] = [];
  afterEach(async () => {
    for (const store of opened.splice(0)) await store.close();
  });
  return async (name) => {
    const store = await Store.open(join(folder, name), { software: 'test 1', now: () => new Date('2026-03-02T08:00:00Z') });
    opened.push(store);
    return store;
  };
}

/** A disk that takes `bytes` more bytes over all its files and then fails as the kernel does: the append that does not fit is written in part. */
export function smallDisk(bytes: number, code = 'ENOSPC'): (path: string) => Promise<AppendFile> {
  let left = bytes;
  return async (path) => {
    const real = await openAppend(path);
    return {
      ...real,
      async append(part) {
        const fits = Math.min(left, part.length);
        left -= fits;
        await real.append(part.subarray(0, fits));
        if (fits < part.length) throw Object.assign(new Error(`${code}: write`), { code });
      },
    };
  };
}

/** A noisy motor-like recording: steps, ramps, noise, single spikes. */
export function recording(samples: number, rateHz: number, seed: number, startS = 0, withVoltage = true): SampleBlock {
  const random = seededRandom(seed);
  const timeS = new Float64Array(samples);
  const currentA = new Float32Array(samples);
  const voltageV = new Float32Array(samples);
  let levelA = 0;
  let slope = 0;
  for (let i = 0; i < samples; i++) {
    if (random() < 3 / samples || i === 0) levelA = random() * 30 - 5;
    if (random() < 3 / samples) slope = (random() - 0.5) * 20;
    if (random() < 5 / samples) slope = 0;
    levelA += slope / rateHz;
    const spike = random() < 2 / samples ? 60 : 0;
    timeS[i] = startS + i / rateHz;
    currentA[i] = levelA + (random() - 0.5) * 0.8 + spike;
    voltageV[i] = 12.6 - currentA[i]! * 0.02 + (random() - 0.5) * 0.05;
  }
  return { timeS, currentA, voltageV: withVoltage ? voltageV : null };
}

export function slice(block: SampleBlock, from: number, to: number): SampleBlock {
  return { timeS: block.timeS.slice(from, to), currentA: block.currentA.slice(from, to), voltageV: block.voltageV?.slice(from, to) ?? null };
}

export interface CaptureParts {
  readonly pieces: readonly (SampleBlock | Gap)[];
  readonly marks?: readonly Mark[];
  /** samples between two flushes, 0 = only at the end */
  readonly flushEvery?: number;
  readonly options?: WriterOptions;
}

/** Writes a whole capture and ends it. */
export async function capture(folder: string, { pieces, marks = [], flushEvery = 1000, options = { durable: false } }: CaptureParts): Promise<TraceWriter> {
  const writer = await TraceWriter.create(folder, emptyTraceRecord(basename(folder), '2026-03-02T08:00:00.000Z', 'test'), options);
  for (const piece of pieces) {
    if ('endS' in piece) writer.gap(piece);
    else if (flushEvery === 0) writer.append(piece);
    else {
      for (let at = 0; at < piece.timeS.length; at += flushEvery) {
        writer.append(slice(piece, at, Math.min(piece.timeS.length, at + flushEvery)));
        await writer.flush();
      }
    }
  }
  for (const mark of marks) await writer.mark(mark);
  await writer.finish('stopped');
  return writer;
}

/** Whether two runs of samples are the same to the last bit; quicker than comparing number by number. */
export function sameSamples(a: SampleBlock, b: SampleBlock): boolean {
  const bytes = (column: Float64Array | Float32Array | null): Buffer => (column === null ? Buffer.from('none') : Buffer.from(column.buffer, column.byteOffset, column.byteLength));
  return bytes(a.timeS).equals(bytes(b.timeS)) && bytes(a.currentA).equals(bytes(b.currentA)) && bytes(a.voltageV).equals(bytes(b.voltageV));
}

/** All samples of a trace that can be read. */
export async function readAll(path: string): Promise<SampleBlock> {
  const reader = await openTrace(path);
  try {
    return await reader.load();
  } finally {
    await reader.close();
  }
}
