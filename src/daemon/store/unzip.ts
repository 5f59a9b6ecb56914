import { closeSync, createReadStream, mkdirSync, openSync, writeSync } from 'node:fs';
import { stat } from 'node:fs/promises';
import { join } from 'node:path';
import { isSafeName } from './names.ts';
import { MARKS_FILE, RECORD_FILE, SAMPLES_FILE } from './record-file.ts';
import { checkCancelled, StoreError, type Progress } from './store-error.ts';
import { openTrace } from './trace-reader.ts';
import { unzipStream } from './zip-format.ts';

/** What a zip of traces may hold; anything else in it is stepped over. */
const TAKEN = new Set([SAMPLES_FILE, RECORD_FILE, MARKS_FILE]);
const MAX_TRACES = 1000;
/** A recording shrinks to a half, one of a resting virtual vehicle to a twentieth; DEFLATE can reach a thousandth. */
const MAX_RATIO = 100;
const FREE_BYTES = 16 << 20;
/** Pieces fed to the library: small, so that one piece of a bomb unpacks to 16 MB at most. */
const CHUNK_BYTES = 16 * 1024;

export interface UnpackedTrace {
  readonly folder: string;
  readonly id: string;
}

/**
 * Unpacks the traces of a zip into folders below `work`. Entries count only as `TRACE/samples.arrows`, `TRACE/trace.json` or `TRACE/marks.jsonl` with at most
 * one folder above; names never become paths unless they are safe. Throws StoreError for a zip that unpacks to far more than it is, or holds no trace that opens.
 */
export async function unpackTraces(path: string, work: string, options: { readonly progress?: Progress; readonly signal?: AbortSignal }): Promise<UnpackedTrace[]> {
  const { size } = await stat(path);
  const limit = Math.max(FREE_BYTES, size * MAX_RATIO);
  const folders = new Map<string, UnpackedTrace>();
  let unpacked = 0;
  let failure: Error | null = null;
  const fail = (error: Error): void => {
    failure ??= error;
  };
  const open = new Set<number>();
  const unzip = unzipStream((file) => {
    const parts = file.name.split('/');
    const name = parts.pop() ?? '';
    if (parts.length === 0 || parts.length > 2 || !TAKEN.has(name) || parts.some((part) => !isSafeName(part))) return;
    const key = parts.join('/');
    if (!folders.has(key)) {
      if (folders.size === MAX_TRACES) return fail(new StoreError('too-large', `The zip holds more than ${MAX_TRACES} traces.`));
      const folder = join(work, `trace-${folders.size}`);
      mkdirSync(folder, { recursive: true });
      folders.set(key, { folder, id: parts[parts.length - 1]! });
    }
    let fd: number;
    try {
      fd = openSync(join(folders.get(key)!.folder, name), 'wx');
    } catch (error) {
      return fail(error as Error);
    }
    open.add(fd);
    file.ondata = (error, bytes, final) => {
      if (error !== null) fail(new StoreError('wrong-format', `The zip is damaged at ${file.name}: ${error.message}.`));
      if (failure !== null || !open.has(fd)) return;
      unpacked += bytes.length;
      if (unpacked > limit) fail(new StoreError('too-large', `The zip unpacks to more than ${MAX_RATIO} times its size: that is no recording, so it is not unpacked.`));
      else writeSync(fd, bytes);
      if (final) {
        closeSync(fd);
        open.delete(fd);
      }
    };
    file.start();
  });
  let fed = 0;
  try {
    for await (const chunk of createReadStream(path, { highWaterMark: CHUNK_BYTES }) as AsyncIterable<Buffer>) {
      checkCancelled(options.signal);
      fed += chunk.length;
      try {
        unzip.push(chunk, fed === size);
      } catch (error) {
        fail(new StoreError('wrong-format', `The zip cannot be read: ${error instanceof Error ? error.message : String(error)}.`));
      }
      if (failure !== null) throw failure as Error;
      options.progress?.(fed / size);
    }
    if (open.size > 0) throw new StoreError('cut-short', 'The zip ends in the middle of a file. Copy it again.');
  } finally {
    for (const fd of open) closeSync(fd);
  }
  return checkedTraces([...folders.values()]);
}

/** Each trace is opened once, so that what comes in is known to be readable. */
async function checkedTraces(found: readonly UnpackedTrace[]): Promise<UnpackedTrace[]> {
  if (found.length === 0) throw new StoreError('wrong-format', 'The zip holds no trace: a trace is a folder with samples.arrows and trace.json in it.');
  for (const { folder } of found) await (await openTrace(folder)).close();
  return [...found];
}
