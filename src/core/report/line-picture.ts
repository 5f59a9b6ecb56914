import type { Markup } from '../markup.ts';
import { axisSpan } from '../picture/axis.ts';
import { stroke, type PictureElement } from '../picture/pieces.ts';
import { plotPieces } from '../picture/plot.ts';
import { inlineSvg } from '../picture/svg.ts';
import { language } from '../present/language.ts';

const texts = language.linePicture;

interface PaperLine {
  readonly timeS: Float64Array | readonly number[];
  readonly currentA: ArrayLike<number>;
  readonly kind: 'before' | 'after' | 'usual';
}

interface LinePicture {
  /** of the drawing; it is scaled to the column it is in, so a narrow one keeps its words legible */
  readonly width: number;
  readonly height: number;
  readonly lines: readonly PaperLine[];
  readonly title: string;
  /** above the drawing, to the right */
  readonly words: string;
  /** the same axes for several pictures; absent: what the lines need */
  readonly endS?: number;
  readonly highA?: number;
  /** readings above are cut off there, so that what lies below can be seen */
  readonly cutA?: number;
  readonly limitA?: number;
}

/** Room round the plot, in units of the drawing. */
const ROOM = { left: 40, right: 6, top: 22, axis: 18 } as const;
const FONT_SIZE = 10;
/** Below this height only a few ticks find room. */
const TALL = 150;
/** px of width that a time label needs */
const TIME_LABEL = 75;

/** Currents over time on one pair of axes; time 0 is the switch edge, or the start of each recording. */
export function linePicture(input: LinePicture): Markup {
  const { width, height, lines, title, words, limitA } = input;
  const { startS, endS, highA } = extent(input);
  const plot = plotPieces({
    area: { x: ROOM.left, y: ROOM.top, width: width - ROOM.left - ROOM.right, height: height - ROOM.top - ROOM.axis }, startS, endS, current: axisSpan(0, highA), fontSize: FONT_SIZE,
    ticks: { time: Math.max(3, Math.floor(width / TIME_LABEL)), current: height > TALL ? 4 : 3 },
    limits: limitA === undefined ? [] : [{ atA: limitA }],
    lines: lines.map(({ kind, timeS, currentA }) => ({ ink: kind, timeS, values: currentA })),
  });
  const heading: PictureElement = { kind: 'text', x: width - ROOM.right, y: ROOM.top / 2, text: words, anchor: 'end', size: FONT_SIZE };
  return inlineSvg({ width, height, title, pieces: [...plot, ...(lines.some(({ kind }) => kind === 'before') ? legend() : []), heading] });
}

function legend(): PictureElement[] {
  const word = (x: number, text: string): PictureElement => ({ kind: 'text', x, y: ROOM.top / 2, text, anchor: 'start', size: FONT_SIZE });
  return [stroke('before', ROOM.left, ROOM.top / 2, ROOM.left + 24, ROOM.top / 2), word(ROOM.left + 28, texts.before), stroke('after', ROOM.left + 70, ROOM.top / 2, ROOM.left + 94, ROOM.top / 2), word(ROOM.left + 98, texts.after)];
}

function extent({ lines, endS: wantedEndS, highA: wantedHighA, cutA }: LinePicture): { startS: number; endS: number; highA: number } {
  let startS = 0;
  let endS = wantedEndS ?? 0;
  let highA = wantedHighA ?? 0.001;
  for (const { timeS, currentA } of lines) {
    startS = Math.min(startS, timeS[0] ?? 0);
    endS = Math.max(endS, timeS[timeS.length - 1] ?? 0);
    for (let i = 0; i < currentA.length; i++) highA = Math.max(highA, currentA[i]);
  }
  return { startS, endS, highA: cutA ?? highA };
}
