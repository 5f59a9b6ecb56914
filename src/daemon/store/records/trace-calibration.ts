import { join } from 'node:path';
import { holding, type CalibrationRecord } from '../../../core/analysis/uncertainty/calibration.ts';
import type { TraceRecord } from '../../../core/tracefile/record.ts';
import { changeCalibrations, loggerCalibrations, loggerNames } from './logger-calibrations.ts';
import { readTraceRecord, RECORD_FILE } from '../files/record-file.ts';
import { StoreError } from '../files/store-error.ts';

export const CHANNELS = ['current', 'voltage'] as const;

export interface Applied {
  readonly record: TraceRecord;
  /** by which name of its logger the calibrations were found */
  readonly whose: string;
  /** what now corrects the trace, one a channel at most */
  readonly calibrations: readonly CalibrationRecord[];
}

/**
 * Gives a recorded trace the calibrations that hold of its logger now, kept in `dataFolder`; its samples stay as recorded. `logger`: whose,
 * where the trace does not say. The same one twice changes nothing.
 */
export async function applyCalibration(folder: string, dataFolder: string, logger?: string): Promise<Applied> {
  const { record } = await readTraceRecord(join(folder, RECORD_FILE), folder);
  const names = logger === undefined ? loggerNames(record) : [logger];
  for (const whose of names) {
    const found = await loggerCalibrations(dataFolder, whose);
    const latest = CHANNELS.flatMap((channel) => holding(found, channel) ?? []);
    if (latest.length === 0) continue;
    const isNew = (one: CalibrationRecord): boolean => holding(record.calibrations, one.channel)?.at !== one.at;
    return { record: await changeCalibrations(folder, ({ calibrations }) => [...calibrations, ...latest.filter(isNew)]), whose, calibrations: latest };
  }
  throw new StoreError('not-found', `${folder}: no calibration of its logger (${names.join(', ') || 'it names none'}) is kept in this data folder.`);
}

/** Reads a trace as it was before the last calibration was applied; all channels, or one. Tells how many were taken back. */
export async function takeBackCalibration(folder: string, at: Date, channel?: CalibrationRecord['channel']): Promise<{ record: TraceRecord; taken: number }> {
  let taken = 0;
  const record = await changeCalibrations(folder, ({ calibrations }) => {
    const last = new Set(CHANNELS.filter((one) => channel === undefined || channel === one).map((one) => holding(calibrations, one)));
    return calibrations.map((one) => {
      if (!last.has(one)) return one;
      taken++;
      return { ...one, taken_back: at.toISOString() };
    });
  });
  return { record, taken };
}
