import { correctionOf, holding, type CalibrationRecord } from '../../src/core/analysis/uncertainty/calibration.ts';
import { language, significant } from '../../src/core/present/language.ts';
import { Allowed } from '../app/allowed.tsx';
import { formatDate } from '../reading/format.ts';
import { withBounds } from './figures.ts';

const words = language.screens.calibrate.keptList;

interface Props {
  readonly calibrations: readonly CalibrationRecord[];
  readonly takeBack: (record: CalibrationRecord) => void;
}

/** What is kept of this logger, newest first; of each channel the newest that was not taken back holds. */
export function KeptList({ calibrations, takeBack }: Props) {
  if (calibrations.length === 0) return <p class="fine">{words.noneYet}</p>;
  const holds = new Set([holding(calibrations, 'current'), holding(calibrations, 'voltage')]);
  return (
    <ol class="kept">
      {calibrations.toReversed().map((record) => (
        <li key={`${record.channel} ${record.at}`} data-holds={holds.has(record)}>
          <b>{record.channel === 'current' ? words.current : words.voltage}, {formatDate(record.at)}{record.by === '' ? '' : `, ${record.by}`}</b>
          <span>{correctionWords(record)}</span>
          <span class="fine">{stateWords(record, holds.has(record))}{record.temperature_c === null ? '' : words.atC(record.temperature_c)}</span>
          {record.taken_back === null && <Allowed to="change"><button type="button" class="tool" onClick={() => takeBack(record)}>{words.withdraw}</button></Allowed>}
        </li>
      ))}
    </ol>
  );
}

/** How recorded values become true ones: `true = 1.0373 × (read − 0.030 A)`, with the half-widths of its 95 % bounds. */
export function correctionWords(record: CalibrationRecord): string {
  const correction = correctionOf(record);
  if (typeof correction === 'string') return language.calibration.refused(language.calibration.faults[correction]);
  const unit = record.channel === 'current' ? 'A' : 'V';
  const { gain, zero, gainUncertaintyPercent: percent, zeroUncertainty } = correction;
  const scale = percent === null ? words.scaleNotChecked(significant(gain, 5)) : words.scale(withBounds(gain, (gain * percent) / 100, '').trimEnd());
  return words.zero(scale, zeroUncertainty === null ? words.notChecked(significant(zero, 3), unit) : withBounds(zero, zeroUncertainty / gain, unit));
}

function stateWords({ due, taken_back: back }: CalibrationRecord, holds: boolean): string {
  if (back !== null) return words.withdrawn(formatDate(back));
  if (!holds) return words.replacedByALaterOne;
  if (due === null) return words.inUse;
  return new Date(due).getTime() < Date.now() ? words.overdueSinceMakeA(formatDate(due)) : words.inUseDueAgain(formatDate(due));
}
