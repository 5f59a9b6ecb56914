import type { BigFigure } from '../reading/format.ts';
import { bigCurrent, bigVoltage } from '../reading/format.ts';
import { en } from '../../src/core/present/en/index.ts';
import { formatDuration } from '../../src/core/units.ts';
import { freshness, hasReading, isDrain, reading, result, sensorRangeA, source, zero } from '../state/live.ts';

/** Current and voltage as they are now, legible from two metres: sign, figure, unit, and where in the sensor's range it lies. */
export function BigFigures() {
  const logger = source.value?.logger;
  const now = reading.value;
  const old = now === null || hasReading.value ? '' : oldWords();
  const range = sensorRangeA.value;
  return (
    <div class="big">
      <Figure name="Current" figure={now === null ? null : bigCurrent(now.currentA, isDrain.value)} line="current" old={old}>
        <RangeBar valueA={old === '' ? (now?.currentA ?? null) : null} range={range} />
        <p class="big-note">
          {old !== '' ? <strong>{old}</strong> : now?.overRange ? <strong>Out of range: use a larger sensor.</strong> : range === null ? 'sensor range not known' : `range ${rangeWords(range)} A`}
          {zero.value?.zeroA === null && ', no zero set'}
        </p>
      </Figure>
      {logger?.hasVoltage !== false && (
        <Figure name="Voltage" figure={now?.voltageV == null ? null : bigVoltage(now.voltageV)} line="voltage" old={old}>
          <p class="big-note">{old !== '' ? <strong>{old}</strong> : logger == null ? 'no logger' : leadWords(result.value?.result.trace.voltage_at ?? null)}</p>
        </Figure>
      )}
    </div>
  );
}

interface FigureProps {
  readonly name: string;
  readonly figure: BigFigure | null;
  readonly line: 'current' | 'voltage';
  /** why the figure is not of now; empty when it is */
  readonly old: string;
  readonly children: preact.ComponentChildren;
}

function Figure({ name, figure, line, old, children }: FigureProps) {
  return (
    <div class={`plate big-figure big-${line} ${old === '' ? '' : 'big-old'}`}>
      <h2><svg class="line-sample" viewBox="0 0 36 6" aria-hidden="true"><line x1="0" y1="3" x2="36" y2="3" /></svg>{name}</h2>
      <p class="big-value" aria-label={figure === null ? `${name}: no reading` : `${name}${old === '' ? '' : `, ${old}, was`} ${figure.sign === '−' ? 'minus ' : ''}${figure.digits} ${figure.unit}`}>
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

/** Why and since when the figure is not of now. */
export function oldWords(): string {
  const { state, ageS } = freshness.value;
  return en.pages.old[state === 'no-word' ? 'no-word' : 'no-readings'].figure(ageS === null ? null : formatDuration(ageS));
}

/** Where the voltage lead sits, as far as the readings tell. */
function leadWords(at: 'motor' | 'battery' | null): string {
  return at === 'motor' ? 'at the motor, by its readings' : at === 'battery' ? 'at the battery, by its readings' : 'where its lead is clipped';
}

function rangeWords([low, high]: readonly [number, number]): string {
  return low === -high ? `±${high}` : `${low} to ${high}`.replace('-', '−');
}
