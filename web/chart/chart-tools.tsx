import { Glyph } from '../app/glyph.tsx';
import type { ChartState, Span } from './chart-state.ts';

/** By what happened; every other stretch by zooming, dragging, or the ribbon's own segments. */
const SPANS: readonly { span: Span; name: string }[] = [{ span: 10, name: 'Latest' }, { span: 'all', name: 'From start' }];

/** Buttons for what keys, wheel and fingers do too. */
export function ChartTools({ state, live, children }: { state: ChartState; live: boolean; children?: preact.ComponentChildren }) {
  const following = state.following.value;
  return (
    <div class="tools" role="toolbar" aria-label="Chart">
      <div class="segmented" role="group" aria-label="Time shown">
        {SPANS.filter(({ span }) => live || span === 'all').map(({ span, name }) => (
          <button type="button" key={name} aria-pressed={(live ? following : true) && state.span.value === span && (live || spanHolds(state, span))} onClick={() => state.showSpan(span)}>{name}</button>
        ))}
      </div>
      {live && (
        <button type="button" class="tool" onClick={() => (following ? state.pause() : state.resume())}>
          <Glyph shape={following ? 'pause' : 'live'} />{following ? 'Pause' : 'Back to live'}
        </button>
      )}
      <button type="button" class="tool tool-square" aria-label="Zoom in" title="Zoom in" onClick={() => state.zoomHere(1 / 1.6)}><Glyph shape="closer" /></button>
      <button type="button" class="tool tool-square" aria-label="Zoom out" title="Zoom out" onClick={() => state.zoomHere(1.6)}><Glyph shape="wider" /></button>
      <button type="button" class="tool" aria-pressed={state.selectMode.value} title="Drag over the chart to measure the charge of a stretch" onClick={() => (state.selectMode.value = !state.selectMode.value)}>
        <Glyph shape="measure" />Measure
      </button>
      {children}
    </div>
  );
}

/** For a stored trace a span button is lit only while just that span is shown. */
function spanHolds(state: ChartState, span: Span): boolean {
  const { fromS, toS } = state.view.value;
  const extent = state.source.extent();
  if (extent === null) return false;
  return span === 'all' ? fromS <= extent.startS && toS >= extent.endS : Math.abs(toS - fromS - span) < 1e-6;
}
