import { constants, createWriteStream } from 'node:fs';
import { access, rename, rm, stat, writeFile } from 'node:fs/promises';
import { basename, extname, join, resolve } from 'node:path';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { EVERY_ENDING } from '../../../core/present/endings.ts';
import { formatOf } from '../../../core/tracefile/formats.ts';
import { emptyTraceRecord } from '../../../core/tracefile/trace-json.ts';
import { copyTrace } from './copy-trace.ts';
import { appearing, exportTrace } from './export-trace.ts';
import { exportFleet, fleetKind } from './fleet.ts';
import { pictureOf, type Stretch } from './picture.ts';
import { inTurn, type Progress } from '../files/progress.ts';
import { explainError, StoreError } from '../files/store-error.ts';
import { openTrace } from '../samples/reading/trace-reader.ts';
import { TraceWriter } from '../samples/writing/trace-writer.ts';
import type { ConvertSummary } from './convert-summary.ts';
import type { OpenOptions, Steps, TraceReader } from '../samples/types.ts';
import { unpackZip } from './unpack-zip.ts';
import { jobFiles, traceFiles, zipFiles } from './zip.ts';
import { language } from '../../../core/present/language.ts';

const words = language.daemon.store.convert;

interface ConvertOptions extends OpenOptions {
  /** for pictures: the part to draw */
  readonly stretch?: Stretch;
}

/**
 * Writes a trace in another form, named by the ending of `out`: `.csv`, `.arrows`, `.parquet`, a picture (`.svg`, `.png`), `.zip`, or none for a trace folder. The file is made under another name and renamed
 * at the end, so that a cancelled or failed conversion leaves nothing that looks whole. Never writes over something. Throws StoreError.
 *
 * A whole data folder, or the folder of a job, becomes partitioned Parquet in the folder `out` (fleet.ts); a `.zip` that was handed over becomes the folder it was made of (unpack-zip.ts).
 */
export async function convertTrace(from: string, out: string, options: ConvertOptions = {}, progress?: Progress, signal?: AbortSignal): Promise<ConvertSummary> {
  const steps = { ...(progress === undefined ? {} : { progress }), ...(signal === undefined ? {} : { signal }) };
  const ending = extname(out).toLowerCase();
  const fleet = fleetKind(from);
  if (ending === '' && fleet !== null) return exportFleet(from, out, steps);
  const format = formatOf(ending);
  if (ending !== '' && format === null) throw new StoreError('wrong-format', words.aTraceIsWritten(out, EVERY_ENDING));
  if (await access(out, constants.F_OK).then(() => true, () => false)) throw new StoreError('exists', words.isThereAlreadyChoose(out));
  if (extname(from).toLowerCase() === '.zip') return unpackZip(from, out, steps);
  if (format === 'zip') return exportZip(from, fleet, out, steps);
  const next = inTurn(progress, 2);
  const reader = await openTrace(from, { ...options, ...steps, progress: next(), ...(format === null ? { asRecorded: true } : {}) });
  try {
    const writing = { ...steps, progress: next() };
    if (format === null) await copyFolder(reader, out, writing);
    else if (format === 'svg' || format === 'png') {
      const { bytes, samples } = await pictureOf(reader, format, options.stretch ?? { fromS: null, toS: null });
      await appearing(out, (temporary) => writeFile(temporary, bytes, { flag: 'wx' }));
      return { samples, problems: reader.problems };
    } else await exportTrace(reader, out, format, writing);
    return { samples: reader.samples, problems: reader.problems };
  } catch (error) {
    throw explainError(error, words.write(out));
  } finally {
    await reader.close();
  }
}

/** The folder appears whole or not at all, too: half a copy would look like a recording that was cut. */
async function copyFolder(reader: TraceReader, out: string, steps: Steps): Promise<void> {
  const record = { ...emptyTraceRecord(basename(out), reader.record.start, reader.record.software), ...reader.record, id: basename(out), end: 'running' as const, sha256: null };
  const temporary = `${out}.${process.pid}.part`;
  const writer = await TraceWriter.create(temporary, record, { durable: false });
  try {
    await copyTrace(reader, writer, steps).finally(() => writer.finish('source-ended').catch(() => undefined));
    await rename(temporary, out);
  } catch (error) {
    await rm(temporary, { recursive: true, force: true });
    throw error;
  }
}

/** The folder of a trace, or of a job with all its traces, as it is. */
async function exportZip(from: string, fleet: 'data' | 'job' | null, out: string, steps: Steps): Promise<ConvertSummary> {
  if (fleet === 'data') throw new StoreError('wrong-format', words.isAWholeData(from, join(from, 'jobs')));
  try {
    const reader = fleet === null ? await openTrace(from) : null;
    await reader?.close();
    const name = basename(resolve(from));
    if (!(await stat(from)).isDirectory()) throw new StoreError('wrong-format', words.isASingleFile(from));
    const sources = fleet === 'job' ? await jobFiles(from, name) : await traceFiles(from, name);
    await appearing(out, async (temporary) => pipeline(Readable.from(zipFiles(sources, steps), { objectMode: false }), createWriteStream(temporary, { flags: 'wx' })));
    return { samples: reader?.samples ?? 0, problems: reader?.problems ?? [] };
  } catch (error) {
    throw explainError(error, words.write(out));
  }
}
