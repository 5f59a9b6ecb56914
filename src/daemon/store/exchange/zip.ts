import { createReadStream } from 'node:fs';
import { readdir, stat } from 'node:fs/promises';
import { join } from 'node:path';
import type { EventEmitter } from 'node:events';
import type { Readable } from 'node:stream';
import { ZipFile } from 'yazl';
import { isPhotoName } from '../../../core/tracefile/job-story.ts';
import { isSafeName } from '../files/names.ts';
import { INDEX_FILE, JOB_FILE } from '../files/record-file.ts';
import type { Progress } from '../files/progress.ts';
import { checkCancelled } from '../files/store-error.ts';

/** From here on sizes are written in 64 bits: a bit below 4 GiB, because bytes that do not shrink grow a little. Smaller entries stay readable for the oldest programs. */
const WIDE_FROM_BYTES = 0xf000_0000;
const READ_BYTES = 1 << 18;
/** 1 January 1980, the zero of a zip's dates: trace.json has the real time. */
const NO_DATE = new Date(1980, 0, 1);

interface ZipSource {
  readonly path: string;
  /** name in the zip */
  readonly name: string;
}

export interface ZipOptions {
  readonly progress?: Progress;
  readonly signal?: AbortSignal;
  /** for tests, which cannot write 4 GB */
  readonly wideFromBytes?: number;
}

/** The files of a trace folder for a zip, under `name/`: without the index, which is rebuilt, and results, which are made anew. */
export async function traceFiles(folder: string, name: string): Promise<ZipSource[]> {
  const entries = await readdir(folder, { withFileTypes: true });
  return entries.filter((entry) => entry.isFile() && !entry.name.startsWith('.') && entry.name !== INDEX_FILE).map((entry) => ({ path: join(folder, entry.name), name: `${name}/${entry.name}` }));
}

/** The files of a job's folder: job.json, its photos and those of its traces, under `name/`. */
export async function jobFiles(folder: string, name: string): Promise<ZipSource[]> {
  const sources: ZipSource[] = [];
  const entries = await readdir(folder, { withFileTypes: true });
  if (entries.some((entry) => entry.isFile() && entry.name === JOB_FILE)) sources.push({ path: join(folder, JOB_FILE), name: `${name}/${JOB_FILE}` });
  for (const entry of entries) if (entry.isFile() && isPhotoName(entry.name)) sources.push({ path: join(folder, entry.name), name: `${name}/${entry.name}` });
  for (const entry of entries) if (entry.isDirectory() && isSafeName(entry.name)) sources.push(...(await traceFiles(join(folder, entry.name), `${name}/${entry.name}`)));
  return sources;
}

/** A zip of files, piece by piece; compressed in the thread pool, so that the logger's reader never waits. */
export async function* zipFiles(sources: readonly ZipSource[], { progress, signal, wideFromBytes = WIDE_FROM_BYTES }: ZipOptions = {}): AsyncGenerator<Uint8Array> {
  const sizes = await Promise.all(sources.map(async ({ path }) => (await stat(path)).size));
  const total = sizes.reduce((sum, size) => sum + size, 0);
  const zip = new ZipFile();
  let done = 0;
  let reported = 0;
  for (const [at, { path, name }] of sources.entries()) {
    const size = sizes[at]!;
    // level 1: noisy readings barely shrink, and the speed is three times that of the usual level
    const options = { compressionLevel: 1, mtime: NO_DATE, forceDosTimestamp: true, forceZip64Format: size >= wideFromBytes };
    if (size === 0) zip.addBuffer(Buffer.alloc(0), name, options);
    else {
      zip.addReadStreamLazy(name, { ...options, size }, (give) => {
        // only what was there at the beginning: a file that grows meanwhile must not outgrow its header
        const file = createReadStream(path, { highWaterMark: READ_BYTES, end: size - 1 });
        file.on('data', (chunk) => void (done += chunk.length));
        give(null, file);
      });
    }
  }
  const out = zip.outputStream as Readable;
  (zip as unknown as EventEmitter).on('error', (error: Error) => out.destroy(error));
  zip.end({ comment: '', forceZip64Format: sizes.some((size) => size >= wideFromBytes) });
  for await (const packed of out as AsyncIterable<Buffer>) {
    checkCancelled(signal);
    const share = Math.min(1, done / Math.max(1, total));
    if (share >= reported + 0.01) progress?.((reported = share));
    yield packed;
  }
}
