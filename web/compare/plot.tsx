import { axisSpan, timeLabel, timeTicks, valueLabel, valueTicks } from '../../src/core/report/axis.ts';
import { linePath } from '../../src/core/report/picture.ts';
import type { Line } from '../../src/core/wire/prove.ts';

const RIGHT_PX = 8;
const TOP_PX = 8;

export interface DrawnLine {
  readonly className: string;
  readonly line: Line;
}

interface PlotProps {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly startS: number;
  readonly endS: number;
  readonly lines: readonly DrawnLine[];
  readonly label: string;
  readonly withZero?: boolean;
  /** the same height of the axis for several plots, A */
  readonly highA?: number;
  /** readings above are cut off there, A */
  readonly cutA?: number;
  /** drawn across, A */
  readonly limitA?: number;
  /** small: few ticks, narrow margins */
  readonly small?: boolean;
}

/** Lines over time on one pair of axes, as SVG: the words beside it say what they are. */
export function Plot({ widthPx, heightPx, startS, endS, lines, label, withZero = false, highA: wantedHighA, cutA, limitA, small = false }: PlotProps) {
  if (widthPx < 80) return <svg width="100%" height={heightPx} aria-hidden="true" />;
  let lowA = withZero ? 0 : Infinity;
  let highA = wantedHighA ?? (withZero ? 0.1 : -Infinity);
  for (const { line } of lines) {
    for (const valueA of line.currentA) {
      lowA = Math.min(lowA, valueA);
      highA = Math.max(highA, valueA);
    }
  }
  if (cutA !== undefined) highA = Math.min(highA, cutA);
  if (lowA > highA) return <p class="fine">The two do not overlap in time.</p>;
  const leftPx = small ? 34 : 46;
  const axisPx = small ? 18 : 22;
  const span = axisSpan(Math.min(lowA, 0), Math.max(highA, 0));
  const bottom = heightPx - axisPx;
  const right = widthPx - RIGHT_PX;
  const x = (atS: number): number => leftPx + ((atS - startS) / (endS - startS || 1)) * (right - leftPx);
  const y = (valueA: number): number => bottom - ((Math.min(valueA, span.high) - span.low) / (span.high - span.low)) * (bottom - TOP_PX);
  // levels beside a limit are parked currents: below 1 A they read better in mA
  const unit = limitA !== undefined && span.high < 1 ? { factor: 1000, name: 'mA' } : { factor: 1, name: 'A' };
  const value = valueTicks(span.low * unit.factor, span.high * unit.factor, heightPx > 160 ? 5 : small ? 2 : 3);
  const time = timeTicks(startS, endS, Math.max(3, Math.floor(widthPx / 90)));
  return (
    <svg class="overlay-plot" width={widthPx} height={heightPx} role="img" aria-label={label}>
      {value.values.map((at) => (
        <g key={at}>
          <line class={Math.abs(at) < value.step / 2 ? 'overlay-zero' : 'overlay-grid'} x1={leftPx} x2={right} y1={y(at / unit.factor)} y2={y(at / unit.factor)} />
          <text x={leftPx - 6} y={y(at / unit.factor) + 4} text-anchor="end">{valueLabel(at, value.step).replace('-', '−')}</text>
        </g>
      ))}
      <text class="overlay-unit" x={leftPx - 6} y={bottom + axisPx - 5} text-anchor="end">{unit.name}</text>
      {time.values.map((at) => (
        <g key={at}>
          <line class="overlay-grid" x1={x(at)} x2={x(at)} y1={bottom} y2={bottom + 4} />
          {x(at) < right - 14 && x(at) > leftPx + 4 && <text x={x(at)} y={bottom + axisPx - 5} text-anchor="middle">{timeLabel(at, time.step).replace('-', '−')}</text>}
        </g>
      ))}
      {limitA !== undefined && <line class="overlay-limit" x1={leftPx} x2={right} y1={y(limitA)} y2={y(limitA)} />}
      {lines.map(({ className, line }) => <path key={className} class={className} d={linePath(Float64Array.from(line.timeS), line.currentA, [], x, y)} />)}
    </svg>
  );
}
