import type { Extent, View } from './view.ts';
import { MIN_SPAN_S } from './view.ts';

/** What a hand has taken hold of on the line of all time. `beside`: somewhere else, which brings the shown part there. */
export interface LaneDrag {
  readonly part: 'body' | 'start' | 'end' | 'beside';
  readonly atPx: number;
  readonly leftPx: number;
  readonly rightPx: number;
}

/** So near an end takes hold of the end, px: a mouse, a fingertip. */
const NEAR_PX = 7;
const NEAR_TOUCH_PX = 20;

export function dragOf(atPx: number, leftPx: number, rightPx: number, touch: boolean): LaneDrag {
  const near = touch ? NEAR_TOUCH_PX : NEAR_PX;
  // a part narrower than its two ends is moved by its middle, and made longer from outside
  const inside = Math.min(near, (rightPx - leftPx) / 4);
  const part = atPx >= leftPx + inside && atPx <= rightPx - inside ? 'body' : atPx >= leftPx - near && atPx < leftPx + inside ? 'start' : atPx <= rightPx + near && atPx > rightPx - inside ? 'end' : 'beside';
  return { part, atPx, leftPx, rightPx };
}

/** The part of time to show with the hand now at `atPx` of `widthPx`. */
export function dragged(drag: LaneDrag, atPx: number, { startS, endS }: Extent, widthPx: number): View {
  const perPx = (endS - startS) / widthPx;
  const time = (px: number): number => startS + px * perPx;
  const byPx = atPx - drag.atPx;
  const leastPx = MIN_SPAN_S / perPx;
  switch (drag.part) {
    case 'start':
      return { fromS: time(Math.min(drag.leftPx + byPx, drag.rightPx - leastPx)), toS: time(drag.rightPx) };
    case 'end':
      return { fromS: time(drag.leftPx), toS: time(Math.max(drag.rightPx + byPx, drag.leftPx + leastPx)) };
    case 'body':
      return { fromS: time(drag.leftPx + byPx), toS: time(drag.rightPx + byPx) };
    case 'beside': {
      const half = (drag.rightPx - drag.leftPx) / 2;
      return { fromS: time(atPx - half), toS: time(atPx + half) };
    }
  }
}
