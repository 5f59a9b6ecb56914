import { axisSpan, timeLabel, timeTicks, valueLabel, valueTicks } from './axis.ts';
import { html, type Markup } from './markup.ts';
import { linePath } from './picture.ts';

export interface PaperLine {
  readonly timeS: Float64Array | readonly number[];
  readonly currentA: ArrayLike<number>;
  /** before: dashed · after: solid · usual: thin, dashed */
  readonly kind: 'before' | 'after' | 'usual';
}

export interface LinePicture {
  /** of the drawing; it is scaled to the column it stands in, so a narrow one keeps its words legible */
  readonly width: number;
  readonly height: number;
  readonly lines: readonly PaperLine[];
  readonly title: string;
  /** above the drawing, to the right */
  readonly words: string;
  /** the same axes for several pictures; absent: what the lines need */
  readonly endS?: number;
  readonly highA?: number;
  /** readings above are cut off there, so that what lies below can be seen */
  readonly cutA?: number;
  readonly limitA?: number;
}

const LEFT = 40;
const RIGHT = 6;
const TOP = 22;
const AXIS = 18;
/** Below this height only a few ticks find room. */
const TALL = 150;

/** Currents over time on one pair of axes; time 0 is the switch edge, or the start of each recording. */
export function linePicture(input: LinePicture): Markup {
  const { width, height, lines, title, words } = input;
  const { startS, endS, highA } = extent(input);
  const span = axisSpan(0, highA);
  const bottom = height - AXIS;
  const right = width - RIGHT;
  const milli = span.high < 1;
  const unit = milli ? 1000 : 1;
  const x = (atS: number): number => LEFT + ((atS - startS) / (endS - startS || 1)) * (right - LEFT);
  const y = (valueA: number): number => bottom - ((Math.min(valueA, span.high) - span.low) / (span.high - span.low)) * (bottom - TOP);
  const ticks = valueTicks(span.low * unit, span.high * unit, height > TALL ? 4 : 3);
  const time = timeTicks(startS, endS, Math.max(3, Math.floor(width / 75)));
  const kinds = new Set(lines.map(({ kind }) => kind));
  return html`<svg class="picture" viewBox="0 0 ${width} ${height}" role="img" aria-label="${title}">
    <rect x="${LEFT}" y="${TOP}" width="${right - LEFT}" height="${bottom - TOP}" class="plot" />
    ${ticks.values.map((value) => html`<line class="grid" x1="${LEFT}" x2="${right}" y1="${y(value / unit).toFixed(1)}" y2="${y(value / unit).toFixed(1)}" /><text x="${LEFT - 5}" y="${(y(value / unit) + 3.5).toFixed(1)}" text-anchor="end">${valueLabel(value, ticks.step)}</text>`)}
    ${time.values.map((atS) => html`<text x="${x(atS).toFixed(1)}" y="${bottom + 13}" text-anchor="${x(atS) > right - 12 ? 'end' : 'middle'}">${timeLabel(atS, time.step)}</text>`)}
    ${input.limitA === undefined ? null : html`<line class="limit" x1="${LEFT}" x2="${right}" y1="${y(input.limitA).toFixed(1)}" y2="${y(input.limitA).toFixed(1)}" />`}
    ${lines.map(({ kind, timeS, currentA }) => html`<path class="${kind}" d="${linePath(Float64Array.from(timeS), currentA, [], x, y)}" />`)}
    ${kinds.has('before') ? html`<line class="before" x1="${LEFT}" x2="${LEFT + 24}" y1="11" y2="11" /><text x="${LEFT + 28}" y="14.5">before</text><line class="after" x1="${LEFT + 70}" x2="${LEFT + 94}" y1="11" y2="11" /><text x="${LEFT + 98}" y="14.5">after</text>` : null}
    <text x="${right}" y="14.5" text-anchor="end">${words}${words === '' ? '' : ', '}${milli ? 'mA' : 'A'}</text>
  </svg>`;
}

function extent({ lines, endS: wantedEndS, highA: wantedHighA, cutA }: LinePicture): { startS: number; endS: number; highA: number } {
  let startS = 0;
  let endS = wantedEndS ?? 0;
  let highA = wantedHighA ?? 0.001;
  for (const { timeS, currentA } of lines) {
    startS = Math.min(startS, timeS[0] ?? 0);
    endS = Math.max(endS, timeS[timeS.length - 1] ?? 0);
    for (let i = 0; i < currentA.length; i++) highA = Math.max(highA, currentA[i]);
  }
  return { startS, endS, highA: cutA ?? highA };
}
