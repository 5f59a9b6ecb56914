import type { Segment } from '../../src/core/present/ribbon.ts';
import type { Gap, Samples } from '../../src/core/trace.ts';
import { formatMoment } from '../reading/format.ts';
import { layoutRibbon } from '../ribbon/layout.ts';
import { currentRange, niceStep, voltageRange } from './axis-range.ts';
import type { Range } from './axis-range.ts';
import { plotData } from './plot-data.ts';
import { drawnExtremes } from './summary.ts';
import type { ChartColours, LimitLine } from './uplot-chart.ts';
import type { View } from './view.ts';

/** A picture as a list of strokes and words, from which PNG and SVG are made alike. */
export type Piece =
  | { readonly kind: 'line'; readonly runs: readonly (readonly [number, number])[][]; readonly colour: string; readonly width: number; readonly dash: readonly number[] }
  | { readonly kind: 'text'; readonly x: number; readonly y: number; readonly text: string; readonly anchor: 'start' | 'middle' | 'end'; readonly size: number; readonly bold: boolean }
  | { readonly kind: 'box'; readonly x: number; readonly y: number; readonly width: number; readonly height: number; readonly colour: string };

export interface Picture {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly title: string;
  readonly pieces: readonly Piece[];
}

interface Facts {
  readonly title: string;
  readonly view: View;
  readonly samples: Samples;
  readonly gaps: readonly Gap[];
  readonly limits: readonly LimitLine[];
  readonly segments: readonly Segment[];
  readonly colours: Pick<ChartColours, 'current' | 'voltage'>;
}

const WIDTH = 1200;
const HEIGHT = 520;
const PLOT = { x: 64, y: 48, width: WIDTH - 64 - 64, height: 360 };
const RULE = '#c4cec8';
const INK = '#14201c';
const LIMIT = '#7a3b63';

/** The chart as it is in view, always on white, with axes, limits, ribbon and title, so that it can stand alone. */
export function pictureOfChart({ title, view, samples, gaps, limits, segments, colours }: Facts): Picture {
  const data = plotData(samples, gaps, view.fromS, view.toS, PLOT.width * 2);
  const a = currentRange(...drawnExtremes(data.currentA), limits.map((line) => line.atA), null);
  const v = data.voltageV === null ? null : voltageRange(...drawnExtremes(data.voltageV), null, a);
  const xOf = (at: number): number => PLOT.x + ((at - view.fromS) / (view.toS - view.fromS)) * PLOT.width;
  const yOf = (value: number, range: Range): number => PLOT.y + PLOT.height - ((value - range[0]) / (range[1] - range[0])) * PLOT.height;
  const pieces: Piece[] = [{ kind: 'box', x: 0, y: 0, width: WIDTH, height: HEIGHT, colour: '#ffffff' }];
  const text = (x: number, y: number, words: string, anchor: 'start' | 'middle' | 'end' = 'middle', size = 13, bold = false): void => {
    pieces.push({ kind: 'text', x, y, text: words, anchor, size, bold });
  };
  const line = (runs: [number, number][][], colour: string, width: number, dash: number[] = []): void => {
    pieces.push({ kind: 'line', runs, colour, width, dash });
  };
  text(PLOT.x, 28, title, 'start', 17, true);
  for (const at of ticks(view.fromS, view.toS, 10)) {
    line([[[xOf(at), PLOT.y], [xOf(at), PLOT.y + PLOT.height]]], RULE, 1);
    text(xOf(at), PLOT.y + PLOT.height + 18, formatMoment(at, view.toS - view.fromS));
  }
  for (const value of ticks(a[0], a[1], 7)) {
    line([[[PLOT.x, yOf(value, a)], [PLOT.x + PLOT.width, yOf(value, a)]]], RULE, 1);
    text(PLOT.x - 8, yOf(value, a) + 4, tickLabel(value, a), 'end');
  }
  text(PLOT.x - 8, PLOT.y - 10, 'A', 'end', 14, true);
  if (v !== null) {
    for (const value of ticks(v[0], v[1], 7)) text(PLOT.x + PLOT.width + 8, yOf(value, v) + 4, tickLabel(value, v), 'start');
    text(PLOT.x + PLOT.width + 8, PLOT.y - 10, 'V', 'start', 14, true);
  }
  for (const limit of limits) {
    if (limit.atA < a[0] || limit.atA > a[1]) continue;
    line([[[PLOT.x, yOf(limit.atA, a)], [PLOT.x + PLOT.width, yOf(limit.atA, a)]]], LIMIT, 1.5, [10, 4, 2, 4]);
    text(PLOT.x + 6, yOf(limit.atA, a) - 4, limit.name, 'start', 12);
  }
  const clampX = (at: number): number => Math.min(PLOT.x + PLOT.width, Math.max(PLOT.x, xOf(at)));
  const runsOf = (values: readonly (number | null | undefined)[], range: Range): [number, number][][] => {
    const runs: [number, number][][] = [[]];
    values.forEach((value, i) => {
      if (value === null) runs.push([]);
      else if (value !== undefined) runs[runs.length - 1]!.push([clampX(data.x[i]!), yOf(value, range)]);
    });
    return runs.filter((run) => run.length > 1);
  };
  if (data.voltageV !== null && v !== null) line(runsOf(data.voltageV, v), colours.voltage, 1.75, [7, 4]);
  line(runsOf(data.currentA, a), colours.current, 1.75);
  for (const lane of [0, 1] as const) {
    const y = PLOT.y + PLOT.height + 34 + lane * 30;
    for (const { segment, leftPx, widthPx, worded } of layoutRibbon(segments, view, PLOT.width, lane)) {
      pieces.push({ kind: 'box', x: PLOT.x + leftPx, y, width: Math.max(2, widthPx - 1), height: 24, colour: lane === 0 ? '#dfe7e2' : '#efe3ea' });
      if (worded) text(PLOT.x + leftPx + 4 + (segment.kind === 'note' ? 12 : 0), y + 16, segment.word, 'start', 12);
    }
  }
  line([[[PLOT.x, PLOT.y], [PLOT.x, PLOT.y + PLOT.height], [PLOT.x + PLOT.width, PLOT.y + PLOT.height]]], INK, 1);
  text(WIDTH - 64, 28, `— A${v === null ? '' : '    - - V'}`, 'end', 13);
  return { widthPx: WIDTH, heightPx: HEIGHT, title, pieces };
}

/** Round values inside `[low, high]`, about `wanted` of them. */
export function ticks(low: number, high: number, wanted: number): number[] {
  const step = niceStep((high - low) / wanted);
  const list: number[] = [];
  for (let i = Math.ceil(low / step - 1e-9); i * step <= high + step * 1e-9; i++) list.push(i * step + 0); // + 0: no minus zero on an axis
  return list;
}

function tickLabel(value: number, [low, high]: Range): string {
  const decimals = Math.max(0, -Math.floor(Math.log10(niceStep((high - low) / 7)) + 1e-9));
  return value.toFixed(decimals).replace(/^-(?=0\.?0*$)/, '').replace('-', '−');
}
