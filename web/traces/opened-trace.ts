import { batch, signal } from '@preact/signals';
import type { AnalysisResult, TestKind } from '../../src/core/analysis/results.ts';
import type { Mark } from '../../src/core/trace.ts';
import type { TraceDetail, TraceRef } from '../../src/core/wire/api.ts';
import { ChartState } from '../chart/chart-state.ts';
import { StoredSource } from '../chart/chart-source.ts';
import { addMark, analyseTrace, changeMark, chargeOfTrace, getTrace, isAbort, tracePath, updateTrace } from '../net/api.ts';
import type { AskStretch } from '../reading/measures.ts';
import { Measures } from '../reading/measures.ts';
import { refreshStored, wordsOf } from '../state/stored.ts';

/** One stored trace on the screen: its record, marks, chart and reading, and what is being done with it. */
export class OpenedTrace {
  readonly ref: TraceRef;
  readonly detail = signal<TraceDetail | null>(null);
  readonly chart = signal<ChartState | null>(null);
  readonly marks = signal<readonly Mark[]>([]);
  readonly result = signal<AnalysisResult | null>(null);
  readonly error = signal('');
  /** an analysis that runs, and since when (ms of performance.now) */
  readonly working = signal<AbortController | null>(null);
  readonly ask: AskStretch = (fromS, toS, stop) => chargeOfTrace(this.ref, fromS, toS, stop);
  measures = new Measures(this.ask);
  private source: StoredSource | null = null;
  private closed = false;

  constructor(ref: TraceRef) {
    this.ref = ref;
  }

  async open(): Promise<void> {
    try {
      const detail = await getTrace(this.ref);
      if (this.closed) return;
      const { record } = detail;
      this.quiet();
      this.measures = new Measures(this.ask);
      const gaps = record.gaps.map((gap) => ({ startS: gap.start_s, endS: gap.end_s }));
      this.source = new StoredSource(tracePath(this.ref), { startS: 0, endS: Math.max(record.duration_s, 0.01) }, gaps, record.channels.some((channel) => channel.name === 'voltage'));
      const source = this.source;
      batch(() => {
        this.detail.value = detail;
        this.marks.value = detail.marks;
        this.result.value = detail.result;
        this.chart.value = new ChartState(source, false);
      });
      this.measures.want(detail.marks);
      if (detail.result === null && record.samples > 0) await this.analyse(record.test ?? 'actuation');
    } catch (error) {
      if (!this.closed) this.error.value = wordsOf(error);
    }
  }

  /** Reads the trace anew; a running reading is given up first. */
  async analyse(test: TestKind): Promise<void> {
    this.working.value?.abort();
    const stopper = new AbortController();
    this.working.value = stopper;
    this.error.value = '';
    try {
      this.result.value = await analyseTrace(this.ref, test, stopper.signal);
      void refreshStored();
    } catch (error) {
      if (!isAbort(error) && !this.closed) this.error.value = wordsOf(error);
    }
    if (this.working.value === stopper) this.working.value = null;
  }

  async mark(mark: Mark): Promise<void> {
    await this.attempt(async () => {
      this.marks.value = await addMark(this.ref, mark);
      this.measures.want(this.marks.value);
      const test = this.result.value?.test;
      if (test === 'drain' && mark.kind !== 'stretch') await this.analyse(test);
    });
  }

  /** Moves or renames a mark, or removes it (null). */
  async changeMark(before: Mark, after: Mark | null): Promise<void> {
    await this.attempt(async () => {
      this.marks.value = await changeMark(this.ref, before, after);
      this.measures.want(this.marks.value);
      const test = this.result.value?.test;
      if (test === 'drain' && before.kind !== 'stretch') await this.analyse(test);
    });
  }

  /** Renames it, or changes the test. */
  async change(change: Parameters<typeof updateTrace>[1]): Promise<void> {
    await this.attempt(async () => {
      const record = await updateTrace(this.ref, change);
      const before = this.detail.value;
      if (before !== null) this.detail.value = { ...before, record };
      await refreshStored();
    });
  }

  /** Puts it to a job, which gives it another address; returns whether it lies there now. */
  async move(jobId: string): Promise<boolean> {
    // at the old address there will be nothing to ask for
    this.quiet();
    await this.attempt(async () => {
      await updateTrace(this.ref, { jobId });
      await refreshStored();
    });
    if (this.error.value === '') return true;
    const { value: why } = this.error;
    await this.open();
    this.error.value = why;
    return false;
  }

  close(): void {
    this.closed = true;
    this.quiet();
  }

  /** Whatever was asked for is no longer wanted. */
  private quiet(): void {
    this.working.value?.abort();
    this.measures.stop();
    this.source?.stop();
  }

  private async attempt(act: () => Promise<void>): Promise<void> {
    try {
      this.error.value = '';
      await act();
    } catch (error) {
      this.error.value = wordsOf(error);
    }
  }
}
