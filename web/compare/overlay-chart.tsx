import { useEffect, useMemo, useRef } from 'preact/hooks';
import { useSignal } from '@preact/signals';
import { axisSpan, timeLabel, timeTicks, valueLabel, valueTicks } from '../../src/core/report/axis.ts';
import { linePath } from '../../src/core/report/picture.ts';
import type { Overlay, OverlayLine } from './compare-api.ts';
import { differenceOf } from './difference.ts';

const LEFT_PX = 46;
const RIGHT_PX = 8;
const TOP_PX = 8;
const AXIS_PX = 22;

interface Line {
  readonly className: string;
  readonly line: OverlayLine;
}

/** Before and after on the same switch edge, and below it what is left when one is taken from the other. */
export function OverlayChart({ overlay }: { overlay: Overlay }) {
  const { direction, before, after } = overlay;
  const host = useRef<HTMLElement>(null);
  const widthPx = useSignal(0);
  useEffect(() => {
    const observer = new ResizeObserver(([entry]) => (widthPx.value = Math.round(entry!.contentRect.width)));
    observer.observe(host.current!);
    return () => observer.disconnect();
  }, []);
  const difference = useMemo(() => differenceOf(before, after), [before, after]);
  const startS = Math.min(before.timeS[0] ?? 0, after.timeS[0] ?? 0);
  const endS = Math.max(before.timeS.at(-1) ?? 1, after.timeS.at(-1) ?? 1);
  const frame = { widthPx: widthPx.value, startS, endS };
  const name = direction === 'forward' ? 'Forward' : 'Reverse';
  return (
    <figure class="plate overlay" ref={host}>
      <figcaption><h2>{name}</h2><Key /></figcaption>
      <Plot {...frame} heightPx={230} label={`${name}: current before and after, laid on the switch edge`} lines={[{ className: 'line-before', line: before }, { className: 'line-after', line: after }]} withZero />
      <p class="fine">Difference: after less before, A</p>
      <Plot {...frame} heightPx={130} label={`${name}: after less before`} lines={[{ className: 'line-difference', line: difference }]} />
      <p class="fine">First {direction} actuation of each trace. Seconds from the moment the switch is made.</p>
    </figure>
  );
}

function Key() {
  return (
    <span class="overlay-key">
      <span><svg width="34" height="8" aria-hidden="true"><line class="line-before" x1="1" x2="33" y1="4" y2="4" /></svg>before</span>
      <span><svg width="34" height="8" aria-hidden="true"><line class="line-after" x1="1" x2="33" y1="4" y2="4" /></svg>after</span>
    </span>
  );
}

interface PlotProps {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly startS: number;
  readonly endS: number;
  readonly lines: readonly Line[];
  readonly label: string;
  readonly withZero?: boolean;
}

function Plot({ widthPx, heightPx, startS, endS, lines, label, withZero = false }: PlotProps) {
  if (widthPx < 80) return <svg width="100%" height={heightPx} aria-hidden="true" />;
  let lowA = withZero ? 0 : Infinity;
  let highA = withZero ? 0.1 : -Infinity;
  for (const { line } of lines) {
    for (const valueA of line.currentA) {
      lowA = Math.min(lowA, valueA);
      highA = Math.max(highA, valueA);
    }
  }
  if (lowA > highA) return <p class="fine">The two do not overlap in time.</p>;
  const span = axisSpan(Math.min(lowA, 0), Math.max(highA, 0));
  const bottom = heightPx - AXIS_PX;
  const right = widthPx - RIGHT_PX;
  const x = (atS: number): number => LEFT_PX + ((atS - startS) / (endS - startS || 1)) * (right - LEFT_PX);
  const y = (valueA: number): number => bottom - ((valueA - span.low) / (span.high - span.low)) * (bottom - TOP_PX);
  const value = valueTicks(span.low, span.high, heightPx > 160 ? 5 : 3);
  const time = timeTicks(startS, endS, Math.max(2, Math.floor(widthPx / 90)));
  return (
    <svg class="overlay-plot" width={widthPx} height={heightPx} role="img" aria-label={label}>
      {value.values.map((at) => (
        <g key={at}>
          <line class={Math.abs(at) < value.step / 2 ? 'overlay-zero' : 'overlay-grid'} x1={LEFT_PX} x2={right} y1={y(at)} y2={y(at)} />
          <text x={LEFT_PX - 6} y={y(at) + 4} text-anchor="end">{valueLabel(at, value.step).replace('-', '−')}</text>
        </g>
      ))}
      <text class="overlay-unit" x={LEFT_PX - 6} y={bottom + 17} text-anchor="end">A</text>
      {time.values.map((at) => (
        <g key={at}>
          <line class="overlay-grid" x1={x(at)} x2={x(at)} y1={bottom} y2={bottom + 4} />
          {x(at) < right - 14 && <text x={x(at)} y={bottom + 17} text-anchor="middle">{timeLabel(at, time.step).replace('-', '−')}</text>}
        </g>
      ))}
      {lines.map(({ className, line }) => <path key={className} class={className} d={linePath(Float64Array.from(line.timeS), line.currentA, [], x, y)} />)}
    </svg>
  );
}
