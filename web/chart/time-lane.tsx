import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { language } from '../../src/core/present/language.ts';
import { formatMoment } from '../reading/format.ts';
import type { ChartState } from './chart-state.ts';
import type { Reach } from './reach.ts';
import { placeNames } from './reach.ts';
import type { Extent, View } from './view.ts';
import { dragOf, dragged, type LaneDrag } from './lane-drag.ts';

const words = language.pages.chart;
/** Width of a letter of a name, and of the room round its letters, px. */
const LETTER_PX = 7.6;
const AROUND_PX = 22;
const LEAST_PX = 44;
const USUAL_TEXT_PX = 16;
const GAP_PX = 4;
/** More presses than this many pixels are drawn as one. */
const LEAST_TICK_PX = 2;

/**
 * The whole of time in one line under the chart, with the part that is shown marked on it: drag that part, or an end of it. Names are where they begin;
 * a touch shows from there.
 */
export function TimeLane({ state }: { state: ChartState }) {
  const row = useRef<HTMLDivElement>(null);
  const roomPx = useSignal(0);
  useEffect(() => {
    const sizes = new ResizeObserver(() => (roomPx.value = row.current?.clientWidth ?? 0));
    sizes.observe(row.current!);
    return () => sizes.disconnect();
  }, []);
  const view = state.view.value;
  const extent = state.source.extent();
  const width = roomPx.value;
  return (
    <div class="time-lane" role="group" aria-label={words.lane} ref={row}>
      {extent !== null && width > 0 && <>
        <Strip state={state} view={view} extent={extent} widthPx={width} />
        <Names state={state} reaches={state.reaches()} extent={extent} widthPx={width} />
      </>}
    </div>
  );
}

function Names({ state, reaches, extent, widthPx }: { state: ChartState; reaches: readonly Reach[]; extent: Extent; widthPx: number }) {
  const texts = reaches.map((one) => words.reach[one.name](one.count));
  // text of another size than usual takes its room with it
  const size = Number.parseFloat(getComputedStyle(document.documentElement).fontSize) / USUAL_TEXT_PX;
  const widths = texts.map((text) => Math.max(LEAST_PX, text.length * LETTER_PX * size + AROUND_PX));
  const lefts = placeNames(reaches.map(({ fromS }) => placeOf(fromS, extent, widthPx)), widths, widthPx, GAP_PX);
  return (
    <div class={lefts === null ? 'time-names is-flowing' : 'time-names'}>
      {reaches.map((one, i) => (
        <button
          type="button" class="time-name" key={one.name} aria-pressed={state.shows(one.name)} title={words.reachHint[one.name](one.count)}
          style={lefts === null ? {} : { left: `${lefts[i]}px`, width: `${widths[i]}px` }} onClick={() => state.reachFor(one.name)}
        >{texts[i]}</button>
      ))}
    </div>
  );
}

function Strip({ state, view, extent, widthPx }: { state: ChartState; view: View; extent: Extent; widthPx: number }) {
  const drag = useRef<LaneDrag | null>(null);
  const at = (event: PointerEvent): number => event.clientX - (event.currentTarget as HTMLElement).getBoundingClientRect().left;
  const left = Math.min(placeOf(view.fromS, extent, widthPx), widthPx - 6);
  const right = Math.max(placeOf(view.toS, extent, widthPx), left + 6);
  const moment = (atS: number): string => formatMoment(atS - state.originS.value, extent.endS - extent.startS);
  return (
    <div
      class="time-strip" role="img" aria-label={words.shown(moment(view.fromS), moment(view.toS), moment(extent.endS))}
      onPointerDown={(event) => {
        if (event.button !== 0) return;
        event.currentTarget.setPointerCapture(event.pointerId);
        drag.current = dragOf(at(event), left, right, event.pointerType === 'touch');
        if (drag.current.part === 'beside') state.showBetween(dragged(drag.current, at(event), extent, widthPx));
      }}
      onPointerMove={(event) => {
        if (drag.current !== null) state.showBetween(dragged(drag.current, at(event), extent, widthPx));
      }}
      onPointerUp={() => {
        if (drag.current !== null) state.letGo();
        drag.current = null;
      }}
      onPointerCancel={() => (drag.current = null)}
    >
      {ticks(state, extent, widthPx).map(({ leftPx, rightPx }) => <span class="time-press" style={{ left: `${leftPx}px`, width: `${rightPx - leftPx}px` }} key={leftPx} />)}
      <span class="time-shown" style={{ left: `${left}px`, width: `${right - left}px` }} />
    </div>
  );
}

/** Presses as short bars; those that fall on each other are one. */
function ticks(state: ChartState, extent: Extent, widthPx: number): { leftPx: number; rightPx: number }[] {
  const bars: { leftPx: number; rightPx: number }[] = [];
  for (const { fromS, toS } of state.happened.value.presses) {
    const leftPx = placeOf(fromS, extent, widthPx);
    const rightPx = Math.max(placeOf(toS, extent, widthPx), leftPx + LEAST_TICK_PX);
    const last = bars.at(-1);
    if (last !== undefined && leftPx < last.rightPx + 1) last.rightPx = Math.max(last.rightPx, rightPx);
    else bars.push({ leftPx, rightPx });
  }
  return bars;
}

function placeOf(atS: number, { startS, endS }: Extent, widthPx: number): number {
  const share = endS > startS ? (atS - startS) / (endS - startS) : 0;
  return Math.min(Math.max(share, 0), 1) * widthPx;
}
