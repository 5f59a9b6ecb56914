import type { Gap, Mark, SampleBlock } from '../trace.ts';
import { stroke, type Drawing, type PictureElement } from './pieces.ts';
import { plotPieces, spanOf } from './plot.ts';

/** Pixel columns of the plot: ask a trace's window for just so many, then the line covers exactly the pixels all samples would. */
export const PLOT_COLUMNS = 1440;
const AREA = { x: 96, y: 40, width: PLOT_COLUMNS, height: 520 };
const PAPER = { width: AREA.x + PLOT_COLUMNS + 96, height: AREA.y + AREA.height + 48 };
const FONT_SIZE = 18;
/** Length of a mark's flag below the plot; the line of a stretch lies at its foot. */
const FLAG = 12;

interface DrawingInput {
  readonly title: string;
  readonly startS: number;
  readonly endS: number;
  /** the window of PLOT_COLUMNS columns over `[startS, endS)` */
  readonly window: SampleBlock;
  readonly gaps: readonly Gap[];
  readonly marks: readonly Mark[];
}

/** Current against the left axis, voltage on its own scale against the right one, gaps grey and left open, marks as small flags below, measured stretches as lines there. */
export function drawTrace({ title, startS, endS, window, gaps, marks }: DrawingInput): Drawing {
  const { timeS, currentA, voltageV } = window;
  const bottom = AREA.y + AREA.height;
  const plot = plotPieces({
    area: AREA, startS, endS, gaps, timeGrid: true, fontSize: FONT_SIZE, ticks: { time: 9, current: 7 },
    current: spanOf(currentA), voltage: voltageV === null ? null : spanOf(voltageV),
    lines: [...(voltageV === null ? [] : [{ ink: 'voltage', axis: 'voltage', timeS, values: voltageV, gaps } as const]), { ink: 'current', timeS, values: currentA, gaps }],
  });
  const flags = marks
    .filter(({ timeS: atS, endS: untilS = atS }) => untilS >= startS && atS <= endS)
    .map(({ timeS: atS, endS: untilS }): PictureElement => {
      const x = (timeAt: number): number => AREA.x + ((Math.min(Math.max(timeAt, startS), endS) - startS) / (endS - startS || 1)) * AREA.width;
      return untilS === undefined ? stroke('mark', x(atS), bottom, x(atS), bottom + FLAG) : stroke('mark', x(atS), bottom + FLAG, x(untilS), bottom + FLAG);
    });
  const paper: PictureElement = { kind: 'box', ink: 'paper', x: 0, y: 0, ...PAPER };
  const heading: PictureElement = { kind: 'text', x: PAPER.width / 2, y: FONT_SIZE, text: title, anchor: 'middle', size: FONT_SIZE, bold: true };
  return { ...PAPER, title, pieces: [paper, ...plot, ...flags, heading] };
}
