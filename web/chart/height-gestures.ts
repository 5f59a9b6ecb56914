/** What hands and wheel do on the current's own axis; shares are 0 at its foot and 1 at its top. */
export interface HeightHandler {
  panHeight(byShare: number): void;
  zoomHeight(atShare: number, factor: number): void;
  heightByItself(): void;
}

/** A full notch of the wheel (100 CSS pixels) zooms by this much. */
const WHEEL_FACTOR = 1.25;

/** Listens on the strip that lies over the axis, until the returned function is called: drag moves, wheel zooms, a double tap gives it back to the readings. */
export function listenOnHeight(element: HTMLElement, handler: HeightHandler): () => void {
  let lastPx: number | null = null;
  const onDown = (event: PointerEvent): void => {
    element.setPointerCapture(event.pointerId);
    lastPx = event.clientY;
  };
  const onMove = (event: PointerEvent): void => {
    if (lastPx === null || event.clientY === lastPx) return;
    handler.panHeight((event.clientY - lastPx) / element.clientHeight);
    lastPx = event.clientY;
  };
  const onUp = (): void => {
    lastPx = null;
  };
  const onWheel = (event: WheelEvent): void => {
    event.preventDefault();
    const box = element.getBoundingClientRect();
    handler.zoomHeight(1 - (event.clientY - box.top) / box.height, WHEEL_FACTOR ** (event.deltaY / 100));
  };
  const onDouble = (): void => handler.heightByItself();
  element.addEventListener('pointerdown', onDown);
  element.addEventListener('pointermove', onMove);
  element.addEventListener('pointerup', onUp);
  element.addEventListener('pointercancel', onUp);
  element.addEventListener('wheel', onWheel, { passive: false });
  element.addEventListener('dblclick', onDouble);
  return () => {
    element.removeEventListener('pointerdown', onDown);
    element.removeEventListener('pointermove', onMove);
    element.removeEventListener('pointerup', onUp);
    element.removeEventListener('pointercancel', onUp);
    element.removeEventListener('wheel', onWheel);
    element.removeEventListener('dblclick', onDouble);
  };
}
