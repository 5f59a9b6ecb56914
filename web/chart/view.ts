/**
 * What part of time the chart shows, and how a person moves it. Pure: the chart, its keys, wheel and fingers all come through here, so
 * however it is moved, it stays within the same bounds.
 */
export interface View {
  readonly fromS: number;
  /** exclusive, always larger than fromS */
  readonly toS: number;
}

export interface Extent {
  readonly startS: number;
  readonly endS: number;
}

/** Closest zoom: 2 ms is one commutation of a slow motor, spread over the whole chart. */
export const MIN_SPAN_S = 0.002;

/** Zooms by `factor` (below 1 = closer) and keeps the moment `atS` under the pointer. */
export function zoomAt(view: View, atS: number, factor: number, extent: Extent): View {
  const span = view.toS - view.fromS;
  const wide = Math.max(extent.endS - extent.startS, MIN_SPAN_S);
  const newSpan = Math.min(Math.max(span * factor, MIN_SPAN_S), Math.max(wide, span));
  const share = (atS - view.fromS) / span;
  return clampView({ fromS: atS - share * newSpan, toS: atS + (1 - share) * newSpan }, extent);
}

export function panBy(view: View, byS: number, extent: Extent): View {
  return clampView({ fromS: view.fromS + byS, toS: view.toS + byS }, extent);
}

/** Two fingers: the moments `aS` and `bS` (as they were when the fingers landed) come to lie at the shares `aShare` and `bShare` of the width. */
export function pinch(aS: number, bS: number, aShare: number, bShare: number, extent: Extent): View {
  const apart = Math.abs(bShare - aShare) < 0.02 ? 0.02 * Math.sign(bShare - aShare || 1) : bShare - aShare;
  const wide = Math.max(extent.endS - extent.startS, MIN_SPAN_S);
  const span = Math.min(Math.max((bS - aS) / apart, MIN_SPAN_S), wide);
  const fromS = aS - aShare * span;
  return clampView({ fromS, toS: fromS + span }, extent);
}

/** Keeps the span, and shifts the view so that it does not leave the trace; a view wider than the trace starts with it. */
export function clampView(view: View, extent: Extent): View {
  const span = Math.max(view.toS - view.fromS, MIN_SPAN_S);
  const latest = Math.max(extent.endS - span, extent.startS);
  const fromS = Math.min(Math.max(view.fromS, extent.startS), latest);
  return { fromS, toS: fromS + span };
}

/**
 * The view that follows the newest sample. Its start is a whole number of pixel columns, so that from one frame to the next the same
 * samples fall into the same column and the drawn line slides without trembling.
 */
export function followView(nowS: number, spanS: number, columns: number): View {
  const columnS = spanS / Math.max(columns, 1);
  const toS = Math.ceil(nowS / columnS + 1e-9) * columnS;
  return { fromS: toS - spanS, toS };
}
