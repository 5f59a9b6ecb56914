import { stroke, type Drawing, type PictureElement } from '../../../src/core/picture/pieces.ts';
import { plotPieces } from '../../../src/core/picture/plot.ts';
import { laneCount, ribbonHeight, ribbonPieces } from '../../../src/core/picture/ribbon-pieces.ts';
import type { Segment } from '../../../src/core/present/wording/ribbon.ts';
import type { Gap, Samples } from '../../../src/core/trace.ts';
import { currentRange, voltageRange } from './axis-range.ts';
import { plotData } from './plot-data.ts';
import { drawnExtremes } from '../summary.ts';
import type { LimitLine } from './uplot-chart.ts';
import type { View } from '../view.ts';

interface Facts {
  readonly title: string;
  readonly view: View;
  readonly samples: Samples;
  readonly gaps: readonly Gap[];
  readonly limits: readonly LimitLine[];
  readonly segments: readonly Segment[];
}

const WIDTH = 1200;
const AREA = { x: 64, y: 48, width: WIDTH - 2 * 64, height: 360 };
const RIBBON_TOP = AREA.y + AREA.height + 34;
const LANE_HEIGHT = 24;
const FONT_SIZE = 13;
/** A limit further away than so many times the readings would flatten them. */
const NEAR = 3;

/** The chart as it is in view, always on white, with axes, limits, ribbon and title, so that it can stand alone. */
export function pictureOfChart({ title, view, samples, gaps, limits, segments }: Facts): Drawing {
  const { fromS: startS, toS: endS } = view;
  const data = plotData(samples, gaps, startS, endS, AREA.width * 2);
  const a = currentRange(...withNear(drawnExtremes(data.currentA), limits), null);
  const v = data.voltageV === null ? null : voltageRange(...drawnExtremes(data.voltageV), null, a);
  const inView = within(data.x, startS, endS);
  const plot = plotPieces({
    area: AREA, startS, endS, gaps, timeGrid: true, fontSize: FONT_SIZE, ticks: { time: 10, current: 7 },
    current: { low: a[0], high: a[1] }, voltage: v === null ? null : { low: v[0], high: v[1] }, limits,
    lines: [...(data.voltageV === null ? [] : [{ ink: 'voltage', axis: 'voltage', ...pointsOf(inView, data.voltageV), gaps } as const]), { ink: 'current', ...pointsOf(inView, data.currentA), gaps }],
  });
  const lanes = laneCount(segments);
  const height = RIBBON_TOP + ribbonHeight(lanes, LANE_HEIGHT) + FONT_SIZE;
  const paper: PictureElement = { kind: 'box', ink: 'paper', x: 0, y: 0, width: WIDTH, height };
  const heading: PictureElement = { kind: 'text', x: AREA.x, y: 22, text: title, anchor: 'start', size: 17, bold: true };
  const ribbon = ribbonPieces(segments, startS, endS, { x: AREA.x, y: RIBBON_TOP, width: AREA.width, laneHeight: LANE_HEIGHT, fontSize: FONT_SIZE });
  return { width: WIDTH, height, title, pieces: [paper, ...plot, ...ribbon, heading, ...key(v !== null)] };
}

/** A picture by itself cannot be moved: it has room for the limits that do not flatten it. */
function withNear([low, high]: [number, number], limits: readonly LimitLine[]): [number, number] {
  const near = limits.map(({ atA }) => atA).filter((atA) => atA < NEAR * Math.max(high, 0) && atA > NEAR * Math.min(low, 0));
  return [Math.min(low, ...near), Math.max(high, ...near)];
}

/** Which line is which. */
function key(withVoltage: boolean): PictureElement[] {
  const word = (x: number, text: string): PictureElement => ({ kind: 'text', x, y: 22, text, anchor: 'start', size: FONT_SIZE });
  const right = WIDTH - AREA.x;
  const current = [stroke('current', right - 60, 22, right - 20, 22), word(right - 14, 'A')];
  return withVoltage ? [...current, stroke('voltage', right - 140, 22, right - 100, 22), word(right - 94, 'V')] : current;
}

/** Times moved to the edges of the view where the line only comes from or goes to somewhere beyond. */
function within(x: readonly number[] | Float64Array, startS: number, endS: number): number[] {
  return Array.from(x, (at) => Math.min(endS, Math.max(startS, at)));
}

/** The chart's own data without its holes: gaps say where the line is broken. */
function pointsOf(x: readonly number[], values: readonly (number | null | undefined)[]): { timeS: number[]; values: number[] } {
  const points = { timeS: [] as number[], values: [] as number[] };
  values.forEach((value, i) => {
    if (value === null || value === undefined) return;
    points.timeS.push(x[i]!);
    points.values.push(value);
  });
  return points;
}
