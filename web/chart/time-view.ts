import { batch, signal, type ReadonlySignal } from '@preact/signals';
import type { ChartSource } from './chart-source.ts';
import type { Reach, ReachName } from './reach.ts';
import { NOTHING_HAPPENED, reaches } from './reach.ts';
import type { Extent, View } from './view.ts';
import { clampView, followView, MIN_SPAN_S, panBy, pinch, zoomAt } from './view.ts';

/** Length of what slides along with the newest sample at first, s: a press out and a press back of most mechanisms. */
const FIRST_NOW_S = 10;
/** A part let go so near the newest sample goes on with it, in lengths of all time. */
const AT_NOW = 0.01;

/** A view of all of a growing recording grows in such steps, so that the line keeps still in between. */
const GROW = 1.25;

/** Which part of time a chart shows: following the newest sample or held where a person has put it, and how that is moved and zoomed. */
export class TimeView {
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
  /** where a person looks: what is asked for by key or button lies about it */
  readonly cursorS = signal<number | null>(null);
  /** width of the plot in columns of pixels, as drawn last */
  columns = 1;
  protected readonly live: boolean;
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

  protected move(view: View): void {
    batch(() => {
      this.following.value = false;
      this.reach.value = null;
      this.view.value = view;
    });
  }

  protected atShare(share: number): number {
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
