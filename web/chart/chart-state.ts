import { batch, signal } from '@preact/signals';
import type { ChartSource } from './chart-source.ts';
import type { GestureHandler } from './gestures.ts';
import type { Extent, View } from './view.ts';
import { clampView, followView, MIN_SPAN_S, panBy, pinch, zoomAt } from './view.ts';

export type Span = number | 'all';

/** An "all" view of a growing recording grows in such steps, so that the line stands still in between. */
const GROW = 1.25;

/**
 * How one chart is being looked at: which part of time, following or standing still, where the cursor is, what is selected. The chart
 * draws from it; buttons, keys, wheel and fingers change it.
 */
export class ChartState implements GestureHandler {
  readonly source: ChartSource;
  /** a live chart follows the newest sample until a person pauses, pans or zooms it */
  readonly following = signal(false);
  readonly span = signal<Span>('all');
  /** as drawn last: the ribbon lies on the same axis */
  readonly view = signal<View>({ fromS: 0, toS: 1 });
  readonly plot = signal({ leftPx: 0, widthPx: 0 });
  readonly cursorS = signal<number | null>(null);
  /** the cursor was moved by keys: say where it is */
  readonly spoken = signal(0);
  readonly selection = signal<View | null>(null);
  readonly selectMode = signal(false);
  columns = 1;
  private readonly live: boolean;
  private pinched: [number, number] | null = null;

  constructor(source: ChartSource, live: boolean, span: Span) {
    this.source = source;
    this.live = live;
    this.following.value = live;
    this.span.value = span;
    const extent = source.extent();
    if (!live && extent !== null) this.view.value = wholeOf(extent);
  }

  /** The view to draw now. */
  current(): View {
    const extent = this.source.extent();
    if (extent === null || !this.following.value) return this.view.peek();
    const span = this.span.value;
    if (span !== 'all') return followView(extent.endS, span, this.columns);
    const length = Math.max(extent.endS - extent.startS, 1);
    return { fromS: extent.startS, toS: extent.startS + GROW ** Math.ceil(Math.log(length) / Math.log(GROW)) };
  }

  showSpan(span: Span): void {
    batch(() => {
      this.span.value = span;
      const extent = this.source.extent();
      if (this.live) this.following.value = true;
      else if (extent !== null) {
        const middle = (this.view.value.fromS + this.view.value.toS) / 2;
        this.move(span === 'all' ? wholeOf(extent) : clampView({ fromS: middle - span / 2, toS: middle + span / 2 }, extent));
      }
    });
  }

  show(fromS: number, toS: number): void {
    const extent = this.source.extent();
    if (extent !== null) this.move(clampView({ fromS, toS }, extent));
  }

  pause(): void {
    this.following.value = false;
  }

  resume(): void {
    if (this.live) this.following.value = true;
  }

  zoom(atShare: number, factor: number): void {
    const extent = this.roomy();
    if (extent === null) return;
    const view = this.view.value;
    // while following, closer or wider still follows
    if (this.live && this.following.value) {
      const span = Math.min(Math.max((view.toS - view.fromS) * factor, MIN_SPAN_S * 10), Math.max(extent.endS - extent.startS, 10));
      this.span.value = span;
      return;
    }
    this.move(zoomAt(view, view.fromS + atShare * (view.toS - view.fromS), factor, extent));
  }

  /** Zooms about the cursor when there is one, else about the middle. */
  zoomHere(factor: number): void {
    const { fromS, toS } = this.view.value;
    const at = this.cursorS.value;
    this.zoom(at === null || at < fromS || at > toS ? 0.5 : (at - fromS) / (toS - fromS), factor);
  }

  pan(byShare: number): void {
    const extent = this.roomy();
    if (extent === null) return;
    const view = this.view.value;
    this.move(panBy(view, byShare * (view.toS - view.fromS), extent));
  }

  pinchStart(aShare: number, bShare: number): void {
    this.pinched = [this.atShare(aShare), this.atShare(bShare)];
  }

  pinchMove(aShare: number, bShare: number): void {
    const extent = this.roomy();
    if (this.pinched !== null && extent !== null) this.move(pinch(this.pinched[0], this.pinched[1], aShare, bShare, extent));
  }

  select(fromShare: number, toShare: number, done: boolean): void {
    const a = this.atShare(Math.min(fromShare, toShare));
    const b = this.atShare(Math.max(fromShare, toShare));
    batch(() => {
      this.selection.value = b > a ? { fromS: a, toS: b } : null;
      this.following.value = false;
      if (done) this.selectMode.value = false;
    });
  }

  selecting(): boolean {
    return this.selectMode.value;
  }

  hover(atShare: number | null): void {
    this.cursorS.value = atShare === null ? null : this.atShare(atShare);
  }

  /** Moves the cursor by a share of the view, by key; pulls the view along when it leaves. */
  stepCursor(byShare: number): void {
    const { fromS, toS } = this.view.value;
    const span = toS - fromS;
    const before = this.cursorS.value ?? fromS + span / 2;
    this.putCursor(before + byShare * span);
  }

  putCursor(atS: number): void {
    const extent = this.source.extent();
    if (extent === null) return;
    const at = Math.min(Math.max(atS, extent.startS), extent.endS);
    const { fromS, toS } = this.view.value;
    batch(() => {
      this.following.value = false;
      this.cursorS.value = at;
      this.spoken.value++;
      if (at < fromS || at > toS) this.move(clampView({ fromS: at - (toS - fromS) / 2, toS: at + (toS - fromS) / 2 }, extent));
    });
  }

  /** One end of the selection at the cursor: `[` and `]`. */
  selectEdge(edge: 'from' | 'to'): void {
    const at = this.cursorS.value;
    if (at === null) return;
    const other = this.selection.value === null ? at : edge === 'from' ? this.selection.value.toS : this.selection.value.fromS;
    this.selection.value = { fromS: Math.min(at, other), toS: Math.max(at, other) };
  }

  private move(view: View): void {
    batch(() => {
      this.following.value = false;
      this.view.value = view;
    });
  }

  private atShare(share: number): number {
    const { fromS, toS } = this.view.value;
    return fromS + Math.min(Math.max(share, 0), 1) * (toS - fromS);
  }

  /** The trace, or the present view where that is wider. */
  private roomy(): Extent | null {
    const extent = this.source.extent();
    if (extent === null) return null;
    const { fromS, toS } = this.view.value;
    return { startS: Math.min(extent.startS, fromS), endS: Math.max(extent.endS, Math.min(toS, extent.endS + 0.1 * (toS - fromS))) };
  }
}

/** The whole trace with a little air at its end. */
function wholeOf({ startS, endS }: Extent): View {
  return { fromS: startS, toS: Math.max(startS + MIN_SPAN_S, endS) };
}
