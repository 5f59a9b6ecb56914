import { createHash } from 'node:crypto';
import { mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import { holding, type CalibrationRecord } from '../../../core/analysis/uncertainty/calibration.ts';
import { areCalibrations } from '../../../core/tracefile/record-check.ts';
import type { TraceRecord } from '../../../core/tracefile/record.ts';
import { isSafeName } from '../files/names.ts';
import { readSmallFile, readTraceRecord, RECORD_FILE, writeJson } from '../files/record-file.ts';
import { explainError, StoreError } from '../files/store-error.ts';

const SCHEMA = 'amptrail-calibrations/1';
const FOLDER = 'calibrations';

/** Calibrations of a logger, oldest first, from the data folder; empty where it has none. `logger`: serial number, name, or port. */
export async function loggerCalibrations(dataFolder: string, logger: string): Promise<CalibrationRecord[]> {
  const path = fileOf(dataFolder, logger);
  const text = await readSmallFile(path).catch((error: unknown) => Promise.reject(explainError(error, `read ${path}`)));
  if (text === null) return [];
  let value: unknown = null;
  try {
    value = JSON.parse(text);
  } catch {
    // told below, like everything else that is no list of calibrations
  }
  const list = (value as { calibrations?: unknown } | null)?.calibrations;
  if (!areCalibrations(list)) throw new StoreError('wrong-format', `${path} holds no list of calibrations. Mend it, or move it away and calibrate again.`);
  return list;
}

/** Adds one to the list of its logger. */
export async function keepCalibration(dataFolder: string, logger: string, record: CalibrationRecord): Promise<void> {
  const calibrations = [...(await loggerCalibrations(dataFolder, logger)), record];
  try {
    await mkdir(join(dataFolder, FOLDER), { recursive: true });
    await writeJson(fileOf(dataFolder, logger), { schema: SCHEMA, logger, calibrations });
  } catch (error) {
    throw explainError(error, 'keep the calibration');
  }
}

/** The calibrations that hold of a logger known by any of these names: at most one a channel. Empty where none is kept. */
export async function keptCalibrations(dataFolder: string, names: readonly string[]): Promise<CalibrationRecord[]> {
  for (const name of names) {
    const found = await loggerCalibrations(dataFolder, name);
    if (found.length > 0) return (['current', 'voltage'] as const).flatMap((channel) => holding(found, channel) ?? []);
  }
  return [];
}

/** By which names a trace's logger may have been calibrated: its serial number, its own name, the port it was at. */
export function loggerNames({ logger }: Pick<TraceRecord, 'logger'>): string[] {
  return [logger.serial, logger.name, logger.source].filter((name): name is string => name !== null && name !== '');
}

/** Changes the calibrations in a trace's trace.json; its samples are not touched. */
export async function changeCalibrations(folder: string, change: (record: TraceRecord) => CalibrationRecord[]): Promise<TraceRecord> {
  const path = join(folder, RECORD_FILE);
  const { record, known } = await readTraceRecord(path, '');
  if (!known) throw new StoreError('wrong-format', `${folder} has no trace.json that can be used: only the folder of a recorded trace keeps a calibration. Convert a file to a folder first (amptrail convert).`);
  if (record.end === 'running') throw new StoreError('running', `${folder} is being recorded. Stop the recording first.`);
  const changed = { ...record, calibrations: change(record) };
  await writeJson(path, changed).catch((error: unknown) => Promise.reject(explainError(error, 'write trace.json')));
  return changed;
}

/** A file name that is safe everywhere and belongs to one logger alone. */
function fileOf(dataFolder: string, logger: string): string {
  const plain = logger.replaceAll(/[^A-Za-z0-9_-]+/g, '-').slice(0, 80);
  const name = plain === logger && isSafeName(plain) ? plain : `${plain}-${createHash('sha256').update(logger).digest('hex').slice(0, 8)}`;
  return join(dataFolder, FOLDER, `${name}.json`);
}
