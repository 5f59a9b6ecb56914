import type { Lane, Segment } from '../present/wording/ribbon.ts';

/** A stretch of time, `[fromS, toS)`. */
interface View {
  readonly fromS: number;
  readonly toS: number;
}

/** A segment as it lies on the strip, in CSS pixels from the left edge of the chart's plot. */
export interface PlacedSegment {
  readonly segment: Segment;
  readonly leftPx: number;
  readonly widthPx: number;
  /** the whole word fits */
  readonly worded: boolean;
  /** segments drawn as one because each alone would be narrower than a fingertip's line */
  readonly count: number;
  /** where the last of them ends, s */
  readonly endS: number;
}

/** Narrower than this, neighbours are drawn as one. */
const MERGE_BELOW_PX = 5;
/** A moment's flag with its word. */
const PIN_PX = 14;
/** Letters of ` ×3`. */
const COUNT_LETTERS = 3;

/**
 * Places the segments that touch the view. Bounded by the width, not by the number of segments: what is too narrow to see apart is merged
 * with its neighbour of the same kind, and the merged piece says how many it holds. `charPx` is the width of a letter.
 */
export function layoutRibbon(segments: readonly Segment[], view: View, widthPx: number, lane: Lane, charPx = 7.4): PlacedSegment[] {
  const perS = widthPx / (view.toS - view.fromS);
  const placed: { segment: Segment; leftPx: number; widthPx: number; count: number; endS: number }[] = [];
  for (const segment of segments) {
    if (segment.lane !== lane || segment.endS < view.fromS || segment.startS > view.toS) continue;
    const leftPx = Math.max(0, (segment.startS - view.fromS) * perS);
    const rightPx = Math.min(widthPx, (segment.endS - view.fromS) * perS);
    const wide = Math.max(segment.kind === 'note' ? PIN_PX : 2, rightPx - leftPx);
    const last = placed.at(-1);
    const close = last !== undefined && leftPx - (last.leftPx + last.widthPx) < 2;
    if (last !== undefined && close && last.segment.kind === segment.kind && (last.widthPx < MERGE_BELOW_PX || wide < MERGE_BELOW_PX || segment.kind === 'note')) {
      // pins say their number beside them
      last.widthPx = Math.max(last.widthPx, leftPx + wide - last.leftPx, segment.kind === 'note' ? PIN_PX + COUNT_LETTERS * charPx : 0);
      last.count++;
      last.endS = Math.max(last.endS, segment.endS);
    } else {
      placed.push({ segment, leftPx, widthPx: wide, count: 1, endS: segment.endS });
    }
  }
  return placed.map((one, index) => {
    const nextPx = index + 1 < placed.length ? placed[index + 1].leftPx : widthPx;
    const roomPx = one.segment.kind === 'note' ? nextPx - one.leftPx - PIN_PX : one.widthPx - 8;
    const letters = one.segment.word.length + (one.count > 1 ? COUNT_LETTERS : 0);
    return { ...one, worded: roomPx >= letters * charPx };
  });
}
