import { listenFor } from './listeners.ts';

/** What hands and wheel do over the plotting area; shares are 0 at its left edge and 1 at its right. */
export interface GestureHandler {
  zoom(atShare: number, factor: number): void;
  /** one finger or a mouse button moved by this share of the width */
  pan(byShare: number): void;
  pinchStart(aShare: number, bShare: number): void;
  pinchMove(aShare: number, bShare: number): void;
  select(fromShare: number, toShare: number, done: boolean): void;
  hover(atShare: number | null): void;
  /** pressed and let go in one place */
  tap(atShare: number): void;
  /** true while a drag selects instead of pans */
  selecting(): boolean;
}

/** A hand that moves less than this between down and up has tapped, px. */
const TAP_PX = 5;
/** A full notch of the wheel (100 CSS pixels) zooms by this much. */
const WHEEL_FACTOR = 1.25;

/** Listens on `element` until the returned function is called. */
export function listenForGestures(element: HTMLElement, handler: GestureHandler): () => void {
  const fingers = new Map<number, number>();
  let selectFrom: number | null = null;
  /** where the one finger went down, until it has moved */
  let tapFrom: { x: number; y: number } | null = null;
  const share = (event: MouseEvent): number => {
    const box = element.getBoundingClientRect();
    return box.width === 0 ? 0 : (event.clientX - box.left) / box.width;
  };
  const pair = (): [number, number] => {
    const [a, b] = [...fingers.values()] as [number, number];
    return a <= b ? [a, b] : [b, a];
  };

  const onDown = (event: PointerEvent): void => {
    if (event.pointerType === 'mouse' && event.button !== 0) return;
    element.setPointerCapture(event.pointerId);
    const at = share(event);
    fingers.set(event.pointerId, at);
    tapFrom = fingers.size === 1 ? { x: event.clientX, y: event.clientY } : null;
    if (fingers.size === 2) {
      selectFrom = null;
      handler.pinchStart(...pair());
    } else if (handler.selecting() || event.shiftKey) selectFrom = at;
    element.classList.toggle('is-held', fingers.size > 0);
  };
  const onMove = (event: PointerEvent): void => {
    const at = share(event);
    const before = fingers.get(event.pointerId);
    if (before === undefined) {
      handler.hover(at);
      return;
    }
    if (tapFrom !== null && Math.hypot(event.clientX - tapFrom.x, event.clientY - tapFrom.y) < TAP_PX) return;
    tapFrom = null;
    fingers.set(event.pointerId, at);
    if (fingers.size === 2) handler.pinchMove(...pair());
    else if (selectFrom !== null) handler.select(selectFrom, at, false);
    else if (at !== before) handler.pan(before - at);
    if (fingers.size === 1) handler.hover(at);
  };
  const onUp = (event: PointerEvent): void => {
    if (!fingers.delete(event.pointerId)) return;
    if (tapFrom !== null && event.type === 'pointerup') handler.tap(share(event));
    else if (selectFrom !== null && fingers.size === 0) handler.select(selectFrom, share(event), true);
    selectFrom = null;
    tapFrom = null;
    element.classList.toggle('is-held', fingers.size > 0);
  };
  const onLeave = (): void => {
    if (fingers.size === 0) handler.hover(null);
  };
  const onWheel = (event: WheelEvent): void => {
    event.preventDefault();
    const unit = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? 33 : event.deltaMode === WheelEvent.DOM_DELTA_PAGE ? 300 : 1;
    const sideways = event.shiftKey ? event.deltaY + event.deltaX : event.deltaX;
    if (event.shiftKey || Math.abs(event.deltaX) > Math.abs(event.deltaY)) handler.pan((sideways * unit) / 1000);
    else handler.zoom(share(event), WHEEL_FACTOR ** ((event.deltaY * unit) / 100));
  };

  return listenFor(element, { pointerdown: onDown, pointermove: onMove, pointerup: onUp, pointercancel: onUp, pointerleave: onLeave, wheel: onWheel });
}
