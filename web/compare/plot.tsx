import { axisSpan } from '../../src/core/picture/axis.ts';
import { dashedAcross, isDense } from '../../src/core/picture/dashes.ts';
import { DASHES, type Ink, type PictureElement } from '../../src/core/picture/pieces.ts';
import { plotPieces } from '../../src/core/picture/plot.ts';
import { baselineOf, pathOf } from '../../src/core/picture/svg.ts';
import type { Line } from '../../src/core/wire/prove.ts';
import { language } from '../../src/core/present/language.ts';

const words = language.screens.compare.plot;

export interface DrawnLine {
  readonly ink: Extract<Ink, 'before' | 'after' | 'usual' | 'difference'>;
  readonly line: Line;
}

interface PlotProps {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly startS: number;
  readonly endS: number;
  readonly lines: readonly DrawnLine[];
  readonly label: string;
  readonly withZero?: boolean;
  /** the same height of the axis for several plots, A */
  readonly highA?: number;
  /** readings above are cut off there, A */
  readonly cutA?: number;
  /** drawn across, A */
  readonly limitA?: number;
  /** small: few ticks, narrow margins */
  readonly small?: boolean;
}

/** px of width that a time label needs */
const TIME_LABEL_PX = 90;
/** Below this height only a few ticks find room. */
const TALL_PX = 160;

/** Lines over time on one pair of axes, as SVG in the colours of the page: the words beside it say what they are. */
export function Plot({ widthPx, heightPx, startS, endS, lines, label, withZero = false, highA: wantedHighA, cutA, limitA, small = false }: PlotProps) {
  if (widthPx < 80) return <svg width="100%" height={heightPx} aria-hidden="true" />;
  const { lowA, highA } = extremes(lines, withZero, wantedHighA, cutA);
  if (lowA > highA) return <p class="fine">{words.theTwoDoNot}</p>;
  const fontSize = small ? 11 : 12;
  const leftPx = small ? 34 : 46;
  const topPx = 1.6 * fontSize;
  const pieces = plotPieces({
    area: { x: leftPx, y: topPx, width: widthPx - leftPx - 8, height: heightPx - topPx - (small ? 18 : 22) },
    startS, endS, current: axisSpan(Math.min(lowA, 0), Math.max(highA, 0)), fontSize,
    ticks: { time: Math.max(3, Math.floor(widthPx / TIME_LABEL_PX)), current: heightPx > TALL_PX ? 5 : small ? 2 : 3 },
    limits: limitA === undefined ? [] : [{ atA: limitA }],
    lines: lines.map(({ ink, line }) => ({ ink, timeS: line.timeS, values: line.currentA })),
  });
  return <svg class="overlay-plot" width={widthPx} height={heightPx} role="img" aria-label={label}>{pieces.map((piece, i) => <Drawn piece={piece} key={i} />)}</svg>;
}

function Drawn({ piece }: { piece: PictureElement }) {
  switch (piece.kind) {
    case 'line': {
      const dash = DASHES[piece.ink];
      const dense = dash === undefined ? [] : piece.runs.filter(isDense);
      const lines = <path class={`ink-${piece.ink}`} d={pathOf(piece.runs.filter((run) => !dense.includes(run)))} />;
      return dash === undefined || dense.length === 0 ? lines : <>{lines}<path class={`ink-${piece.ink} ink-dense`} d={pathOf(dense.flatMap((run) => dashedAcross(run, dash)))} /></>;
    }
    case 'text':
      return <text x={piece.x} y={baselineOf(piece)} font-size={piece.size} text-anchor={piece.anchor} font-weight={piece.bold === true ? 650 : undefined}>{piece.text}</text>;
    case 'box':
      return <rect class={`ink-${piece.ink}`} x={piece.x} y={piece.y} width={piece.width} height={piece.height} />;
  }
}

function extremes(lines: readonly DrawnLine[], withZero: boolean, wantedHighA: number | undefined, cutA: number | undefined): { lowA: number; highA: number } {
  let lowA = withZero ? 0 : Infinity;
  let highA = wantedHighA ?? (withZero ? 0.1 : -Infinity);
  for (const { line } of lines) {
    for (const valueA of line.currentA) {
      lowA = Math.min(lowA, valueA);
      highA = Math.max(highA, valueA);
    }
  }
  return { lowA, highA: cutA === undefined ? highA : Math.min(highA, cutA) };
}
