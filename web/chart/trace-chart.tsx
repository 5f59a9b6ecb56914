import { useSignal, useSignalEffect } from '@preact/signals';
import { useEffect, useId, useRef } from 'preact/hooks';
import type { Samples } from '../../src/core/trace.ts';
import { shownCurrent, formatVolts } from '../../src/core/present/wording/stretch-words.ts';
import { formatMoment } from '../reading/format.ts';
import { isDark } from '../state/preferences.ts';
import { evenBelowA } from './plot/axis-labels.ts';
import type { Range } from './plot/axis-range.ts';
import { currentRange, voltageRange } from './plot/axis-range.ts';
import type { ChartState } from './chart-state.ts';
import { chartColours } from './plot/colours.ts';
import { listenForGestures } from './gestures.ts';
import { listenOnHeight } from './height-gestures.ts';
import { chartKey } from './keys.ts';
import { plotData } from './plot/plot-data.ts';
import type { ChartSummary } from './summary.ts';
import { drawnExtremes, sampleAt, summarise } from './summary.ts';
import type { LimitLine } from './plot/uplot-chart.ts';
import { UplotChart } from './plot/uplot-chart.ts';
import type { View } from './view.ts';
import { formatCurrent, language } from '../../src/core/present/language.ts';

const words = language.screens.reading.traceChart;

interface Props {
  readonly state: ChartState;
  readonly limits: readonly LimitLine[];
  readonly flags: readonly View[];
  readonly marks: readonly number[];
  readonly name: string;
  /** why the chart does not move; empty when it does, or need not */
  readonly stopped?: string;
}

/** How often the hidden table and the spoken summary are made anew, ms. */
const SUMMARY_MS = 2000;
const NOTHING: Samples = { timeS: new Float64Array(0), currentA: new Float32Array(0), voltageV: null };

/** The chart with its keys, gestures, cursor and its form in words. Draws at most once per animation frame. */
export function TraceChart({ state, limits, flags, marks, name, stopped = '' }: Props) {
  const host = useRef<HTMLDivElement>(null);
  const strip = useRef<HTMLDivElement>(null);
  const powers = state.powers.value;
  const hint = useId();
  const summary = useSignal<ChartSummary | null>(null);
  const cursorText = useSignal('');
  const spoken = useSignal('');
  const latest = useRef({ limits, flags, marks });
  const redraw = useRef<() => void>(() => {});
  latest.current = { limits, flags, marks };
  const withVoltage = state.source.hasVoltage();

  useEffect(() => {
    const element = host.current!;
    const axis = strip.current!;
    const chart = new UplotChart(element, { widthPx: Math.max(element.clientWidth, 200), heightPx: Math.max(element.clientHeight, 120) }, withVoltage, powers ? evenBelowA(state.drawnA) : null, chartColours());
    let frame = 0;
    let summaryAtMs = 0;
    let currentA: Range | null = null;
    let voltageV: Range | null = null;
    let samples = NOTHING;

    const draw = (): void => {
      frame = 0;
      state.columns = chart.deviceColumns;
      const view = state.current();
      state.view.value = view;
      const box = chart.plotBox;
      if (box.leftPx !== state.plot.value.leftPx || box.widthPx !== state.plot.value.widthPx) state.plot.value = box;
      Object.assign(axis.style, { top: `${box.topPx}px`, height: `${box.heightPx}px`, width: `${box.leftPx}px` });
      samples = state.source.samples(view, state.columns);
      const data = plotData(samples, state.source.gaps(), view.fromS, view.toS, state.columns);
      const { limits: lines, flags: bands, marks: moments } = latest.current;
      currentA = state.heightA.value ?? currentRange(...drawnExtremes(data.currentA), currentA);
      state.drawnA = currentA;
      if (data.voltageV !== null) voltageV = voltageRange(...drawnExtremes(data.voltageV), voltageV, currentA);
      chart.draw({ data, view, originS: state.originS.peek(), currentA, voltageV: voltageV ?? [0, 15], limits: lines, flags: bands, selection: state.selection.value, marks: moments });
      chart.showCursor(state.cursorS.value);
      element.dataset['points'] = String(data.x.length);
      element.dataset['columns'] = String(state.columns);
      element.dataset['from'] = String(view.fromS);
      element.dataset['to'] = String(view.toS);
      showCursorText(samples, view);
      if (performance.now() - summaryAtMs > SUMMARY_MS) {
        summaryAtMs = performance.now();
        summary.value = summarise(samples, state.source.gaps(), view);
      }
    };
    const showCursorText = (from: Samples, view: View): void => {
      const atS = state.cursorS.value;
      const span = view.toS - view.fromS;
      const at = atS === null ? null : sampleAt(from, atS, Math.max(span / 100, 0.002));
      cursorText.value = atS === null ? '' : `${formatMoment(atS - state.originS.peek(), Math.min(span, 19))}   ${at === null ? words.noReading : `${shownCurrent(at.currentA)}${at.voltageV === null ? '' : `   ${formatVolts(at.voltageV)}`}`}`;
    };
    const request = (): void => {
      if (frame === 0) frame = requestAnimationFrame(draw);
    };
    redraw.current = request;
    const stopArriving = state.source.onArrive(request);
    const stopGestures = listenForGestures(chart.over, state);
    const stopHeight = listenOnHeight(axis, state);
    const sizes = new ResizeObserver(() => {
      if (element.clientWidth < 50 || element.clientHeight < 50) return;
      chart.resize(element.clientWidth, element.clientHeight);
      request();
    });
    sizes.observe(element);
    const recolour = (): void => {
      chart.recolour(chartColours());
      request();
    };
    const themes = new MutationObserver(recolour);
    themes.observe(document.documentElement, { attributeFilter: ['data-theme'] });
    request();
    return () => {
      cancelAnimationFrame(frame);
      stopArriving();
      stopGestures();
      stopHeight();
      sizes.disconnect();
      themes.disconnect();
      redraw.current = () => {};
      chart.destroy();
    };
  }, [state, withVoltage, powers]);

  useSignalEffect(() => {
    void [state.following.value, state.reach.value, state.nowS.value, state.happened.value, state.view.value, state.cursorS.value, state.selection.value, state.heightA.value, state.originS.value, isDark()];
    redraw.current();
  });
  // a limit or mark that changed while nothing arrives
  useEffect(() => redraw.current(), [limits, flags, marks]);
  // keys move the cursor faster than a voice can follow: say only where it came to rest
  useSignalEffect(() => {
    if (state.spoken.value === 0) return undefined;
    const timer = setTimeout(() => (spoken.value = cursorText.peek()), 400);
    return () => clearTimeout(timer);
  });

  return (
    <div class={stopped === '' ? 'chart' : 'chart is-old'}>
      <div
        class="chart-host" ref={host} tabIndex={0} role="application" aria-label={name} aria-describedby={hint} aria-roledescription={words.chart}
        onKeyDown={(event) => {
          if (chartKey(state, event)) event.preventDefault();
        }}
      />
      <div class="chart-height" ref={strip} title={words.dragOrTurnThe} />
      {stopped !== '' && <p class="chart-stopped" role="status">{stopped}</p>}
      <p class="chart-cursor" aria-hidden="true">{cursorText}</p>
      <p id={hint} class="unseen">
        {words.arrowKeysMoveThe}
      </p>
      <p class="unseen" role="status" aria-live="polite">{spoken}</p>
      <SummaryTable summary={summary.value} view={state.view.peek()} originS={state.originS.peek()} name={name} />
    </div>
  );
}

function SummaryTable({ summary, view, originS, name }: { summary: ChartSummary | null; view: View; originS: number; name: string }) {
  if (summary === null) return <p class="unseen">{words.nothingRecordedInThisPart(name)}</p>;
  const span = view.toS - view.fromS;
  return (
    <div class="unseen"><table>
      <caption>{words.fromTo(name, formatMoment(view.fromS - originS, span), formatMoment(view.toS - originS, span))}</caption>
      <thead><tr><th scope="col">{words.value}</th><th scope="col">{words.reading}</th><th scope="col">{words.at}</th></tr></thead>
      <tbody>
        <tr><th scope="row">{words.lowestCurrent}</th><td>{formatCurrent(summary.minA)}</td><td>{formatMoment(summary.minAtS - originS, Math.min(span, 19))}</td></tr>
        <tr><th scope="row">{words.highestCurrent}</th><td>{formatCurrent(summary.maxA)}</td><td>{formatMoment(summary.maxAtS - originS, Math.min(span, 19))}</td></tr>
        {summary.minV !== null && summary.maxV !== null && (
          <tr><th scope="row">{words.voltage}</th><td>{words.toV(formatVolts(summary.minV), formatVolts(summary.maxV))}</td><td /></tr>
        )}
        <tr><th scope="row">{words.gaps}</th><td>{summary.gaps}</td><td /></tr>
      </tbody>
    </table></div>
  );
}
