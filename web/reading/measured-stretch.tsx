import { formatCurrent, formatDuration, SECONDS_PER_HOUR, significant } from '../../src/core/units.ts';
import { formatMoment } from './format.ts';

interface Props {
  readonly fromS: number;
  readonly toS: number;
  /** null while it is not known */
  readonly charge: { readonly chargeC: number; readonly meanA: number; readonly gapS: number } | null;
  /** said when the charge is not known */
  readonly missing: string;
  readonly close: () => void;
}

/** Charge and mean current between two moments chosen on the chart. */
export function MeasuredStretch({ fromS, toS, charge, missing, close }: Props) {
  const span = toS - fromS;
  return (
    <section class="plate measured" aria-label="Measured stretch" role="status">
      <p class="measured-when">{formatMoment(fromS, Math.min(span, 19))} to {formatMoment(toS, Math.min(span, 19))}</p>
      {charge === null ? <p>{missing}</p> : (
        <dl class="facts facts-row">
          <div><dt>Length</dt><dd>{formatDuration(span)}</dd></div>
          <div><dt>Mean</dt><dd>{formatCurrent(charge.meanA)}</dd></div>
          <div><dt>Charge</dt><dd>{formatCharge(charge.chargeC)}</dd></div>
          {charge.gapS > 0.01 * span && <div><dt>Not measured</dt><dd>{formatDuration(charge.gapS)}</dd></div>}
        </dl>
      )}
      <button type="button" class="tool" onClick={close}>Close</button>
    </section>
  );
}

/** Charge for people: coulombs when small, ampere-hours beside them when those are a figure. */
export function formatCharge(chargeC: number): string {
  const ah = chargeC / SECONDS_PER_HOUR;
  const inAh = Math.abs(ah) < 0.9995 ? `${significant(ah * 1000, 3)} mAh` : `${significant(ah, 3)} Ah`;
  return Math.abs(chargeC) < 100 ? `${significant(chargeC, 3)} C (${inAh})` : inAh;
}
