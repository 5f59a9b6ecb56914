import type { Segment } from '../present/ribbon.ts';
import type { Gap, Samples } from '../trace.ts';
import type { Markup } from '../markup.ts';
import type { Piece } from '../picture/pieces.ts';
import { plotPieces, spanOf } from '../picture/plot.ts';
import { laneCount, ribbonHeight, ribbonPieces } from '../picture/ribbon-pieces.ts';
import { inlineSvg } from '../picture/svg.ts';

/** What a picture of a trace is drawn from: samples already reduced to first, min, max and last per column, and what goes around them. */
export interface PictureInput {
  readonly samples: Samples;
  readonly gaps: readonly Gap[];
  readonly startS: number;
  readonly endS: number;
  readonly segments: readonly Segment[];
  /** drawn across, A */
  readonly limitsA: readonly number[];
  readonly title: string;
  /** of the plot itself, without ribbon and axis; the drawing is 720 units wide */
  readonly plotHeight: number;
}

const WIDTH = 720;
const MARGIN = 52;
const TOP = 20;
const AXIS_HEIGHT = 22;
const LANE_HEIGHT = 18;
const FONT_SIZE = 10;

/** One trace as a self-contained SVG: current as a solid line, voltage dashed on its own scale, gaps left open, the ribbon below. */
export function tracePicture(input: PictureInput): Markup {
  const { samples, gaps, startS, endS, limitsA, segments, title } = input;
  const { timeS, currentA, voltageV } = samples;
  const area = { x: MARGIN, y: TOP, width: WIDTH - 2 * MARGIN, height: input.plotHeight };
  const plot = plotPieces({
    area, startS, endS, gaps, fontSize: FONT_SIZE, ticks: { time: 7, current: 4, voltage: 5 },
    current: spanOf(currentA, limitsA), voltage: voltageV === null ? null : spanOf(voltageV), limits: limitsA.map((atA) => ({ atA })),
    lines: [...(voltageV === null ? [] : [{ ink: 'voltage', axis: 'voltage', timeS, values: voltageV, gaps } as const]), { ink: 'current', timeS, values: currentA, gaps }],
  });
  const dashed: Piece[] = voltageV === null ? [] : [{ kind: 'text', x: WIDTH, y: TOP - FONT_SIZE, text: 'dashed', anchor: 'end', size: FONT_SIZE }];
  const ribbonTop = TOP + input.plotHeight + AXIS_HEIGHT;
  const ribbon = ribbonPieces(segments, startS, endS, { x: area.x, y: ribbonTop, width: area.width, laneHeight: LANE_HEIGHT, fontSize: FONT_SIZE });
  return inlineSvg({ width: WIDTH, height: ribbonTop + ribbonHeight(laneCount(segments), LANE_HEIGHT), title, pieces: [...plot, ...dashed, ...ribbon] });
}
