import { Allowed } from '../app/allowed.tsx';
import { useComputed, useSignalEffect } from '@preact/signals';
import { useEffect, useMemo } from 'preact/hooks';
import { ribbonSegments } from '../../src/core/present/wording/ribbon.ts';
import { withFigures } from '../../src/core/present/wording/stretch-words.ts';
import { Glyph } from '../app/glyph.tsx';
import { hrefOf } from '../app/route.ts';
import type { ChartState } from '../chart/chart-state.ts';
import { ChartTools } from '../chart/chart-tools.tsx';
import { happenedIn, momentsOf } from '../chart/happened.ts';
import { limitLines } from '../chart/plot/limit-lines.ts';
import { TimeLane } from '../chart/time-lane.tsx';
import { TraceChart } from '../chart/trace-chart.tsx';
import { ActuationTable } from '../reading/actuation-list.tsx';
import { DrainFacts, PossiblePullTable, PullTable, WakeUpTable } from '../reading/drain-tables.tsx';
import { Problems, ReadingCard } from '../reading/reading-card.tsx';
import { Ribbon } from '../ribbon/ribbon.tsx';
import { TraceCalibration } from '../calibrate/trace-calibration.tsx';
import { AnalysisWork, ExportWork } from './analysis-work.tsx';
import { formatCount, formatDuration, language } from '../../src/core/present/language.ts';
import { jobs } from '../state/stored.ts';
import { ExportMenu } from './export-menu.tsx';
import { MarkAdder } from './mark-adder.tsx';
import { OpenedTrace } from './opened-trace.ts';
import { RunRange } from '../set-up/run-range.tsx';
import { StretchList } from './stretch-list.tsx';
import { StoredSelection } from './stored-selection.tsx';
import { TraceHead } from './trace-head.tsx';

const texts = language.screens.traces.traceScreen;

/** A stored trace: chart of any length, ribbon, reading, marks, export. */
export function TraceScreen({ jobId, traceId }: { jobId: string; traceId: string }) {
  const trace = useMemo(() => new OpenedTrace({ jobId, traceId }), [jobId, traceId]);
  useEffect(() => {
    void trace.open();
    return () => trace.close();
  }, [trace]);
  const detail = trace.detail.value;
  const state = trace.chart.value;
  if (detail === null || state === null) {
    return (
      <section class="plate sheet">
        <h1>{texts.trace}</h1>
        {trace.error.value === '' ? <p role="status">{texts.opening}</p> : <p class="notice notice-fault" role="alert"><Glyph shape="fault" size={18} />{trace.error.value}</p>}
        <p><a href={hrefOf('traces')}>{texts.allTraces}</a></p>
      </section>
    );
  }
  return <Opened trace={trace} state={state} />;
}

function Opened({ trace, state }: { trace: OpenedTrace; state: ChartState }) {
  const detail = trace.detail.value!;
  const { record } = detail;
  const result = trace.result.value;
  const segments = useComputed(() => withFigures(ribbonSegments(trace.result.value, 0, trace.marks.value, state.source.gaps(), record.duration_s), trace.measures.known.value));
  useSignalEffect(() => {
    state.happened.value = happenedIn(trace.result.value, 0, null);
  });
  const limits = useMemo(() => limitLines({ test: result?.test ?? record.test ?? 'actuation', actuation: record.actuation_options ?? {}, drain: record.drain_options ?? {} }), [record, result?.test]);
  const flags = useMemo(() => (result?.test === 'actuation' ? result.flags.map((flag) => ({ fromS: flag.start_s, toS: flag.end_s })) : []), [result]);
  const moments = useMemo(() => momentsOf(trace.marks.value), [trace.marks.value]);
  const show = (fromS: number, toS: number): void => state.show(fromS, toS);
  const picture = (): Parameters<typeof ExportMenu>[0]['picture'] extends () => infer Facts ? Facts : never => ({ state, limits, segments: segments.value, title: `${record.title || record.id}${record.simulated ? `, ${language.pages.strip.virtualTrace}` : ''}` });
  return (
    <div class="test">
      <div class="test-main">
        <Allowed to="change"><TraceHead trace={trace} /></Allowed>
        {trace.error.value !== '' && <p class="notice notice-fault" role="alert"><Glyph shape="fault" size={18} />{trace.error.value}</p>}
        <div class="plate stage stage-stored">
          <ChartTools state={state} live={false}><ExportMenu trace={trace} picture={picture} /></ChartTools>
          <TraceChart state={state} limits={limits} flags={flags} marks={moments} name={texts.chartOf(state.source.hasVoltage() ? texts.andVoltage : '', record.title || texts.thisTrace)} />
          <Ribbon state={state} segments={segments.value} />
          <TimeLane state={state} />
        </div>
        <StoredSelection trace={trace} state={state} />
      </div>
      <div class="test-side">
        <ExportWork trace={trace} />
        <AnalysisWork trace={trace} />
        {trace.working.value === null && <ReadingCard result={result} waiting={record.samples === 0 ? texts.thisTraceHoldsNoReading : texts.notAnalysedYet} />}
        {result?.test === 'actuation' && <Allowed to="change"><UsualRun trace={trace} asked={result.verdict.basis === 'none'} /></Allowed>}
        {result !== null && jobs.value?.some(({ job }) => job.id === detail.jobId) === true && <a class="button button-quiet" href={hrefOf('job', detail.jobId)}>{texts.goOnInTheJob}</a>}
        <section class="plate">
          <h2>{texts.recording}</h2>
          <dl class="facts">
            <div><dt>{texts.length}</dt><dd>{formatDuration(record.duration_s)}</dd></div>
            <div><dt>{texts.readings}</dt><dd>{formatCount(record.samples)}{record.rate_hz === null ? '' : texts.aSecond(formatCount(record.rate_hz))}</dd></div>
            <div><dt>{texts.gaps}</dt><dd>{record.gap_count === 0 ? texts.none : record.gap_count}</dd></div>
            <div><dt>{texts.zero}</dt><dd>{record.calibration.zero_a === null ? texts.notTaken : texts.taken}</dd></div>
            <div><dt>{texts.logger}</dt><dd>{record.logger.name}</dd></div>
            <div><dt>{texts.ended}</dt><dd>{endWords(record.end, record.end_cause)}</dd></div>
          </dl>
          <h3>{texts.calibration}</h3>
          <TraceCalibration of={{ jobId: detail.jobId, traceId: record.id }} record={record} changed={() => void trace.open()} />
          <Problems problems={detail.problems.filter(({ text }) => result?.problems.every((one) => one.text !== text) ?? true)} />
        </section>
      </div>
      <div class="test-below">
        <StretchList trace={trace} state={state} />
        <Allowed to="change"><MarkAdder trace={trace} state={state} /></Allowed>
        {result?.test === 'actuation' && <section class="plate"><h2>{texts.everyActuation}</h2><ActuationTable result={result} offsetS={0} show={show} /></section>}
        {result?.test === 'drain' && (
          <section class="plate"><h2>{texts.theDrainInFigures}</h2><DrainFacts result={result} /><PullTable result={result} /><PossiblePullTable result={result} /><WakeUpTable result={result} show={show} /></section>
        )}
      </div>
    </div>
  );
}

/** Where the reading asks for the usual running current, and where one was typed in: with it the trace is read again. */
function UsualRun({ trace, asked }: { trace: OpenedTrace; asked: boolean }) {
  const { actuation_options: options } = trace.detail.value!.record;
  const run = options?.runLimitsA ?? null;
  if (!asked && run === null) return null;
  return (
    <section class="plate form" aria-label={texts.usualRunningCurrent}>
      <h2>{texts.usualRunningCurrent}</h2>
      <RunRange key={run?.join() ?? ''} range={run} set={(range) => {
        const { runLimitsA: _run, runLimitsFrom: _from, ...others } = options ?? {};
        void trace.change({ actuation_options: { ...others, ...(range === null ? {} : { runLimitsA: range }) } }).then(() => trace.analyse('actuation'));
      }} />
    </section>
  );
}

function endWords(end: string, cause: string | null): string {
  if (end === 'running') return texts.stillRunning;
  const words: Record<string, string> = {
    stopped: texts.byHand, duration: texts.afterItsSetTime, size: texts.atItsSetSize, asleep: texts.onceItSlept, 'source-ended': texts.withItsSource,
    'disk-full': texts.becauseTheDiskWasFull, 'disk-error': texts.becauseTheDiskFailed, shutdown: texts.whenAmptrailWasClosed, recovered: texts.cutShort,
  };
  return words[cause ?? ''] ?? (end === 'cut' ? texts.cutShort : 'cleanly');
}
