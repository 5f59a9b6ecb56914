import type { SensorUncertainty } from '../options.ts';
import { NORMAL_95 } from './normal-95.ts';
import { correctionOf, holding, NO_CORRECTION, sensorUncertaintyOf, type CalibrationFault, type CalibrationRecord, type Correction } from './calibration.ts';

/** What a trace's record says of how far its readings can be trusted (trace.json). */
export interface Calibrated {
  readonly calibrations: readonly CalibrationRecord[];
  readonly calibration: { readonly zero_a: number | null; readonly offset_doubt_a: number | null; readonly gain_doubt_percent: number | null };
}

/**
 * What corrects a channel's recorded values when they are read; null where no calibration holds, a fault where the one that holds cannot
 * be used. A zero step of the trace's own was taken off before recording and is nearer than that of any calibration: then only the gain
 * is applied.
 */
export function traceCorrection({ calibrations, calibration }: Calibrated, channel: CalibrationRecord['channel']): Correction | CalibrationFault | null {
  const record = holding(calibrations, channel);
  if (record === null) return null;
  const correction = correctionOf(record);
  if (typeof correction === 'string' || channel === 'voltage' || calibration.zero_a === null) return correction;
  const ownA = calibration.offset_doubt_a;
  return { ...correction, zero: 0, zeroUncertainty: ownA === null ? correction.zeroUncertainty : (correction.gain * ownA) / NORMAL_95 };
}

/** The current sensor's standard uncertainties as the record tells them: from the calibration that holds, else from the zero step. */
export function recordedUncertainty(record: Calibrated): SensorUncertainty {
  const { offset_doubt_a: offsetA, gain_doubt_percent: gainPercent } = record.calibration;
  const found = traceCorrection(record, 'current');
  const volts = traceCorrection(record, 'voltage');
  const correction = found === null || typeof found === 'string' ? NO_CORRECTION : found;
  return {
    ...(offsetA === null ? {} : { zeroUncertaintyA: offsetA / NORMAL_95 }),
    ...(gainPercent === null ? {} : { gainUncertaintyPercent: gainPercent / NORMAL_95 }),
    ...sensorUncertaintyOf(correction),
    ...(volts === null || typeof volts === 'string' || volts.gainUncertaintyPercent === null ? {} : { voltageGainPercent: volts.gainUncertaintyPercent }),
  };
}
