import { LANES, type Lane, type Segment } from '../present/wording/ribbon.ts';
import type { Area, PictureElement } from './pieces.ts';
import { layoutRibbon } from './ribbon-layout.ts';
import { language } from '../present/language.ts';

const words = language.figures.ribbonPieces;

interface RibbonPlace extends Omit<Area, 'height'> {
  readonly laneHeight: number;
  readonly fontSize: number;
}

/** Width of a letter, in sizes of the font (mean of common sans-serif faces). */
const LETTER = 0.55;
const LANE_GAP = 3;

/** Lanes with something in them; the analysis has the first whenever there is any. */
function lanesOf(segments: readonly Segment[]): readonly Lane[] {
  return segments.length === 0 ? [] : LANES.filter((lane) => lane === 0 || segments.some((one) => one.lane === lane));
}

export function laneCount(segments: readonly Segment[]): number {
  return lanesOf(segments).length;
}

/** Height of so many lanes, px. */
export function ribbonHeight(lanes: number, laneHeight: number): number {
  return lanes * (laneHeight + LANE_GAP);
}

/** The ribbon under a plot: its words where they fit, all of them with their figures for the pointer. */
export function ribbonPieces(segments: readonly Segment[], startS: number, endS: number, place: RibbonPlace): PictureElement[] {
  const view = { fromS: startS, toS: endS };
  return lanesOf(segments).flatMap((lane, row) =>
    layoutRibbon(segments, view, place.width, lane, LETTER * place.fontSize).flatMap(({ segment, leftPx, widthPx, worded, count }): PictureElement[] => {
      const y = place.y + ribbonHeight(row, place.laneHeight);
      const box: PictureElement = {
        kind: 'box', ink: segment.kind, x: place.x + leftPx, y, width: Math.max(1.5, widthPx - 1), height: place.laneHeight,
        hint: `${segment.word}${count > 1 ? words.ofThem(count) : ''}: ${segment.detail}`,
      };
      if (!worded) return [box];
      return [box, { kind: 'text', x: place.x + leftPx + place.fontSize / 3, y: y + place.laneHeight / 2, text: segment.word, anchor: 'start', size: place.fontSize }];
    }),
  );
}
