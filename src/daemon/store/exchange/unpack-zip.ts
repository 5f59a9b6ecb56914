import { mkdir, rename, rm } from 'node:fs/promises';
import { basename, extname, join } from 'node:path';
import { isPhoto } from '../records/job-photos.ts';
import { JOB_FILE } from '../files/record-file.ts';
import { explainError, StoreError } from '../files/store-error.ts';
import { openTrace } from '../samples/reading/trace-reader.ts';
import type { ConvertSummary } from './convert-summary.ts';
import type { Steps } from '../samples/types.ts';
import { unpackTraces } from './unzip.ts';
import { language } from '../../../core/present/language.ts';

const words = language.daemon.store.unpackZip;

/**
 * Unpacks a zip that was handed over into the folder `out`: that of its one trace, or a folder with all its traces and, when they are
 * those of a job, its job.json. What it holds is checked as at an import (unzip.ts). `out` appears whole or not at all. Throws StoreError.
 */
export async function unpackZip(from: string, out: string, steps: Steps): Promise<ConvertSummary> {
  if (extname(out) !== '') throw new StoreError('wrong-format', words.holdsFoldersOfTraces(from, out));
  const work = `${out}.${process.pid}.part`;
  try {
    const { traces, job, photos } = await unpackTraces(from, work, steps);
    const whole = join(work, 'whole');
    let samples = 0;
    for (const { folder } of traces) {
      const reader = await openTrace(folder, { asRecorded: true });
      samples += reader.samples;
      await reader.close();
    }
    if (traces.length === 1 && job === null) await rename(traces[0]!.folder, whole);
    else {
      await mkdir(whole);
      for (const { folder, id } of traces) await rename(folder, join(whole, id));
      if (job !== null) await rename(job, join(whole, JOB_FILE));
      for (const photo of photos) if (await isPhoto(photo)) await rename(photo, join(whole, basename(photo)));
    }
    await rename(whole, out);
    return { samples, problems: [] };
  } catch (error) {
    throw explainError(error, words.unpack(from));
  } finally {
    await rm(work, { recursive: true, force: true });
  }
}
