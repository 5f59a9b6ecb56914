import { batch, signal, type ReadonlySignal } from '@preact/signals';
import type { ChartSource } from './chart-source.ts';
import type { GestureHandler } from './gestures.ts';
import type { Range } from './plot/axis-range.ts';
import { movedRange, zoomedRange } from './plot/axis-range.ts';
import type { Reach, ReachName } from './reach.ts';
import { NOTHING_HAPPENED, reaches } from './reach.ts';
import type { Extent, View } from './view.ts';
import { clampView, followView, MIN_SPAN_S, panBy, pinch, zoomAt } from './view.ts';

/** Length of what slides along with the newest sample at first, s: a press out and a press back of most mechanisms. */
const FIRST_NOW_S = 10;
/** A part let go so near the newest sample goes on with it, in lengths of all time. */
const AT_NOW = 0.01;

/** A tap so near the held moment takes it away, in lengths of the view. */
const ON_IT = 0.012;

/** A view of all of a growing recording grows in such steps, so that the line keeps still in between. */
const GROW = 1.25;

/**
 * How one chart is being looked at: which part of time, following or standing still, where the cursor is, what is selected. The chart
 * draws from it; buttons, keys, wheel and fingers change it.
 */
export class ChartState implements GestureHandler {
  readonly source: ChartSource;
  /** from where its moments are counted for people, s */
  readonly originS: ReadonlySignal<number>;
  /** a live chart follows the newest sample until a person pauses, pans or zooms it */
  readonly following = signal(false);
  /** what the view was chosen by; null once it was moved by hand */
  readonly reach = signal<ReachName | null>('all');
  readonly happened = signal(NOTHING_HAPPENED);
  /** length of what slides along with the newest sample, s */
  readonly nowS = signal(FIRST_NOW_S);
  /** as drawn last: the ribbon lies on the same axis */
  readonly view = signal<View>({ fromS: 0, toS: 1 });
  readonly plot = signal({ leftPx: 0, widthPx: 0 });
  readonly cursorS = signal<number | null>(null);
  /** a moment that a tap or a key has put down: the cursor comes back to it, and a mark can be set there */
  readonly heldS = signal<number | null>(null);
  /** bounds of the current's axis set by hand, A; null: by what is drawn */
  readonly heightA = signal<Range | null>(null);
  /** as drawn last, A */
  drawnA: Range = [0, 1];
  /** the current's axis by its powers of ten, so that milliamps and tens of amperes are seen together */
  readonly powers = signal(false);
  /** the cursor was moved by keys: say where it is */
  readonly spoken = signal(0);
  readonly selection = signal<View | null>(null);
  readonly selectMode = signal(false);
  columns = 1;
  private readonly live: boolean;
  private pinched: [number, number] | null = null;

  constructor(source: ChartSource, live: boolean, originS: ReadonlySignal<number> = signal(0)) {
    this.source = source;
    this.originS = originS;
    this.live = live;
    this.following.value = live;
    this.reach.value = live ? 'now' : 'all';
    const extent = source.extent();
    if (!live && extent !== null) this.view.value = wholeOf(extent);
  }

  /** The view to draw now. */
  current(): View {
    const extent = this.source.extent();
    if (extent === null || !this.following.value) return this.view.peek();
    const chosen = this.reaches().find(({ name }) => name === this.reach.value);
    if (chosen === undefined || chosen.name === 'now') return followView(extent.endS, this.nowS.value, this.columns);
    if (chosen.toS !== null) return { fromS: chosen.fromS, toS: chosen.toS };
    const length = Math.max(extent.endS - chosen.fromS, 1);
    return { fromS: chosen.fromS, toS: chosen.fromS + GROW ** Math.ceil(Math.log(length) / Math.log(GROW)) };
  }

  /** The parts of time that can be asked for now. */
  reaches(): Reach[] {
    const extent = this.source.extent();
    if (extent === null) return [];
    const { fromS, toS } = this.view.peek();
    return reaches(this.happened.value, extent, this.live ? this.nowS.value : null, this.live ? null : (this.cursorS.value ?? (fromS + toS) / 2));
  }

  reachFor(name: ReachName): void {
    const chosen = this.reaches().find((one) => one.name === name);
    // on a live chart that has no reading yet, as after a change of the test, the choice holds for what comes
    if (chosen === undefined && !this.live) return;
    batch(() => {
      if (!this.live && chosen !== undefined) this.show(chosen.fromS, chosen.toS ?? chosen.fromS);
      if (name === 'now') this.nowS.value = FIRST_NOW_S;
      this.reach.value = name;
      this.following.value = this.live;
    });
  }

  /** Whether the view is what this name asks for. */
  shows(name: ReachName): boolean {
    return this.reach.value === name && (this.following.value || !this.live);
  }

  /** From the line of all time: the part as it is dragged there. */
  showBetween(view: View): void {
    const extent = this.source.extent();
    if (extent !== null) this.move(clampView(view, extent));
  }

  /** The hand has let go there: at the newest sample the view goes on with it. */
  letGo(): void {
    const extent = this.source.extent();
    const { fromS, toS } = this.view.value;
    if (!this.live || extent === null || toS < extent.endS - AT_NOW * (extent.endS - extent.startS)) return;
    batch(() => {
      this.nowS.value = Math.max(toS - fromS, MIN_SPAN_S * 10);
      this.reach.value = 'now';
      this.following.value = true;
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
    if (!this.live) return;
    this.reach.value ??= 'now';
    this.following.value = true;
  }

  zoom(atShare: number, factor: number): void {
    const extent = this.roomy();
    if (extent === null) return;
    const view = this.view.value;
    // while following, closer or wider still follows
    if (this.live && this.following.value) {
      const span = Math.min(Math.max((view.toS - view.fromS) * factor, MIN_SPAN_S * 10), Math.max(extent.endS - extent.startS, 10));
      this.nowS.value = span;
      this.reach.value = 'now';
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
    this.cursorS.value = atShare === null ? this.heldS.value : this.atShare(atShare);
  }

  /** A tap: the cursor stays there; a tap on it takes it away. */
  tap(atShare: number): void {
    const at = this.atShare(atShare);
    const { fromS, toS } = this.view.value;
    const before = this.heldS.value;
    this.hold(before !== null && Math.abs(before - at) < ON_IT * (toS - fromS) ? null : at);
  }

  hold(atS: number | null): void {
    batch(() => {
      this.heldS.value = atS;
      this.cursorS.value = atS;
    });
  }

  /** The current's axis by hand: by a share of its height, or closer about a place on it. */
  panHeight(byShare: number): void {
    this.heightA.value = movedRange(this.heightA.value ?? this.drawnA, byShare);
  }

  zoomHeight(atShare: number, factor: number): void {
    this.heightA.value = zoomedRange(this.heightA.value ?? this.drawnA, atShare, factor);
  }

  heightByItself(): void {
    this.heightA.value = null;
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
      this.hold(at);
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
      this.reach.value = null;
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
