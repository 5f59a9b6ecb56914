import { createReadStream } from 'node:fs';
import { readdir, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { checkCancelled, StoreError } from './store-error.ts';
import { INDEX_FILE } from './record-file.ts';
import { zipStream } from './zip-format.ts';

/** Sizes in a zip without the 64-bit extension are 32 bits. */
const MAX_ZIP_BYTES = 0xffff_0000;

/** The files of a trace folder (without the index, which is rebuilt) under `name/` in a zip. */
export async function zipTrace(folder: string, name: string, signal?: AbortSignal): Promise<AsyncIterable<Uint8Array>> {
  const files = (await readdir(folder, { withFileTypes: true })).filter((entry) => entry.isFile() && !entry.name.startsWith('.') && entry.name !== INDEX_FILE).map((entry) => entry.name);
  let total = 0;
  for (const file of files) total += (await stat(join(folder, file))).size;
  if (total > MAX_ZIP_BYTES) throw new StoreError('too-large', 'The trace is larger than 4 GB, which a zip cannot hold. Copy its folder as it is.');
  async function* parts(): AsyncGenerator<Uint8Array> {
    const zip = zipStream();
    for (const file of files) {
      const entry = zip.add(`${name}/${file}`);
      for await (const chunk of createReadStream(join(folder, file), { highWaterMark: 1 << 18 }) as AsyncIterable<Buffer>) {
        checkCancelled(signal);
        entry.push(chunk, false);
        yield* zip.take();
      }
      entry.push(new Uint8Array(0), true);
      yield* zip.take();
    }
    zip.end();
    yield* zip.take();
  }
  return parts();
}
