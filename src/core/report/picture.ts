import type { Segment } from '../present/ribbon.ts';
import type { Gap, Samples } from '../trace.ts';
import { axisSpan, timeLabel, timeTicks, valueLabel, valueTicks } from './axis.ts';
import { html, type Markup } from './markup.ts';

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
const LEFT = 52;
const RIGHT = 52;
const TOP = 20;
const LANE_HEIGHT = 18;

/** Paper colours of the Okabe-Ito set (Okabe and Ito 2008); the words in the ribbon carry the meaning, colour only repeats it. */
const COLOURS: Readonly<Record<Segment['kind'], string>> = {
  inrush: '#f5d9a8', run: '#cfe6f5', stall: '#f3c2a4', dropout: '#ffffff', flag: '#f3c2a4', awake: '#f7eec0', asleep: '#c9e8dd',
  'wake-up': '#f5d9a8', pulled: '#ecd3e2', gap: '#e4e4e4', note: '#ffffff', recorded: '#ffffff',
};

/** One trace as a self-contained SVG: current as a solid line, voltage dashed on its own scale, gaps left open, the ribbon below. */
export function tracePicture(input: PictureInput): Markup {
  const { samples, startS, endS } = input;
  const bottom = TOP + input.plotHeight;
  const x = (atS: number): number => LEFT + ((atS - startS) / (endS - startS || 1)) * (WIDTH - LEFT - RIGHT);
  const current = scaleOf(samples.currentA, input.limitsA, bottom);
  const voltage = samples.voltageV === null ? null : scaleOf(samples.voltageV, [], bottom);
  const milli = Math.max(Math.abs(current.low), Math.abs(current.high)) < 1;
  const unit = milli ? 1000 : 1;
  const ticks = valueTicks(current.low * unit, current.high * unit, 4);
  const time = timeTicks(startS, endS, 7);
  const voltTicks = voltage === null ? null : valueTicks(voltage.low, voltage.high, 5);
  const lanes = input.segments.some(({ lane }) => lane === 1) ? 2 : input.segments.length > 0 ? 1 : 0;
  const height = bottom + 22 + lanes * (LANE_HEIGHT + 3);
  return html`<svg class="picture" viewBox="0 0 ${WIDTH} ${height}" role="img" aria-label="${input.title}">
    <rect x="${LEFT}" y="${TOP}" width="${WIDTH - LEFT - RIGHT}" height="${bottom - TOP}" class="plot" />
    ${ticks.values.map((value) => {
      const y = yOf(current, value / unit);
      return html`<line class="grid" x1="${LEFT}" x2="${WIDTH - RIGHT}" y1="${y}" y2="${y}" /><text x="${LEFT - 6}" y="${round(y + 3.5)}" text-anchor="end">${valueLabel(value, ticks.step)}</text>`;
    })}
    <text class="unit" x="${LEFT - 6}" y="${TOP - 8}" text-anchor="end">${milli ? 'mA' : 'A'}</text>
    ${voltage === null || voltTicks === null ? null : voltTicks.values.map((value) => html`<text x="${WIDTH - RIGHT + 6}" y="${round(yOf(voltage, value) + 3.5)}">${valueLabel(value, voltTicks.step)}</text>`)}
    ${voltage === null ? null : html`<text class="unit" x="${WIDTH}" y="${TOP - 8}" text-anchor="end">V (dashed)</text>`}
    ${time.values.map((atS) => html`<line class="tick" x1="${round(x(atS))}" x2="${round(x(atS))}" y1="${bottom}" y2="${bottom + 4}" /><text x="${round(x(atS))}" y="${bottom + 14}" text-anchor="middle">${timeLabel(atS, time.step)}</text>`)}
    ${input.limitsA.map((limitA) => html`<line class="limit" x1="${LEFT}" x2="${WIDTH - RIGHT}" y1="${yOf(current, limitA)}" y2="${yOf(current, limitA)}" />`)}
    ${voltage === null || samples.voltageV === null ? null : html`<path class="voltage" d="${linePath(samples.timeS, samples.voltageV, input.gaps, x, (value) => yOf(voltage, value))}" />`}
    <path class="current" d="${linePath(samples.timeS, samples.currentA, input.gaps, x, (value) => yOf(current, value))}" />
    ${input.segments.map((segment) => ribbonBox(segment, input, x))}
  </svg>`;
}

/** A path through points, broken where a gap lies between two of them. Shared with the overlay. */
export function linePath(timeS: Float64Array, values: ArrayLike<number>, gaps: readonly Gap[], x: (atS: number) => number, y: (value: number) => number): string {
  let path = '';
  let gap = 0;
  let pen = 'M';
  for (let i = 0; i < timeS.length; i++) {
    while (gap < gaps.length && gaps[gap].endS <= timeS[i]) {
      if (i > 0 && gaps[gap].startS >= timeS[i - 1]) pen = 'M';
      gap++;
    }
    path += `${pen}${round(x(timeS[i]))} ${round(y(values[i]))}`;
    pen = 'L';
  }
  return path;
}

function ribbonBox(segment: Segment, { startS, endS, plotHeight }: PictureInput, x: (atS: number) => number): Markup | null {
  if (segment.endS < startS || segment.startS > endS) return null;
  const left = x(Math.max(segment.startS, startS));
  const width = Math.max(x(Math.min(segment.endS, endS)) - left, 1.5);
  const top = TOP + plotHeight + 22 + segment.lane * (LANE_HEIGHT + 3);
  const room = Math.floor((width - 6) / 5.4);
  const label = segment.word.length <= room ? segment.word : '';
  return html`<g><title>${segment.word}: ${segment.detail}</title><rect x="${round(left)}" y="${top}" width="${round(width)}" height="${LANE_HEIGHT}" fill="${COLOURS[segment.kind]}" class="segment" />${label === '' ? null : html`<text x="${round(left + width / 2)}" y="${top + 12.5}" text-anchor="middle">${label}</text>`}</g>`;
}

interface Scale {
  readonly low: number;
  readonly high: number;
  /** of the drawing, where `low` lies */
  readonly bottom: number;
}

function scaleOf(values: Float32Array, alsoShow: readonly number[], bottom: number): Scale {
  let low = Infinity;
  let high = -Infinity;
  for (let i = 0; i < values.length; i++) {
    if (values[i] < low) low = values[i];
    if (values[i] > high) high = values[i];
  }
  // a limit far above all readings would only flatten them
  for (const value of alsoShow) if (value < 2 * high) high = Math.max(high, value);
  return { ...(low > high ? { low: 0, high: 1 } : axisSpan(low, high)), bottom };
}

function yOf({ low, high, bottom }: Scale, value: number): number {
  return round(bottom - ((value - low) / (high - low)) * (bottom - TOP));
}

function round(value: number): number {
  return Math.round(value * 10) / 10;
}
