import { mkdtemp, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { Transform, type Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { RequestError } from '../../errors.ts';
import { StoreError } from '../../store/files/store-error.ts';
import { asRequestErrorOfCall } from '../store-status.ts';
import { language } from '../../../core/present/language.ts';

const words = language.daemon.http.uploads;

/** Three days at 1 kHz as CSV are about 8 GB; more is no recording of ours. */
export const MAX_IMPORT_BYTES = 16 * 2 ** 30;

/** A folder of its own for what is sent, gone afterwards however it ends. */
export async function withScratch<T>(scratchDir: string, work: (folder: string) => Promise<T>): Promise<T> {
  const folder = await mkdtemp(join(scratchDir, 'file-')).catch((error: unknown) => Promise.reject(asRequestErrorOfCall(error, words.makeAWorkingFile) ?? error));
  try {
    return await work(folder);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

/** Ends a request that sends more, with the sentence; `heard` gets how many bytes have come. */
export function limitBytes(most: number, sentence: string, heard: (bytes: number) => void = () => undefined): Transform {
  let seen = 0;
  return new Transform({
    transform(chunk: Buffer, _encoding, done) {
      seen += chunk.length;
      if (seen > most) done(new RequestError(413, 'too-large', sentence));
      else {
        heard(seen);
        done(null, chunk);
      }
    },
  });
}

/** A small file that is sent, as text. */
export async function readSent(request: Readable, most: number, sentence: string): Promise<string> {
  const chunks: Buffer[] = [];
  await pipeline(request, limitBytes(most, sentence), async (parts: AsyncIterable<Buffer>) => {
    for await (const part of parts) chunks.push(part);
  });
  return Buffer.concat(chunks).toString('utf8');
}

/** The person knows the file by its own name, not by where it lay while it was read. */
export function namedByPerson(error: unknown, path: string, name: string): unknown {
  return error instanceof StoreError ? new StoreError(error.code, error.message.replaceAll(path, name)) : error;
}
