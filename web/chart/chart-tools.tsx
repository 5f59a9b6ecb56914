import { Glyph } from '../app/glyph.tsx';
import type { ChartState } from './chart-state.ts';
import { language } from '../../src/core/present/language.ts';

const words = language.screens.reading.chartTools;

/** Buttons for what keys, wheel and fingers do too. */
export function ChartTools({ state, live, children }: { state: ChartState; live: boolean; children?: preact.ComponentChildren }) {
  const following = state.following.value;
  return (
    <div class="tools" role="toolbar" aria-label={words.chart}>
      {live && (
        <button type="button" class="tool" onClick={() => (following ? state.pause() : state.resume())}>
          <Glyph shape={following ? 'pause' : 'live'} />{following ? words.pause : words.backToLive}
        </button>
      )}
      <button type="button" class="tool tool-square" aria-label={words.zoomIn} title={words.zoomIn} onClick={() => state.zoomHere(1 / 1.6)}><Glyph shape="closer" /></button>
      <button type="button" class="tool tool-square" aria-label={words.zoomOut} title={words.zoomOut} onClick={() => state.zoomHere(1.6)}><Glyph shape="wider" /></button>
      <button type="button" class="tool" aria-pressed={state.selectMode.value} title={words.dragOverTheChart} onClick={() => (state.selectMode.value = !state.selectMode.value)}>
        <Glyph shape="measure" />{words.measure}
      </button>
      <button type="button" class="tool" aria-pressed={state.powers.value} title={words.theCurrentsAxisBy} onClick={() => (state.powers.value = !state.powers.value)}>{words.log}</button>
      {state.heightA.value !== null && <button type="button" class="tool" title={words.theHeightOfThe} onClick={() => state.heightByItself()}>{words.heightByReadings}</button>}
      {children}
    </div>
  );
}
