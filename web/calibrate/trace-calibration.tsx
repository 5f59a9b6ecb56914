import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { calibrationNames, holding, type CalibrationRecord } from '../../src/core/analysis/uncertainty/calibration.ts';
import type { TraceRecord } from '../../src/core/tracefile/record.ts';
import type { TraceRef } from '../../src/core/wire/api.ts';
import { Allowed } from '../app/allowed.tsx';
import { formatDate } from '../reading/format.ts';
import { wordsOf } from '../state/stored.ts';
import { applyToTrace, calibrationsOf, takeBackFromTrace } from './calls.ts';
import { language } from '../../src/core/present/language.ts';

const words = language.screens.calibrate.traceCalibration;

interface Props {
  readonly of: TraceRef;
  readonly record: TraceRecord;
  /** whose calibration, where the trace does not say */
  readonly logger?: string;
  /** whether anything is kept to apply; looked up where it is not known */
  readonly canApply?: boolean;
  readonly changed: () => void;
}

/** By what a trace is corrected when it is read; a later calibration can be applied, and taken back. Its samples stay as recorded. */
export function TraceCalibration({ of, record, logger, canApply, changed }: Props) {
  const busy = useSignal(false);
  const error = useSignal('');
  const found = useSignal(false);
  useEffect(() => {
    if (canApply !== undefined) return;
    void Promise.all(calibrationNames(record.logger, record.logger.source).map(calibrationsOf))
      .then((lists) => (found.value = lists.some(({ calibrations }) => calibrations.some(({ taken_back: back }) => back === null))))
      .catch((failure: unknown) => (error.value = wordsOf(failure)));
  }, [canApply, record.id]);
  const holds = (['current', 'voltage'] as const).flatMap((channel) => holding(record.calibrations, channel) ?? []);
  const work = async (what: Promise<TraceRecord>): Promise<void> => {
    busy.value = true;
    error.value = '';
    try {
      await what;
      changed();
    } catch (failure) {
      error.value = wordsOf(failure);
    }
    busy.value = false;
  };
  const name = record.title || record.id;
  return (
    <div class="trace-calibration">
      <p data-corrected={holds.length > 0}>{holds.length === 0 ? words.asRecordedNoCalibration : words.correctedByTheCalibrationOf(holds.map(calibrationDay).join(' and '), record.calibration.zero_a !== null ? words.itsOwnZeroStep : '')}</p>
      <div class="form-end"><Allowed to="change">
        {(canApply ?? found.value) && <button type="button" class="tool" disabled={busy.value || record.end === 'running'} aria-label={words.applyTheLatestCalibrationTo(name)} onClick={() => void work(applyToTrace(of, logger))}>{words.applyTheLatest}</button>}
        {holds.length > 0 && <button type="button" class="tool" disabled={busy.value} aria-label={words.withdrawTheCalibrationOf(name)} onClick={() => void work(takeBackFromTrace(of))}>{words.withdrawIt}</button>}
      </Allowed></div>
      {error.value !== '' && <p class="error" role="alert">{error.value}</p>}
    </div>
  );
}

function calibrationDay({ channel, at }: CalibrationRecord): string {
  return `${formatDate(at)} (${channel})`;
}
