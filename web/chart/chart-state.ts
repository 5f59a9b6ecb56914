import { batch, signal } from '@preact/signals';
import type { GestureHandler } from './gestures.ts';
import type { Range } from './plot/axis-range.ts';
import { movedRange, zoomedRange } from './plot/axis-range.ts';
import { TimeView } from './time-view.ts';
import type { View } from './view.ts';
import { clampView } from './view.ts';

/** A tap so near the held moment takes it away, in lengths of the view. */
const ON_IT = 0.012;

/**
 * How one chart is being looked at: which part of time (TimeView), where the cursor is, what is selected, how the current's axis lies. The chart
 * draws from it; buttons, keys, wheel and fingers change it.
 */
export class ChartState extends TimeView implements GestureHandler {
  readonly plot = signal({ leftPx: 0, widthPx: 0 });
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
}
