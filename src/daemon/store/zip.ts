import { createReadStream } from 'node:fs';
import { readdir, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { pipeline } from 'node:stream';
import { crc32, createDeflateRaw } from 'node:zlib';
import { isSafeName } from './names.ts';
import { INDEX_FILE, JOB_FILE } from './record-file.ts';
import { checkCancelled, type Progress } from './store-error.ts';
import { dataDescriptor, DEFLATED, localHeader, STREAMED_UTF8, zipEnd, type ZipEntry } from './zip-format.ts';

/** From here on sizes are written in 64 bits: a bit below 4 GiB, because bytes that do not shrink grow a little. Smaller entries stay readable for the oldest programs. */
const WIDE_FROM_BYTES = 0xf000_0000;
const READ_BYTES = 1 << 18;

export interface ZipSource {
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

/** The files of a job's folder: job.json and those of its traces, under `name/`. */
export async function jobFiles(folder: string, name: string): Promise<ZipSource[]> {
  const sources: ZipSource[] = [];
  const entries = await readdir(folder, { withFileTypes: true });
  if (entries.some((entry) => entry.isFile() && entry.name === JOB_FILE)) sources.push({ path: join(folder, JOB_FILE), name: `${name}/${JOB_FILE}` });
  for (const entry of entries) if (entry.isDirectory() && isSafeName(entry.name)) sources.push(...(await traceFiles(join(folder, entry.name), `${name}/${entry.name}`)));
  return sources;
}

/** A zip of files, piece by piece; compressed in the thread pool, so that the logger's reader never waits. */
export async function* zipFiles(sources: readonly ZipSource[], { progress, signal, wideFromBytes = WIDE_FROM_BYTES }: ZipOptions = {}): AsyncGenerator<Uint8Array> {
  const sizes = await Promise.all(sources.map(async ({ path }) => (await stat(path)).size));
  const total = sizes.reduce((sum, size) => sum + size, 0);
  const entries: ZipEntry[] = [];
  let done = 0;
  let told = 0;
  let offset = 0;
  for (const [at, { path, name }] of sources.entries()) {
    const tally = { crc32: 0, bytes: 0, packedBytes: 0, wide: sizes[at]! >= wideFromBytes };
    const header = localHeader(name, tally.wide);
    yield header;
    // only what was there at the beginning: a file that grows meanwhile must not outgrow its header
    for await (const packed of deflated(path, sizes[at]!, tally)) {
      checkCancelled(signal);
      tally.packedBytes += packed.length;
      const share = Math.min(1, (done + tally.bytes) / Math.max(1, total));
      if (share >= told + 0.01) progress?.((told = share));
      yield packed;
    }
    const descriptor = dataDescriptor(tally);
    yield descriptor;
    entries.push({ name, method: DEFLATED, flags: STREAMED_UTF8, offset, ...tally });
    offset += header.length + tally.packedBytes + descriptor.length;
    done += tally.bytes;
  }
  yield* zipEnd(entries, offset);
}

function deflated(path: string, size: number, tally: { crc32: number; bytes: number }): AsyncIterable<Buffer> {
  async function* counted(chunks: AsyncIterable<Buffer>): AsyncGenerator<Buffer> {
    for await (const chunk of chunks) {
      tally.crc32 = crc32(chunk, tally.crc32);
      tally.bytes += chunk.length;
      yield chunk;
    }
  }
  const source = size === 0 ? [] : createReadStream(path, { highWaterMark: READ_BYTES, end: size - 1 });
  // level 1: noisy readings barely shrink, and the speed is three times that of the usual level
  return pipeline(source as AsyncIterable<Buffer>, counted, createDeflateRaw({ level: 1, chunkSize: READ_BYTES }), () => undefined);
}
