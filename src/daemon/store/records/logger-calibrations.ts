import { createHash } from 'node:crypto';
import { join } from 'node:path';
import { holding, type CalibrationRecord } from '../../../core/analysis/uncertainty/calibration.ts';
import { areCalibrations } from '../../../core/tracefile/record-check.ts';
import type { TraceRecord } from '../../../core/tracefile/record.ts';
import { makeFolders } from '../files/make-folders.ts';
import { isSafeName } from '../files/names.ts';
import { oneAtATime } from '../files/one-at-a-time.ts';
import { PRIVATE_MODES } from '../files/private-files.ts';
import { readSmallFile, readTraceRecord, RECORD_FILE, writeJson } from '../files/record-file.ts';
import { explainError, StoreError } from '../files/store-error.ts';
import { language } from '../../../core/present/language.ts';

const words = language.daemon.store.loggerCalibrations;

const SCHEMA = 'amptrail-calibrations/1';
const FOLDER = 'calibrations';

/** Calibrations of a logger, oldest first, from the data folder; empty where it has none. `logger`: serial number, name, or port. */
export async function loggerCalibrations(dataFolder: string, logger: string): Promise<CalibrationRecord[]> {
  return (await keptOfLogger(dataFolder, logger)).calibrations;
}

/** What is kept of a logger: its calibrations, and the name a person gave it (one that sends plain numbers has none of its own). */
interface KeptOfLogger {
  readonly name: string;
  readonly calibrations: CalibrationRecord[];
}

export async function keptOfLogger(dataFolder: string, logger: string): Promise<KeptOfLogger> {
  const path = fileOf(dataFolder, logger);
  const text = await readSmallFile(path).catch((error: unknown) => Promise.reject(explainError(error, words.read(path))));
  if (text === null) return { name: '', calibrations: [] };
  let value: unknown = null;
  try {
    value = JSON.parse(text);
  } catch {
    // reported below, like everything else that is no list of calibrations
  }
  const { calibrations: list, name } = (value ?? {}) as { calibrations?: unknown; name?: unknown };
  if (!areCalibrations(list)) throw new StoreError('wrong-format', words.holdsNoListOf(path));
  return { name: typeof name === 'string' ? name : '', calibrations: list };
}

/** Adds one to the list of its logger. `name`: what a person calls the logger; absent: as before. */
export async function keepCalibration(dataFolder: string, logger: string, record: CalibrationRecord, name?: string): Promise<KeptOfLogger> {
  return oneAtATime(fileOf(dataFolder, logger), async () => {
    const before = await keptOfLogger(dataFolder, logger);
    return write(dataFolder, logger, { name: name ?? before.name, calibrations: [...before.calibrations, record] });
  });
}

/** Marks one of a logger's calibrations as no longer to be used; it stays in the list. */
export async function takeBackKept(dataFolder: string, logger: string, { channel, at }: Pick<CalibrationRecord, 'channel' | 'at'>, now: Date): Promise<KeptOfLogger> {
  return oneAtATime(fileOf(dataFolder, logger), async () => {
    const before = await keptOfLogger(dataFolder, logger);
    if (!before.calibrations.some((one) => one.channel === channel && one.at === at)) throw new StoreError('not-found', words.noSuchCalibrationOf(logger));
    const calibrations = before.calibrations.map((one) => (one.channel === channel && one.at === at ? { ...one, taken_back: now.toISOString() } : one));
    return write(dataFolder, logger, { ...before, calibrations });
  });
}

async function write(dataFolder: string, logger: string, kept: KeptOfLogger): Promise<KeptOfLogger> {
  try {
    await makeFolders(join(dataFolder, FOLDER), PRIVATE_MODES.folder);
    await writeJson(fileOf(dataFolder, logger), { schema: SCHEMA, logger, ...kept }, PRIVATE_MODES.file);
    return kept;
  } catch (error) {
    throw explainError(error, words.keepTheCalibration);
  }
}

export const CHANNELS = ['current', 'voltage'] as const;

/** What holds of a logger, at most one a channel, and the name it is kept under. */
export interface Holding {
  readonly whose: string;
  readonly calibrations: readonly CalibrationRecord[];
}

/** The calibrations that hold of a logger known by any of these names; null where none does. */
export async function findCalibrations(dataFolder: string, names: readonly string[]): Promise<Holding | null> {
  for (const whose of names) {
    const kept = await loggerCalibrations(dataFolder, whose);
    const calibrations = CHANNELS.flatMap((channel) => holding(kept, channel) ?? []);
    if (calibrations.length > 0) return { whose, calibrations };
  }
  return null;
}

/** A trace's trace.json, which must be one of a recording that has ended. */
export async function readEndedRecord(folder: string): Promise<TraceRecord> {
  const { record, known } = await readTraceRecord(join(folder, RECORD_FILE), '');
  if (!known) throw new StoreError('wrong-format', words.hasNoTraceJson(folder));
  if (record.end === 'running') throw new StoreError('running', words.isBeingRecordedStop(folder));
  return record;
}

/** Changes the calibrations in a trace's trace.json; its samples are not touched. */
export async function changeCalibrations(folder: string, change: (record: TraceRecord) => CalibrationRecord[]): Promise<TraceRecord> {
  return oneAtATime(join(folder, RECORD_FILE), async () => {
    const record = await readEndedRecord(folder);
    const changed = { ...record, calibrations: change(record) };
    await writeJson(join(folder, RECORD_FILE), changed).catch((error: unknown) => Promise.reject(explainError(error, words.writeTraceJson)));
    return changed;
  });
}

/** A file name that is safe everywhere and belongs to one logger alone. */
function fileOf(dataFolder: string, logger: string): string {
  const plain = logger.replaceAll(/[^A-Za-z0-9_-]+/g, '-').slice(0, 80);
  const name = plain === logger && isSafeName(plain) ? plain : `${plain}-${createHash('sha256').update(logger).digest('hex').slice(0, 8)}`;
  return join(dataFolder, FOLDER, `${name}.json`);
}
