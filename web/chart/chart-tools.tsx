import { Glyph } from '../app/glyph.tsx';
import type { ChartState } from './chart-state.ts';

/** Buttons for what keys, wheel and fingers do too. */
export function ChartTools({ state, live, children }: { state: ChartState; live: boolean; children?: preact.ComponentChildren }) {
  const following = state.following.value;
  return (
    <div class="tools" role="toolbar" aria-label="Chart">
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
      <button type="button" class="tool" aria-pressed={state.powers.value} title="The current's axis by powers of ten: milliamps and tens of amperes together" onClick={() => (state.powers.value = !state.powers.value)}>Log</button>
      {state.heightA.value !== null && <button type="button" class="tool" title="The height of the chart follows the readings again" onClick={() => state.heightByItself()}>Height by readings</button>}
      {children}
    </div>
  );
}
