import { listenFor } from './listeners.ts';

/** What hands and wheel do on the current's own axis; shares are 0 at its foot and 1 at its top. */
interface HeightHandler {
  panHeight(byShare: number): void;
  zoomHeight(atShare: number, factor: number): void;
  heightByItself(): void;
}

/** A full notch of the wheel (100 CSS pixels) zooms by this much. */
const WHEEL_FACTOR = 1.25;
const MOST_FINGERS = 2;
/** Two fingers nearer than this say nothing of a stretch, px. */
const LEAST_SPREAD_PX = 10;

/** Listens on the strip that lies over the axis, until the returned function is called: drag moves, wheel or two fingers zoom, a double tap gives it back to the readings. */
export function listenOnHeight(element: HTMLElement, handler: HeightHandler): () => void {
  const fingers = new Map<number, number>();
  const spread = (): number => Math.abs([...fingers.values()].reduce((a, b) => a - b));
  const middle = (): number => [...fingers.values()].reduce((a, b) => a + b) / fingers.size;
  const shareOf = (clientY: number): number => {
    const box = element.getBoundingClientRect();
    return 1 - (clientY - box.top) / box.height;
  };
  const onDown = (event: PointerEvent): void => {
    element.setPointerCapture(event.pointerId);
    if (fingers.size < MOST_FINGERS) fingers.set(event.pointerId, event.clientY);
  };
  const onMove = (event: PointerEvent): void => {
    const beforePx = fingers.get(event.pointerId);
    if (beforePx === undefined || event.clientY === beforePx) return;
    const spreadPx = spread();
    fingers.set(event.pointerId, event.clientY);
    if (fingers.size === 1) handler.panHeight((event.clientY - beforePx) / element.clientHeight);
    else if (spreadPx >= LEAST_SPREAD_PX && spread() >= LEAST_SPREAD_PX) handler.zoomHeight(shareOf(middle()), spreadPx / spread());
  };
  const onUp = (event: PointerEvent): void => {
    fingers.delete(event.pointerId);
  };
  const onWheel = (event: WheelEvent): void => {
    event.preventDefault();
    handler.zoomHeight(shareOf(event.clientY), WHEEL_FACTOR ** (event.deltaY / 100));
  };
  return listenFor(element, { pointerdown: onDown, pointermove: onMove, pointerup: onUp, pointercancel: onUp, wheel: onWheel, dblclick: () => handler.heightByItself() });
}
