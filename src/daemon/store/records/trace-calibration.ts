import { calibrationNames, holding, type CalibrationRecord } from '../../../core/analysis/uncertainty/calibration.ts';
import type { TraceRecord } from '../../../core/tracefile/record.ts';
import { CHANNELS, changeCalibrations, findCalibrations, readEndedRecord, type Holding } from './logger-calibrations.ts';
import { StoreError } from '../files/store-error.ts';
import { language } from '../../../core/present/language.ts';

const words = language.daemon.store.traceCalibration;

/** The trace as it is now, and what corrects it. */
interface Applied extends Holding {
  readonly record: TraceRecord;
}

/**
 * Gives a recorded trace the calibrations that hold of its logger now, kept in `dataFolder`; its samples stay as recorded. `logger`: whose,
 * where the trace does not say. The same one twice changes nothing.
 */
export async function applyCalibration(folder: string, dataFolder: string, logger?: string): Promise<Applied> {
  const before = await readEndedRecord(folder);
  const names = logger === undefined ? calibrationNames(before.logger, before.logger.source) : [logger];
  const found = await findCalibrations(dataFolder, names);
  if (found === null) throw new StoreError('not-found', words.noCalibrationOfIts(folder, names.join(', ') || words.itNamesNone));
  const record = await changeCalibrations(folder, ({ calibrations }) => [...calibrations, ...found.calibrations.filter((one) => holding(calibrations, one.channel)?.at !== one.at)]);
  return { record, ...found };
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
