import type { Gap } from '../trace.ts';
import { axisSpan, timeLabel, timeTicks, valueLabel, valueTicks } from './axis.ts';
import { stroke, type Area, type Ink, type PictureElement } from './pieces.ts';
import { withMinus } from '../present/numbers.ts';

interface Span {
  readonly low: number;
  readonly high: number;
}

/** What is drawn on one pair of axes, voltage on a second one to the right. The one place where axes, bands, limits and lines become strokes. */
export interface PlotInput {
  /** of the plot itself, px; labels go around it */
  readonly area: Area;
  readonly startS: number;
  readonly endS: number;
  /** bounds of the current's axis, A */
  readonly current: Span;
  /** bounds of the voltage's axis, V */
  readonly voltage?: Span | null;
  readonly lines: readonly PlotLine[];
  /** stretches without readings: grey bands */
  readonly gaps?: readonly Gap[];
  readonly limits?: readonly { readonly atA: number; readonly name?: string }[];
  /** how many ticks there is room for */
  readonly ticks: { readonly time: number; readonly current: number; readonly voltage?: number };
  /** a grid line at each time tick too, not only a mark below */
  readonly timeGrid?: boolean;
  /** of the labels, px */
  readonly fontSize: number;
}

interface PlotLine {
  readonly ink: Ink;
  readonly timeS: ArrayLike<number>;
  readonly values: ArrayLike<number>;
  /** default: current */
  readonly axis?: 'voltage';
  /** the line is broken there */
  readonly gaps?: readonly Gap[];
}

/** Bounds of an axis that shows these readings; limits count while they are less than twice the highest reading (else they would flatten it). */
export function spanOf(values: ArrayLike<number>, limits: readonly number[] = []): Span {
  let low = Infinity;
  let high = -Infinity;
  for (let i = 0; i < values.length; i++) {
    if (values[i] < low) low = values[i];
    if (values[i] > high) high = values[i];
  }
  for (const value of limits) if (value < 2 * high) high = Math.max(high, value);
  return low <= high ? axisSpan(low, high) : { low: 0, high: 1 };
}

export function plotPieces(input: PlotInput): PictureElement[] {
  const { area, startS, endS, voltage = null, gaps = [] } = input;
  const right = area.x + area.width;
  const x = (atS: number): number => area.x + ((atS - startS) / (endS - startS || 1)) * area.width;
  const bands = gaps.flatMap(({ startS: fromS, endS: toS }): PictureElement[] => {
    const from = Math.max(area.x, x(fromS));
    const to = Math.min(right, x(toS));
    return to > from ? [{ kind: 'box', ink: 'gap', x: from, y: area.y, width: Math.max(1, to - from), height: area.height }] : [];
  });
  const lines = input.lines.map(({ ink, timeS, values, axis, gaps: broken = [] }): PictureElement => {
    const span = axis === 'voltage' && voltage !== null ? voltage : input.current;
    return { kind: 'line', ink, runs: runsOf(timeS, values, broken, x, heightOf(area, span)) };
  });
  const frame: PictureElement = { kind: 'line', ink: 'frame', runs: [Float64Array.of(area.x, area.y, area.x, area.y + area.height, right, area.y + area.height)] };
  return [...bands, ...currentAxis(input), ...voltageAxis(input), ...timeAxis(input, x), frame, ...limitLines(input), ...lines];
}


/** Readings above the axis are cut off at its top. */
function heightOf({ y, height }: Area, { low, high }: Span): (value: number) => number {
  return (value) => y + height - ((Math.min(value, high) - low) / (high - low)) * height;
}

/** Currents that all stay below 1 A read better in mA. */
function currentAxis({ area, current, ticks, fontSize }: PlotInput): PictureElement[] {
  const milli = Math.max(Math.abs(current.low), Math.abs(current.high)) < 1;
  const factor = milli ? 1000 : 1;
  const y = heightOf(area, current);
  const { values, step } = valueTicks(current.low * factor, current.high * factor, ticks.current);
  const pieces = values.flatMap((value): PictureElement[] => [
    stroke(Math.abs(value) < step / 2 ? 'zero' : 'grid', area.x, y(value / factor), area.x + area.width, y(value / factor)),
    { kind: 'text', x: area.x - fontSize / 2, y: y(value / factor), text: withMinus(valueLabel(value, step)), anchor: 'end', size: fontSize },
  ]);
  return [...pieces, { kind: 'text', x: area.x - fontSize / 2, y: area.y - fontSize, text: milli ? 'mA' : 'A', anchor: 'end', size: fontSize, bold: true }];
}

function voltageAxis({ area, voltage = null, ticks, fontSize }: PlotInput): PictureElement[] {
  if (voltage === null) return [];
  const y = heightOf(area, voltage);
  const x = area.x + area.width + fontSize / 2;
  const { values, step } = valueTicks(voltage.low, voltage.high, ticks.voltage ?? ticks.current);
  const labels = values.map((value): PictureElement => ({ kind: 'text', x, y: y(value), text: withMinus(valueLabel(value, step)), anchor: 'start', size: fontSize }));
  return [...labels, { kind: 'text', x, y: area.y - fontSize, text: 'V', anchor: 'start', size: fontSize, bold: true }];
}

function timeAxis({ area, startS, endS, ticks, timeGrid = false, fontSize }: PlotInput, x: (atS: number) => number): PictureElement[] {
  const bottom = area.y + area.height;
  const right = area.x + area.width;
  const { values, step } = timeTicks(startS, endS, ticks.time);
  return values.flatMap((atS): PictureElement[] => [
    stroke('grid', x(atS), timeGrid ? area.y : bottom, x(atS), timeGrid ? bottom : bottom + fontSize / 3),
    { kind: 'text', x: x(atS), y: bottom + fontSize, text: withMinus(timeLabel(atS, step)), anchor: x(atS) > right - 2 * fontSize ? 'end' : 'middle', size: fontSize },
  ]);
}

function limitLines({ area, current, limits = [], fontSize }: PlotInput): PictureElement[] {
  const y = heightOf(area, current);
  return limits
    .filter(({ atA }) => atA >= current.low && atA <= current.high)
    .flatMap(({ atA, name }): PictureElement[] => {
      const line = stroke('limit', area.x, y(atA), area.x + area.width, y(atA));
      return name === undefined ? [line] : [line, { kind: 'text', x: area.x + fontSize / 2, y: y(atA) - 0.7 * fontSize, text: name, anchor: 'start', size: fontSize }];
    });
}

/** The points as x, y, x, y …, in runs that end where a gap lies between two of them. */
function runsOf(timeS: ArrayLike<number>, values: ArrayLike<number>, gaps: readonly Gap[], x: (atS: number) => number, y: (value: number) => number): Float64Array[] {
  const runs: Float64Array[] = [];
  let gap = 0;
  let from = 0;
  const end = (to: number): void => {
    const run = new Float64Array(2 * (to - from));
    for (let i = from; i < to; i++) {
      run[2 * (i - from)] = x(timeS[i]);
      run[2 * (i - from) + 1] = y(values[i]);
    }
    if (run.length > 0) runs.push(run);
    from = to;
  };
  for (let i = 1; i < timeS.length; i++) {
    while (gap < gaps.length && gaps[gap].endS <= timeS[i - 1]) gap++;
    if (gap < gaps.length && gaps[gap].endS <= timeS[i]) end(i);
  }
  end(timeS.length);
  return runs;
}
