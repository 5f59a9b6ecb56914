import type { CalibrationRecord } from '../analysis/uncertainty/calibration.ts';

/**
 * Calibrations over HTTP, all under /api:
 *
 *   GET    /api/calibrations?logger=NAME                                                  → LoggerCalibrations
 *   POST   /api/calibrations            {logger, name?, calibration: NewCalibration}      → LoggerCalibrations
 *   POST   /api/calibrations/take-back  {logger, channel, at}                             → LoggerCalibrations   it stays in the list, and holds no more
 *   GET    /api/live/steady                                                               → SteadyView           for the reading that a calibration is made from
 *   POST   /api/traces/:job/:trace/calibration  {do: 'apply', logger?} | {do: 'take-back'}  → TraceRecord
 */
export interface LoggerCalibrations {
  /** serial number, name or port */
  readonly logger: string;
  /** what a person calls it; '' where nobody named it */
  readonly name: string;
  /** oldest first */
  readonly calibrations: readonly CalibrationRecord[];
}

/** As typed in; the daemon adds when. */
export type NewCalibration = Omit<CalibrationRecord, 'at' | 'taken_back' | 'due'> & { readonly due_days: number | null };

/** The mean of the last two seconds of one channel, as it would be recorded without a zero step. */
export interface SteadyReading {
  readonly mean: number;
  /** standard uncertainty of the mean, from how it differs from part to part of the two seconds */
  readonly uncertainty: number;
  /** the reading is on its way: wait before it is taken */
  readonly moving: boolean;
}

export interface SteadyView {
  /** the logger in use, as its calibrations are kept; null while there is none */
  readonly logger: string | null;
  /** null: too few readings in the last two seconds, or none at all */
  readonly current: SteadyReading | null;
  readonly voltage: SteadyReading | null;
  readonly readings: number;
}
