import type { ChartState } from '../chart/chart-state.ts';
import { Glyph } from '../app/glyph.tsx';
import { layoutRibbon } from '../../src/core/picture/ribbon-layout.ts';
import type { PlacedSegment } from '../../src/core/picture/ribbon-layout.ts';
import { LANES, type Segment } from '../../src/core/present/wording/ribbon.ts';
import { language } from '../../src/core/present/language.ts';

const texts = language.screens.app.ribbon;

/** The strip under the chart, on the chart's own time axis: what the analysis saw, below it what a person did, and what a person has measured. */
export function Ribbon({ state, segments }: { state: ChartState; segments: readonly Segment[] }) {
  const view = state.view.value;
  const { leftPx, widthPx } = state.plot.value;
  if (widthPx === 0) return <div class="ribbon" />;
  const lanes = LANES.map((lane) => layoutRibbon(segments, view, widthPx, lane));
  const show = ({ segment, count, endS }: PlacedSegment): void => {
    if (segment.kind === 'stretch' && count === 1) state.selection.value = { fromS: segment.startS, toS: segment.endS };
    // all of those that were drawn as one
    const span = Math.max(endS - segment.startS, 0.2);
    state.show(segment.startS - 0.5 * span, segment.startS + 1.5 * span);
  };
  return (
    <div class="ribbon" role="group" aria-label={texts.namedStretchesOfThe}>
      {lanes.map((placed, lane) => (lane === 0 || placed.length > 0) && (
        <div class={`ribbon-lane ribbon-lane-${lane}`} style={{ marginLeft: `${leftPx}px`, width: `${widthPx}px` }} key={lane}>
          {placed.map((one) => <SegmentBox one={one} show={show} key={`${one.segment.kind} ${one.segment.startS}`} />)}
        </div>
      ))}
    </div>
  );
}

/** Too narrow for a fingertip is not a button: the list of actuations and the marks below lead to the same place. */
const PRESSABLE_PX = 24;

function SegmentBox({ one, show }: { one: PlacedSegment; show: (one: PlacedSegment) => void }) {
  const { segment, leftPx, widthPx, worded, count } = one;
  const pin = segment.kind === 'note';
  const words = `${segment.word}${count > 1 ? texts.ofThem(count) : ''}: ${segment.detail}`;
  const common = {
    class: `segment segment-${segment.kind}`,
    style: { left: `${leftPx}px`, width: pin && (worded || count > 1) ? 'auto' : `${widthPx}px` },
    title: words,
    'aria-label': words,
  };
  const inside = (
    <>
      {pin && <Glyph shape="note" size={12} />}
      {worded ? <span>{segment.word}{count > 1 ? ` ×${count}` : ''}</span> : pin && count > 1 ? <span>×{count}</span> : !pin && widthPx >= 16 && <Glyph shape={segment.kind} size={12} />}
    </>
  );
  return widthPx < PRESSABLE_PX ? <span role="img" {...common}>{inside}</span> : <button type="button" onClick={() => show(one)} {...common}>{inside}</button>;
}
