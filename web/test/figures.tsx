import type { BigFigure } from '../reading/format.ts';
import { bigCurrent, bigVoltage } from '../reading/format.ts';
import { plain, formatDuration, language } from '../../src/core/present/language.ts';
import { freshness, hasReading, isDrain, reading, result, sensorRangeA, source, zero } from '../state/live.ts';
import { withMinus } from '../../src/core/present/numbers.ts';

const words = language.screens.test.figures;

/** Current and voltage as they are now, legible from two metres: sign, figure, unit, and where in the sensor's range it lies. */
export function BigFigures() {
  const logger = source.value?.logger;
  const now = reading.value;
  const old = now === null || hasReading.value ? '' : oldWords();
  const range = sensorRangeA.value;
  return (
    <div class="big">
      <Figure name={words.current} figure={now === null ? null : bigCurrent(now.currentA, isDrain.value)} line="current" old={old}>
        <RangeBar valueA={old === '' ? (now?.currentA ?? null) : null} range={range} />
        <p class="big-note">
          {old !== '' ? <strong>{old}</strong> : now?.overRange ? <strong>{words.outOfRangeUse}</strong> : range === null ? words.sensorRangeNotKnown : words.rangeA(rangeWords(range))}
          {old === '' && zero.value?.zeroA === null && words.noZeroSet}
        </p>
      </Figure>
      {logger?.hasVoltage !== false && (
        <Figure name={words.voltage} figure={now?.voltageV == null ? null : bigVoltage(now.voltageV)} line="voltage" old={old}>
          <p class="big-note">{old !== '' ? <strong>{old}</strong> : logger == null ? '' : leadWords(result.value?.result.trace.voltage_at ?? null)}</p>
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
      <p class="big-value" aria-label={figure === null ? words.noReading(name) : `${name}${old === '' ? '' : words.was(old)} ${figure.sign === '−' ? words.minus : ''}${figure.digits} ${figure.unit}`}>
        {figure === null ? <span class="big-none">{words.noReadingShort}</span> : (
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
  return language.pages.old[state === 'no-word' ? 'no-word' : 'no-readings'].figure(ageS === null ? null : formatDuration(ageS));
}

/** Where the voltage lead sits, as far as the readings tell. */
function leadWords(at: 'motor' | 'battery' | null): string {
  return at === 'motor' ? words.atTheMotorBy : at === 'battery' ? words.atTheBatteryBy : words.whereItsLeadIsClipped;
}

function rangeWords([low, high]: readonly [number, number]): string {
  return low === -high ? `±${plain(high)}` : words.range(withMinus(plain(low)), plain(high));
}
