import { axisSpan, timeLabel, timeTicks, valueLabel, valueTicks } from '../report/axis.ts';
import type { Gap, Mark, SampleBlock } from '../trace.ts';

/** A picture as strokes and words, from which SVG and PNG are made alike. Coordinates in px from the upper left. */
export type Piece =
  | { readonly kind: 'line'; readonly ink: Ink; readonly runs: readonly Float64Array[] }
  | { readonly kind: 'text'; readonly x: number; readonly y: number; readonly text: string; readonly anchor: 'start' | 'middle' | 'end' }
  | { readonly kind: 'box'; readonly ink: Ink; readonly x: number; readonly y: number; readonly width: number; readonly height: number };

export type Ink = 'paper' | 'grid' | 'frame' | 'current' | 'voltage' | 'gap' | 'mark';

/** Current and voltage in colours of Okabe and Ito (2008), on paper. */
export const INKS: Readonly<Record<Ink, string>> = { paper: '#ffffff', grid: '#d5dbd8', frame: '#14201c', current: '#0072b2', voltage: '#00805d', gap: '#e9e9e9', mark: '#8c4a70' };

export interface Drawing {
  readonly width: number;
  readonly height: number;
  readonly title: string;
  readonly pieces: readonly Piece[];
}

/** Pixel columns of the plot: ask a trace's window for just so many, then the line covers exactly the pixels all samples would. */
export const PLOT_COLUMNS = 1440;
const LEFT = 96;
const TOP = 40;
const PLOT_HEIGHT = 520;
const WIDTH = LEFT + PLOT_COLUMNS + 96;
const HEIGHT = TOP + PLOT_HEIGHT + 48;

export interface DrawingInput {
  readonly title: string;
  readonly startS: number;
  readonly endS: number;
  /** the window of PLOT_COLUMNS columns over `[startS, endS)` */
  readonly window: SampleBlock;
  readonly gaps: readonly Gap[];
  readonly marks: readonly Mark[];
}

/** Current against the left axis, voltage on its own scale against the right one, gaps grey and left open, marks as small flags below. */
export function drawTrace({ title, startS, endS, window, gaps, marks }: DrawingInput): Drawing {
  const { timeS, currentA, voltageV } = window;
  const xOf = (atS: number): number => LEFT + ((atS - startS) / (endS - startS || 1)) * PLOT_COLUMNS;
  const current = scaleOf(currentA);
  const voltage = voltageV === null ? null : scaleOf(voltageV);
  const milli = Math.max(Math.abs(current.low), Math.abs(current.high)) < 1 ? 1000 : 1;
  const bottom = TOP + PLOT_HEIGHT;
  const right = LEFT + PLOT_COLUMNS;
  const pieces: Piece[] = [{ kind: 'box', ink: 'paper', x: 0, y: 0, width: WIDTH, height: HEIGHT }];
  for (const gap of gaps) {
    const from = Math.max(LEFT, xOf(gap.startS));
    const to = Math.min(right, xOf(gap.endS));
    if (to > from) pieces.push({ kind: 'box', ink: 'gap', x: from, y: TOP, width: Math.max(1, to - from), height: PLOT_HEIGHT });
  }
  const ticks = valueTicks(current.low * milli, current.high * milli, 7);
  for (const value of ticks.values) {
    const y = yOf(current, value / milli);
    pieces.push(stroke('grid', LEFT, y, right, y), { kind: 'text', x: LEFT - 10, y, text: valueLabel(value, ticks.step), anchor: 'end' });
  }
  pieces.push({ kind: 'text', x: LEFT - 10, y: TOP - 20, text: milli === 1 ? 'A' : 'mA', anchor: 'end' });
  if (voltage !== null) {
    const volts = valueTicks(voltage.low, voltage.high, 7);
    for (const value of volts.values) pieces.push({ kind: 'text', x: right + 10, y: yOf(voltage, value), text: valueLabel(value, volts.step), anchor: 'start' });
    pieces.push({ kind: 'text', x: right + 10, y: TOP - 20, text: 'V', anchor: 'start' });
  }
  const times = timeTicks(startS, endS, 9);
  for (const atS of times.values) pieces.push(stroke('grid', xOf(atS), TOP, xOf(atS), bottom), { kind: 'text', x: xOf(atS), y: bottom + 28, text: timeLabel(atS, times.step), anchor: 'middle' });
  pieces.push({ kind: 'line', ink: 'frame', runs: [Float64Array.of(LEFT, TOP, LEFT, bottom, right, bottom)] });
  if (voltage !== null && voltageV !== null) pieces.push({ kind: 'line', ink: 'voltage', runs: runsOf(timeS, voltageV, gaps, xOf, (value) => yOf(voltage, value)) });
  pieces.push({ kind: 'line', ink: 'current', runs: runsOf(timeS, currentA, gaps, xOf, (value) => yOf(current, value)) });
  for (const mark of marks) if (mark.timeS >= startS && mark.timeS <= endS) pieces.push(stroke('mark', xOf(mark.timeS), bottom, xOf(mark.timeS), bottom + 12));
  return { width: WIDTH, height: HEIGHT, title, pieces };
}

interface Scale {
  readonly low: number;
  readonly high: number;
}

function scaleOf(values: Float32Array): Scale {
  let low = Infinity;
  let high = -Infinity;
  for (const value of values) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  return low <= high ? axisSpan(low, high) : { low: 0, high: 1 };
}

function yOf({ low, high }: Scale, value: number): number {
  return TOP + PLOT_HEIGHT - ((value - low) / (high - low)) * PLOT_HEIGHT;
}

function stroke(ink: Ink, fromX: number, fromY: number, toX: number, toY: number): Piece {
  return { kind: 'line', ink, runs: [Float64Array.of(fromX, fromY, toX, toY)] };
}

/** The points as x, y, x, y …, in runs that end where a gap lies between two of them. */
function runsOf(timeS: Float64Array, values: Float32Array, gaps: readonly Gap[], xOf: (atS: number) => number, toY: (value: number) => number): Float64Array[] {
  const runs: Float64Array[] = [];
  let gap = 0;
  let from = 0;
  const end = (to: number): void => {
    const run = new Float64Array(2 * (to - from));
    for (let i = from; i < to; i++) {
      run[2 * (i - from)] = xOf(timeS[i]);
      run[2 * (i - from) + 1] = toY(values[i]);
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
