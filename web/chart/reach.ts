import type { Extent, View } from './view.ts';

/** What happened, as far as it is known, on the chart's own time. */
export interface Happened {
  /** in order of time; the last one may still be pressed */
  readonly presses: readonly View[];
  readonly keyOffS: number | null;
  /** start of the running recording */
  readonly recordingS: number | null;
}

export const NOTHING_HAPPENED: Happened = { presses: [], keyOffS: null, recordingS: null };

/** The parts of time a person asks for, by what happened there. */
export type ReachName = 'all' | 'recording' | 'key-off' | 'presses' | 'press' | 'now';

/** A part of time with its name. It begins where the thing happened. */
export interface Reach {
  readonly name: ReachName;
  readonly fromS: number;
  /** null: up to the newest sample, and on with it */
  readonly toS: number | null;
  /** presses inside; 0 where none are meant */
  readonly count: number;
}

/** Presses looked at together: out and back, twice, and one more to see that it goes on like this. */
const TOGETHER = 5;
/** Room left of a press and right of it, in lengths of what is shown. */
const ROOM = 0.15;
/** Shortest room, s: the inrush of a press begins at once. */
const LEAST_ROOM_S = 0.1;

/**
 * What can be asked for, in order of where it begins. `nowS` is the length of what slides along with the newest sample, null for a stored trace.
 * `aboutS` chooses the press of a stored trace: the one that is nearest.
 */
export function reaches(happened: Happened, extent: Extent, nowS: number | null, aboutS: number | null = null): Reach[] {
  const { presses, keyOffS, recordingS } = happened;
  const found: Reach[] = [{ name: 'all', fromS: extent.startS, toS: nowS === null ? extent.endS : null, count: 0 }];
  const since = (name: ReachName, atS: number | null): void => {
    if (atS !== null && atS > extent.startS && atS < extent.endS) found.push({ name, fromS: atS, toS: nowS === null ? extent.endS : null, count: 0 });
  };
  since('recording', recordingS);
  since('key-off', keyOffS);
  const together = presses.slice(-TOGETHER);
  if (together.length > 1) found.push({ name: 'presses', ...withRoom(together[0]!.fromS, together.at(-1)!.toS, extent), count: together.length });
  const one = aboutS === null ? presses.at(-1) : nearest(presses, aboutS);
  if (one !== undefined) found.push({ name: 'press', ...withRoom(one.fromS, one.toS, extent), count: 1 });
  const order = found.sort((a, b) => a.fromS - b.fromS);
  return nowS === null ? order : [...order, { name: 'now', fromS: Math.max(extent.startS, extent.endS - nowS), toS: null, count: 0 }];
}

function withRoom(fromS: number, toS: number, { startS }: Extent): View {
  const roomS = Math.max(LEAST_ROOM_S, ROOM * (toS - fromS));
  return { fromS: Math.max(startS, fromS - roomS), toS: toS + roomS };
}

function nearest(presses: readonly View[], atS: number): View | undefined {
  const far = ({ fromS, toS }: View): number => Math.max(fromS - atS, atS - toS, 0);
  return presses.reduce<View | undefined>((best, one) => (best === undefined || far(one) < far(best) ? one : best), undefined);
}

/**
 * Left edges of names in a row, each as near as can be to its own place without lying on another; null where the row is too short for
 * them. `wantedPx` rises.
 */
export function placeNames(wantedPx: readonly number[], widthsPx: readonly number[], roomPx: number, gapPx: number): number[] | null {
  const needed = widthsPx.reduce((sum, width) => sum + width + gapPx, -gapPx);
  if (needed > roomPx) return null;
  const lefts: number[] = [];
  let free = 0;
  for (const [i, wanted] of wantedPx.entries()) {
    lefts.push(Math.max(free, wanted));
    free = lefts[i]! + widthsPx[i]! + gapPx;
  }
  let limit = roomPx;
  for (let i = lefts.length - 1; i >= 0; i--) {
    lefts[i] = Math.min(lefts[i]!, limit - widthsPx[i]!);
    limit = lefts[i]! - gapPx;
  }
  return lefts;
}
