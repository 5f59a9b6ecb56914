import type { ChartState } from './chart-state.ts';

const STEP = 0.01;
const PAN = 0.2;
const ZOOM = 1.5;
const PAN_HEIGHT = 0.1;

/** Keys on a focused chart. Returns whether the key was one of ours. */
export function chartKey(state: ChartState, event: KeyboardEvent): boolean {
  if (event.ctrlKey || event.metaKey || event.altKey) return false;
  const extent = state.source.extent();
  switch (event.key) {
    case 'ArrowLeft':
    case 'ArrowRight': {
      const way = event.key === 'ArrowLeft' ? -1 : 1;
      if (event.shiftKey) state.pan(way * PAN);
      else state.stepCursor(way * STEP);
      return true;
    }
    case 'PageUp':
    case 'PageDown':
      state.pan(event.key === 'PageUp' ? -1 : 1);
      return true;
    case '+':
    case '=':
    case 'ArrowUp':
      if (event.shiftKey && event.key === 'ArrowUp') state.panHeight(PAN_HEIGHT);
      else state.zoomHere(1 / ZOOM);
      return true;
    case '-':
    case 'ArrowDown':
      if (event.shiftKey && event.key === 'ArrowDown') state.panHeight(-PAN_HEIGHT);
      else state.zoomHere(ZOOM);
      return true;
    case '.':
    case ',':
      state.zoomHeight(0.5, event.key === '.' ? 1 / ZOOM : ZOOM);
      return true;
    case '0':
      state.heightByItself();
      return true;
    case 'Home':
      if (extent !== null) state.putCursor(extent.startS);
      return true;
    case 'End':
      if (extent !== null) state.putCursor(extent.endS);
      return true;
    case 'p':
    case 'P':
      if (state.following.value) state.pause();
      else state.resume();
      return true;
    case '[':
    case ']':
      state.selectEdge(event.key === '[' ? 'from' : 'to');
      return true;
    case 'Escape':
      state.selection.value = null;
      state.selectMode.value = false;
      state.hold(null);
      return true;
    default:
      return false;
  }
}
