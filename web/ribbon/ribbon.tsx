import type { ChartState } from '../chart/chart-state.ts';
import { Glyph } from '../app/glyph.tsx';
import { layoutRibbon } from './layout.ts';
import type { PlacedSegment } from './layout.ts';
import type { Segment } from '../../src/core/present/ribbon.ts';

/** The strip under the chart, on the chart's own time axis: what the analysis saw, and below it what a person did. */
export function Ribbon({ state, segments }: { state: ChartState; segments: readonly Segment[] }) {
  const view = state.view.value;
  const { leftPx, widthPx } = state.plot.value;
  if (widthPx === 0) return <div class="ribbon" />;
  const lanes = ([0, 1] as const).map((lane) => layoutRibbon(segments, view, widthPx, lane));
  const show = ({ segment }: PlacedSegment): void => {
    const span = Math.max(segment.endS - segment.startS, 0.2);
    state.show(segment.startS - 0.5 * span, segment.startS + 1.5 * span);
  };
  return (
    <div class="ribbon" role="group" aria-label="Named stretches of the time shown">
      {lanes.map((placed, lane) => (lane === 0 || placed.length > 0) && (
        <div class={`ribbon-lane ribbon-lane-${lane}`} style={{ marginLeft: `${leftPx}px`, width: `${widthPx}px` }} key={lane}>
          {placed.map((one) => (
            <button
              type="button" class={`segment segment-${one.segment.kind}`} key={`${one.segment.kind} ${one.segment.startS}`}
              style={{ left: `${one.leftPx}px`, width: `${one.segment.kind === 'note' && one.worded ? 'auto' : `${one.widthPx}px`}` }}
              onClick={() => show(one)} title={`${one.segment.word}: ${one.segment.detail}`} aria-label={`${one.segment.word}${one.count > 1 ? `, ${one.count} of them` : ''}: ${one.segment.detail}`}
            >
              {one.segment.kind === 'note' && <Glyph shape="note" size={12} />}
              {one.worded ? <span>{one.segment.word}{one.count > 1 ? ` ×${one.count}` : ''}</span> : one.segment.kind !== 'note' && one.widthPx >= 16 && <Glyph shape={one.segment.kind} size={12} />}
            </button>
          ))}
        </div>
      ))}
    </div>
  );
}
