import type { Gap, Samples } from '../../src/core/trace.ts';
import type { SampleFrame } from '../../src/core/wire/sample-frame.ts';
import { effect } from '@preact/signals';
import { getWindow } from '../net/api.ts';
import { frameCount, gaps, liveBuffer, liveFromS, liveSession, source } from '../state/live.ts';
import type { Extent, View } from './view.ts';
import { joinSlices, WindowCache } from './window-cache.ts';

/** Where a chart gets its samples: the live reading, or a stored trace of any length. */
export interface ChartSource {
  /** null while nothing is there */
  extent(): Extent | null;
  /** the best there is at hand for the view; what is missing is asked for and announced by `onArrive` */
  samples(view: View, columns: number): Samples;
  gaps(): readonly Gap[];
  hasVoltage(): boolean;
  onArrive(heard: () => void): () => void;
}

/** The daemon's own bound on columns of one window. */
const MAX_COLUMNS = 16_384;
/** A view that held still this long gets the window that fits its own pixel columns, ms. */
const SETTLE_MS = 140;
/** Rest after a window that did not come, ms. */
const REST_MS = 3000;

/** Asks for windows, one at a time, newest wish first, and keeps what came. */
class WindowLoader {
  readonly cache = new WindowCache();
  private readonly path: string;
  private readonly arrived: (frame: SampleFrame | null, error: unknown) => void;
  private wish: { view: View; columns: number } | null = null;
  private busy = false;
  private settle: ReturnType<typeof setTimeout> | undefined;
  private lastView: View = { fromS: 0, toS: 0 };
  private readonly stopper = new AbortController();
  private restUntilMs = 0;
  /** what was asked for before the last `clear` comes too late */
  private round = 0;

  constructor(path: string, arrived: (frame: SampleFrame | null, error: unknown) => void) {
    this.path = path;
    this.arrived = arrived;
  }

  /** Wants the view in time; and when it has held still, its exact columns with one view's width either side, for the next pan. */
  want(view: View, columns: number): void {
    if (!this.cache.covers(view, (view.toS - view.fromS) / columns)) this.ask(view, columns);
    if (view.fromS === this.lastView.fromS && view.toS === this.lastView.toS) return;
    this.lastView = view;
    clearTimeout(this.settle);
    this.settle = setTimeout(() => {
      const span = view.toS - view.fromS;
      this.ask({ fromS: view.fromS - span, toS: view.toS + span }, Math.min(3 * columns, MAX_COLUMNS));
    }, SETTLE_MS);
  }

  ask(view: View, columns: number): void {
    if (performance.now() < this.restUntilMs) return;
    this.wish = { view, columns };
    if (!this.busy) void this.work();
  }

  /** Forgets everything: what was asked for before is of another time. */
  clear(): void {
    this.cache.clear();
    this.wish = null;
    this.restUntilMs = 0;
    this.round++;
  }

  stop(): void {
    clearTimeout(this.settle);
    this.stopper.abort();
  }

  private async work(): Promise<void> {
    this.busy = true;
    while (this.wish !== null && !this.stopper.signal.aborted) {
      const { view, columns } = this.wish;
      const { round } = this;
      this.wish = null;
      try {
        const frame = await getWindow(this.path, view.fromS, view.toS, columns, this.stopper.signal);
        if (round !== this.round) continue;
        this.cache.add({ fromS: view.fromS, toS: view.toS, columnS: frame.reduced ? (view.toS - view.fromS) / columns : 0, samples: frame });
        this.arrived(frame, null);
      } catch (error) {
        // every drawn frame wishes again: a daemon in trouble is not asked again at once
        this.restUntilMs = performance.now() + REST_MS;
        this.arrived(null, error);
      }
    }
    this.busy = false;
  }
}

/** The running reading: newest samples from the page's own buffer, older ones as windows from the daemon's ring. */
export class LiveSource implements ChartSource {
  private readonly heard = new Set<() => void>();
  private earliestS = Infinity;
  /** asks again when the buffer began anew */
  private askedBeforeS = NaN;
  private session = 0;
  private readonly loader = new WindowLoader('/api/live', (frame) => {
    if (frame !== null && frame.timeS.length > 0) this.earliestS = Math.min(this.earliestS, frame.timeS[0]!);
    for (const one of this.heard) one();
  });

  extent(): Extent | null {
    if (Number.isNaN(liveBuffer.endS)) return null;
    this.followSession();
    return { startS: Math.min(this.earliestS, liveBuffer.startS), endS: liveBuffer.endS };
  }

  samples(view: View, columns: number): Samples {
    this.followSession();
    const startS = liveBuffer.startS;
    const recent = liveBuffer.samples();
    if (Number.isNaN(startS)) return recent;
    if (this.askedBeforeS !== startS) {
      // once for each beginning of the buffer: everything older, as the overview
      this.askedBeforeS = startS;
      if (startS > liveFromS.peek()) this.loader.ask({ fromS: liveFromS.peek(), toS: startS }, 2 * columns);
    }
    if (view.fromS >= startS) return recent;
    const older: View = { fromS: view.fromS, toS: Math.min(startS, view.toS) };
    if (older.toS > Math.max(older.fromS, this.earliestS)) {
      const columnS = (view.toS - view.fromS) / columns;
      const needed = Math.min(MAX_COLUMNS, Math.max(16, Math.ceil((older.toS - older.fromS) / columnS)));
      if (!this.loader.cache.covers(older, columnS)) this.loader.ask(older, needed);
    }
    return joinSlices([this.loader.cache.compose(older), recent]);
  }

  /** What was known of the time before ends with it. */
  private followSession(): void {
    if (this.session === liveSession.peek()) return;
    this.session = liveSession.peek();
    this.earliestS = Infinity;
    this.askedBeforeS = NaN;
    this.loader.clear();
  }

  gaps(): readonly Gap[] {
    return gaps.peek();
  }

  hasVoltage(): boolean {
    return source.value?.logger?.hasVoltage ?? liveBuffer.samples().voltageV !== null;
  }

  onArrive(heard: () => void): () => void {
    this.heard.add(heard);
    const stop = effect(() => {
      void frameCount.value;
      heard();
    });
    return () => {
      stop();
      this.heard.delete(heard);
    };
  }
}

/** A trace on disk, from ten seconds to three days: only windows of it are ever on the page. */
export class StoredSource implements ChartSource {
  private readonly heard = new Set<() => void>();
  private readonly loader: WindowLoader;
  private readonly range: Extent;
  private readonly holes: readonly Gap[];
  private readonly voltage: boolean;
  /** what went wrong with the last window; empty when it came */
  error: unknown = null;

  constructor(path: string, range: Extent, holes: readonly Gap[], voltage: boolean) {
    this.range = range;
    this.holes = holes;
    this.voltage = voltage;
    this.loader = new WindowLoader(path, (_, error) => {
      this.error = error;
      for (const one of this.heard) one();
    });
    this.loader.ask({ fromS: range.startS, toS: range.endS }, 2048);
  }

  extent(): Extent {
    return this.range;
  }

  samples(view: View, columns: number): Samples {
    this.loader.want(view, columns);
    // a little more than the view, so that the line runs on to its edges
    const pad = 0.02 * (view.toS - view.fromS);
    return this.loader.cache.compose({ fromS: view.fromS - pad, toS: view.toS + pad });
  }

  gaps(): readonly Gap[] {
    return this.holes;
  }

  hasVoltage(): boolean {
    return this.voltage;
  }

  onArrive(heard: () => void): () => void {
    this.heard.add(heard);
    return () => this.heard.delete(heard);
  }

  stop(): void {
    this.loader.stop();
  }
}
