import type { Direction } from '../analysis/results.ts';
import { axisSpan, timeLabel, timeTicks, valueLabel, valueTicks } from './axis.ts';
import { html, type Markup } from './markup.ts';
import { linePath } from './picture.ts';

/** Two recordings of the same movement, time 0 at the switch edge of both, magnitudes in A. */
export interface OverlayInput {
  readonly direction: Direction;
  readonly before: { readonly timeS: Float64Array; readonly currentA: ArrayLike<number> };
  readonly after: { readonly timeS: Float64Array; readonly currentA: ArrayLike<number> };
  readonly title: string;
}

const WIDTH = 720;
const HEIGHT = 200;
const LEFT = 52;
const RIGHT = 16;
const TOP = 26;
const BOTTOM = 176;

/** Before (dashed) and after (solid) on the same switch edge. */
export function overlayPicture({ direction, before, after, title }: OverlayInput): Markup {
  const startS = Math.min(before.timeS[0] ?? 0, after.timeS[0] ?? 0);
  const endS = Math.max(before.timeS[before.timeS.length - 1] ?? 1, after.timeS[after.timeS.length - 1] ?? 1);
  let highA = 0.1;
  for (const { currentA } of [before, after]) for (let i = 0; i < currentA.length; i++) highA = Math.max(highA, currentA[i]);
  const span = axisSpan(0, highA);
  const x = (atS: number): number => LEFT + ((atS - startS) / (endS - startS || 1)) * (WIDTH - LEFT - RIGHT);
  const y = (valueA: number): number => BOTTOM - ((valueA - span.low) / (span.high - span.low)) * (BOTTOM - TOP);
  const ticks = valueTicks(span.low, span.high, 4);
  const time = timeTicks(startS, endS, 7);
  return html`<svg class="picture" viewBox="0 0 ${WIDTH} ${HEIGHT}" role="img" aria-label="${title}">
    <rect x="${LEFT}" y="${TOP}" width="${WIDTH - LEFT - RIGHT}" height="${BOTTOM - TOP}" class="plot" />
    ${ticks.values.map((value) => html`<line class="grid" x1="${LEFT}" x2="${WIDTH - RIGHT}" y1="${y(value).toFixed(1)}" y2="${y(value).toFixed(1)}" /><text x="${LEFT - 6}" y="${(y(value) + 3.5).toFixed(1)}" text-anchor="end">${valueLabel(value, ticks.step)}</text>`)}
    ${time.values.map((atS) => html`<text x="${x(atS).toFixed(1)}" y="${BOTTOM + 14}" text-anchor="middle">${timeLabel(atS, time.step)}</text>`)}
    <path class="before" d="${linePath(before.timeS, before.currentA, [], x, y)}" />
    <path class="after" d="${linePath(after.timeS, after.currentA, [], x, y)}" />
    <line class="before" x1="${LEFT + 4}" x2="${LEFT + 34}" y1="13" y2="13" /><text x="${LEFT + 40}" y="17">before</text>
    <line class="after" x1="${LEFT + 96}" x2="${LEFT + 126}" y1="13" y2="13" /><text x="${LEFT + 132}" y="17">after</text>
    <text x="${WIDTH - RIGHT}" y="17" text-anchor="end">${direction}, current in A, time from the switch edge</text>
  </svg>`;
}
