import type { Segment } from '../present/wording/ribbon.ts';
import type { Gap, Samples } from '../trace.ts';
import type { Markup } from '../markup.ts';
import type { PictureElement } from '../picture/pieces.ts';
import { plotPieces, spanOf } from '../picture/plot.ts';
import { laneCount, ribbonHeight, ribbonPieces } from '../picture/ribbon-pieces.ts';
import { inlineSvg } from '../picture/svg.ts';
import { language } from '../present/language.ts';

/** What a picture of a trace is drawn from: samples already reduced to first, min, max and last per column, and what goes around them. */
interface PictureInput {
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

/** Of the drawing, in its own units; `axis`: height of the time axis, `lane`: of a row of the ribbon. */
const SIZES = { width: 720, margin: 52, top: 20, axis: 22, lane: 18, font: 10 } as const;

/** One trace as a self-contained SVG: current as a solid line, voltage dashed on its own scale, gaps left open, the ribbon below. */
export function tracePicture(input: PictureInput): Markup {
  const { samples, gaps, startS, endS, limitsA, segments, title } = input;
  const { timeS, currentA, voltageV } = samples;
  const area = { x: SIZES.margin, y: SIZES.top, width: SIZES.width - 2 * SIZES.margin, height: input.plotHeight };
  const plot = plotPieces({
    area, startS, endS, gaps, fontSize: SIZES.font, ticks: { time: 7, current: 4, voltage: 5 },
    current: spanOf(currentA, limitsA), voltage: voltageV === null ? null : spanOf(voltageV), limits: limitsA.map((atA) => ({ atA })),
    lines: [...(voltageV === null ? [] : [{ ink: 'voltage', axis: 'voltage', timeS, values: voltageV, gaps } as const]), { ink: 'current', timeS, values: currentA, gaps }],
  });
  const dashed: PictureElement[] = voltageV === null ? [] : [{ kind: 'text', x: SIZES.width, y: SIZES.top - SIZES.font, text: language.report.picture.dashed, anchor: 'end', size: SIZES.font }];
  const ribbonTop = SIZES.top + input.plotHeight + SIZES.axis;
  const ribbon = ribbonPieces(segments, startS, endS, { x: area.x, y: ribbonTop, width: area.width, laneHeight: SIZES.lane, fontSize: SIZES.font });
  return inlineSvg({ width: SIZES.width, height: ribbonTop + ribbonHeight(laneCount(segments), SIZES.lane), title, pieces: [...plot, ...dashed, ...ribbon] });
}
