import uPlot from 'uplot';
import 'uplot/dist/uPlot.min.css';
import { formatMoment } from '../../reading/format.ts';
import type { Range } from './axis-range.ts';
import type { PlotData } from './plot-data.ts';
import type { View } from '../view.ts';
import { axisLabels, powerLabel, powerSplits, roundMoments } from './axis-labels.ts';
import { asHairLines, isDense } from './dense-line.ts';
import { placeLabels } from './label-places.ts';

/** The only door to uPlot: two lines on two scales over one time axis, limits and flagged stretches drawn with them. */
export interface ChartColours {
  readonly current: string;
  readonly voltage: string;
  readonly flag: string;
  readonly limit: string;
  readonly ink: string;
  readonly rule: string;
  readonly paper: string;
  readonly selection: string;
}

/** A horizontal line at a limit, with its own short name. */
export interface LimitLine {
  readonly atA: number;
  readonly name: string;
}

interface Drawing {
  readonly data: PlotData;
  readonly view: View;
  /** from where moments are counted on the axis, s */
  readonly originS: number;
  readonly currentA: Range;
  readonly voltageV: Range;
  readonly limits: readonly LimitLine[];
  /** stretches past a limit */
  readonly flags: readonly View[];
  readonly selection: View | null;
  readonly marks: readonly number[];
}

const FONT = '13px system-ui, sans-serif';
const AXIS_PX = 60;
const LABEL_PX = 12;
const LINE_PX = 1.75;
const RIM_PX = 5;

const straight = uPlot.paths.linear!();

/** Straight from point to point; where there are more of those than pixels across, in the form that is drawn at once. */
function line(plot: uPlot, series: number, from: number, to: number): uPlot.Series.Paths | null {
  const drawn = straight(plot, series, from, to);
  if (drawn === null || !(drawn.stroke instanceof Path2D) || !isDense(to - from, plot.bbox.width)) return drawn;
  // `_width` takes the place of the series' own, in CSS pixels
  return { ...drawn, stroke: asHairLines(drawn.stroke, LINE_PX * uPlot.pxRatio), _width: 1 / uPlot.pxRatio } as uPlot.Series.Paths;
}

export class UplotChart {
  private readonly plot: uPlot;
  private drawing: Drawing;
  private colours: ChartColours;
  private readonly withVoltage: boolean;
  /** of an axis by powers of ten: it is even below so many amperes, for it goes through zero, where no power of ten is; null: even throughout */
  private readonly powersA: number | null;

  constructor(host: HTMLElement, size: { readonly widthPx: number; readonly heightPx: number }, withVoltage: boolean, powersA: number | null, colours: ChartColours) {
    this.colours = colours;
    this.withVoltage = withVoltage;
    this.powersA = powersA;
    this.drawing = {
      data: { x: [], currentA: [], voltageV: withVoltage ? [] : null },
      view: { fromS: 0, toS: 1 }, originS: 0, currentA: [0, 1], voltageV: [0, 1], limits: [], flags: [], selection: null, marks: [],
    };
    this.plot = new uPlot(this.options(size.widthPx, size.heightPx), this.columns(), host);
  }

  /** One call a frame at most: uPlot rebuilds every path on each. */
  draw(drawing: Drawing): void {
    this.drawing = drawing;
    this.plot.setData(this.columns(), true);
  }

  resize(widthPx: number, heightPx: number): void {
    this.plot.setSize({ width: widthPx, height: heightPx });
  }

  recolour(colours: ChartColours): void {
    this.colours = colours;
    this.plot.redraw(false, true);
  }

  destroy(): void {
    this.plot.destroy();
  }

  /** The element over the plotting area: gestures are listened for here. */
  get over(): HTMLElement {
    return this.plot.over;
  }

  /** Plotting area in CSS pixels, from the upper left corner of the chart. */
  get plotBox(): { leftPx: number; widthPx: number; topPx: number; heightPx: number } {
    const { left, width, top, height } = this.plot.bbox;
    return { leftPx: left / uPlot.pxRatio, widthPx: width / uPlot.pxRatio, topPx: top / uPlot.pxRatio, heightPx: height / uPlot.pxRatio };
  }

  /** Device pixels across the plotting area. */
  get deviceColumns(): number {
    return Math.max(1, Math.round(this.plot.bbox.width));
  }

  /** Puts the cursor's line on a moment; null hides it. */
  showCursor(atS: number | null): void {
    const left = atS === null ? -10 : this.plot.valToPos(atS, 'x');
    this.plot.setCursor({ left, top: atS === null ? -10 : 1 }, false);
  }

  private columns(): uPlot.AlignedData {
    const { x, currentA, voltageV } = this.drawing.data;
    // voltage first: where the two lie on each other the current is on top
    return (this.withVoltage ? [x, voltageV ?? x.map(() => null), currentA] : [x, currentA]) as uPlot.AlignedData;
  }

  private options(width: number, height: number): uPlot.Options {
    const axis = (scale: string, side: 1 | 3, ink: () => string, unit: string): uPlot.Axis => ({
      scale, side, stroke: ink, font: FONT, size: AXIS_PX, gap: 4, space: 40,
      grid: { show: side === 3, stroke: () => this.colours.rule, width: 1 },
      ticks: { show: true, stroke: () => this.colours.rule, size: 5 },
      // each of them: the library would leave all but some powers of ten without their number
      ...(unit === 'A' && this.powersA !== null ? { filter: (_plot: uPlot, splits: number[]) => splits, splits: (_plot: uPlot, _axis: number, low: number, high: number) => powerSplits(this.powersA!, low, high), values: (_plot: uPlot, splits: number[]) => splits.map(powerLabel) } : { values: (_plot: uPlot, splits: number[]) => axisLabels(splits, unit) }),
    });
    const series: uPlot.Series[] = [
      {},
      { scale: 'a', stroke: () => this.colours.current, width: LINE_PX, paths: line, points: { show: false } },
    ];
    const axes: uPlot.Axis[] = [
      {
        scale: 'x', stroke: () => this.colours.ink, font: FONT, size: 28, space: 84, grid: { stroke: () => this.colours.rule, width: 1 },
        ticks: { stroke: () => this.colours.rule, size: 5 },
        splits: (_, _axis, low, high, stepS) => roundMoments(low, high, stepS, this.drawing.originS),
        values: (_, splits) => splits.map((at) => formatMoment(Math.abs(at - this.drawing.originS) < 1e-9 ? 0 : at - this.drawing.originS, this.drawing.view.toS - this.drawing.view.fromS)),
        incrs: [...[1, 2, 5].flatMap((n) => [n * 1e-4, n * 1e-3, n * 1e-2, n * 0.1]), 1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 10800, 21600, 43200, 86400].sort((a, b) => a - b),
      },
      axis('a', 3, () => this.colours.ink, 'A'),
    ];
    if (this.withVoltage) {
      series.splice(1, 0, { scale: 'v', stroke: () => this.colours.voltage, width: LINE_PX, dash: [7, 4], paths: line, points: { show: false } });
      axes.push(axis('v', 1, () => this.colours.ink, 'V'));
    }
    return {
      width, height, series, axes,
      padding: [10, this.withVoltage ? 0 : 16, 0, 0],
      legend: { show: false },
      focus: { alpha: 1 },
      cursor: { y: false, points: { show: false }, drag: { x: false, y: false, setScale: false } },
      scales: {
        x: { time: false, range: () => [this.drawing.view.fromS, this.drawing.view.toS] },
        a: { range: () => [...this.drawing.currentA], ...(this.powersA === null ? {} : { distr: 4 as const, asinh: this.powersA }) },
        v: { range: () => [...this.drawing.voltageV] },
      },
      hooks: { drawClear: [(plot) => this.drawBehind(plot)], draw: [(plot) => this.drawLimits(plot)] },
    };
  }

  private drawBehind(plot: uPlot): void {
    const { ctx, bbox } = plot;
    const { flags, selection, marks } = this.drawing;
    ctx.save();
    clip(ctx, bbox);
    const band = (view: View, colour: string): void => {
      const left = plot.valToPos(view.fromS, 'x', true);
      const right = plot.valToPos(view.toS, 'x', true);
      if (right < bbox.left || left > bbox.left + bbox.width) return;
      ctx.fillStyle = colour;
      ctx.fillRect(left, bbox.top, Math.max(right - left, 2 * uPlot.pxRatio), bbox.height);
    };
    for (const flag of flags) band(flag, `${this.colours.flag}40`);
    if (selection !== null) band(selection, this.colours.selection);
    ctx.strokeStyle = this.colours.ink;
    ctx.lineWidth = uPlot.pxRatio;
    ctx.setLineDash([2 * uPlot.pxRatio, 4 * uPlot.pxRatio]);
    ctx.beginPath();
    for (const mark of marks) {
      const x = Math.round(plot.valToPos(mark, 'x', true)) + 0.5;
      ctx.moveTo(x, bbox.top);
      ctx.lineTo(x, bbox.top + bbox.height);
    }
    ctx.stroke();
    ctx.restore();
  }

  private drawLimits(plot: uPlot): void {
    const { ctx, bbox } = plot;
    ctx.save();
    clip(ctx, bbox);
    ctx.strokeStyle = this.colours.limit;
    ctx.fillStyle = this.colours.ink;
    ctx.lineWidth = 1.5 * uPlot.pxRatio;
    ctx.setLineDash([10 * uPlot.pxRatio, 4 * uPlot.pxRatio, 2 * uPlot.pxRatio, 4 * uPlot.pxRatio]);
    for (const limit of this.drawing.limits) {
      const y = Math.round(plot.valToPos(limit.atA, 'a', true)) + 0.5;
      if (y < bbox.top || y > bbox.top + bbox.height) continue;
      ctx.beginPath();
      ctx.moveTo(bbox.left, y);
      ctx.lineTo(bbox.left + bbox.width, y);
      ctx.stroke();
    }
    ctx.setLineDash([]);
    this.drawLimitNames(plot);
    ctx.restore();
  }

  private drawLimitNames(plot: uPlot): void {
    const { ctx, bbox } = plot;
    const textPx = LABEL_PX * uPlot.pxRatio;
    ctx.font = `600 ${textPx}px system-ui, sans-serif`;
    ctx.textAlign = 'left';
    ctx.textBaseline = 'alphabetic';
    ctx.strokeStyle = this.colours.paper;
    ctx.lineJoin = 'round';
    ctx.lineWidth = RIM_PX * uPlot.pxRatio;
    const places = this.drawing.limits.map(({ name, atA }) => ({ name, yPx: plot.valToPos(atA, 'a', true) - bbox.top, widthPx: ctx.measureText(name).width }));
    for (const label of placeLabels(places, { widthPx: bbox.width, heightPx: bbox.height }, textPx, (fromPx, toPx) => this.drawnBetween(plot, fromPx, toPx))) {
      // a rim of paper: other limits' lines and the trace may run behind the words, never through them
      ctx.strokeText(label.text, bbox.left + label.leftPx, bbox.top + label.baselinePx);
      ctx.fillText(label.text, bbox.left + label.leftPx, bbox.top + label.baselinePx);
    }
  }

  /** Top and bottom of the current's line between two places across the plot, device pixels. */
  private drawnBetween(plot: uPlot, fromPx: number, toPx: number): readonly [number, number] | null {
    const { x, currentA } = this.drawing.data;
    const { fromS, toS } = this.drawing.view;
    const at = (px: number): number => fromS + (px / plot.bbox.width) * (toS - fromS);
    let top = Infinity;
    let bottom = -Infinity;
    for (let i = indexFrom(x, at(fromPx)); i < x.length && x[i]! <= at(toPx); i++) {
      const value = currentA[i];
      if (value == null) continue;
      const y = plot.valToPos(value, 'a', true) - plot.bbox.top;
      if (y < top) top = y;
      if (y > bottom) bottom = y;
    }
    return top <= bottom ? [top, bottom] : null;
  }
}

/** The first moment not before `atS`, and one more to the left: the line comes from there. */
function indexFrom(x: readonly number[], atS: number): number {
  let low = 0;
  let high = x.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (x[middle]! < atS) low = middle + 1;
    else high = middle;
  }
  return Math.max(0, low - 1);
}

function clip(ctx: CanvasRenderingContext2D, box: uPlot.BBox): void {
  ctx.beginPath();
  ctx.rect(box.left, box.top, box.width, box.height);
  ctx.clip();
}
