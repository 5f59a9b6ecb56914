import type { BigFigure } from '../reading/format.ts';
import { bigCurrent, bigVoltage } from '../reading/format.ts';
import { hasReading, isDrain, reading, result, sensorRangeA, source, zero } from '../state/live.ts';

/** Current and voltage as they are now, legible from two metres: sign, figure, unit, and where in the sensor's range it lies. */
export function BigFigures() {
  const logger = source.value?.logger;
  const now = hasReading.value ? reading.value : null;
  const range = sensorRangeA.value;
  return (
    <div class="big">
      <Figure name="Current" figure={now === null ? null : bigCurrent(now.currentA, isDrain.value)} line="current">
        <RangeBar valueA={now?.currentA ?? null} range={range} />
        <p class="big-note">
          {now?.overRange ? <strong>Out of range: use a larger sensor.</strong> : range === null ? 'sensor range not known' : `range ${rangeWords(range)} A`}
          {zero.value?.zeroA === null && ', no zero taken'}
        </p>
      </Figure>
      {logger?.hasVoltage !== false && (
        <Figure name="Voltage" figure={now?.voltageV == null ? null : bigVoltage(now.voltageV)} line="voltage">
          <p class="big-note">{logger == null ? 'no logger' : leadWords(result.value?.result.trace.voltage_at ?? null)}</p>
        </Figure>
      )}
    </div>
  );
}

interface FigureProps {
  readonly name: string;
  readonly figure: BigFigure | null;
  readonly line: 'current' | 'voltage';
  readonly children: preact.ComponentChildren;
}

function Figure({ name, figure, line, children }: FigureProps) {
  return (
    <div class={`plate big-figure big-${line}`}>
      <h2><svg class="line-sample" viewBox="0 0 36 6" aria-hidden="true"><line x1="0" y1="3" x2="36" y2="3" /></svg>{name}</h2>
      <p class="big-value" aria-label={figure === null ? `${name}: no reading` : `${name} ${figure.sign === '−' ? 'minus ' : ''}${figure.digits} ${figure.unit}`}>
        {figure === null ? <span class="big-none">no reading</span> : (
          <><span class="big-sign">{figure.sign}</span><span class="big-digits">{figure.digits}</span><span class="big-unit">{figure.unit}</span></>
        )}
      </p>
      {children}
    </div>
  );
}

/** The sensor's whole range as a line, the reading as a needle on it. */
function RangeBar({ valueA, range }: { valueA: number | null; range: readonly [number, number] | null }) {
  if (range === null) return null;
  const share = valueA === null ? null : Math.min(1, Math.max(0, (valueA - range[0]) / (range[1] - range[0])));
  const zeroShare = Math.min(1, Math.max(0, -range[0] / (range[1] - range[0])));
  return (
    <div class="range-bar" aria-hidden="true">
      <span class="range-zero" style={{ left: `${zeroShare * 100}%` }} />
      {share !== null && <span class="range-fill" style={{ left: `${Math.min(share, zeroShare) * 100}%`, width: `${Math.abs(share - zeroShare) * 100}%` }} />}
      {share !== null && <span class="range-needle" style={{ left: `${share * 100}%` }} />}
    </div>
  );
}

/** Where the voltage lead sits, as far as the readings tell. */
function leadWords(at: 'motor' | 'battery' | null): string {
  return at === 'motor' ? 'at the motor, by its readings' : at === 'battery' ? 'at the battery, by its readings' : 'where its lead is clipped';
}

function rangeWords([low, high]: readonly [number, number]): string {
  return low === -high ? `±${high}` : `${low} to ${high}`.replace('-', '−');
}
