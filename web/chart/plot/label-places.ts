import { language } from '../../../src/core/present/language.ts';

const words = language.pages.chart.beyond;

/** Where a limit's name is: at its own line, or at the edge of the plot beyond which the line lies. */
interface LimitLabel {
  readonly text: string;
  /** left edge of the words and the line they are on, px in the plot */
  readonly leftPx: number;
  readonly baselinePx: number;
  readonly beyond: 'above' | 'below' | null;
}

interface LimitPlace {
  readonly name: string;
  /** of the line, px from the top of the plot; may lie outside of it */
  readonly yPx: number;
  readonly widthPx: number;
}

/** Top and bottom of the trace between two places across the plot, px; null where nothing is drawn. */
type Occupied = (fromPx: number, toPx: number) => readonly [top: number, bottom: number] | null;

/** Places tried from the right: that is where the newest readings are, and where the eye is. */
const PLACES = 12;
const MARGIN_PX = 6;
const GAP_PX = 2;
/** Width of what an edge adds to a name, in heights of the letters. */
const BEYOND_TEXTS = 5;

/**
 * One label for each name, clear of the trace wherever there is such a place: limits are on both sides of zero, and a name is read once. Of lines out of
 * sight only the edge tells. Labels at the same height are side by side.
 */
export function placeLabels(limits: readonly LimitPlace[], plot: { readonly widthPx: number; readonly heightPx: number }, textPx: number, occupied: Occupied): LimitLabel[] {
  const placed: (LimitLabel & { readonly widthPx: number })[] = [];
  for (const [name, lines] of grouped(limits)) {
    const inSight = lines.filter(({ yPx }) => yPx >= 0 && yPx <= plot.heightPx);
    // in sight before out of sight; above before below
    const line = inSight[0] ?? lines[0]!;
    const beyond = inSight.length > 0 ? null : line.yPx < 0 ? 'above' : 'below';
    const text = beyond === null ? name : `${name}, ${words[beyond]}`;
    const above = Math.min(Math.max(line.yPx, 0), plot.heightPx) - GAP_PX;
    const under = Math.max(line.yPx, 0) + textPx + GAP_PX;
    const fits = (baselinePx: number): boolean => baselinePx - textPx >= 0 && baselinePx <= plot.heightPx;
    // over its line first; the name of a line in sight may stand under it where there is no clear place over it
    const heights = (beyond === null ? [above, under] : [above - textPx < 0 ? under : above]).filter((one, at, all) => fits(one) || (at === 0 && !all.slice(1).some(fits)));
    const widthPx = line.widthPx + (beyond === null ? 0 : BEYOND_TEXTS * textPx);
    const free = (leftPx: number, baselinePx: number): boolean =>
      placed.every((other) => Math.abs(other.baselinePx - baselinePx) >= textPx || other.leftPx + other.widthPx + MARGIN_PX <= leftPx || leftPx + widthPx + MARGIN_PX <= other.leftPx);
    const clear = (leftPx: number, baselinePx: number): boolean => {
      const trace = occupied(leftPx, leftPx + widthPx);
      return trace === null || trace[1] < baselinePx - textPx || trace[0] > baselinePx + GAP_PX;
    };
    const places = Array.from({ length: PLACES }, (_, i) => MARGIN_PX + (Math.max(0, plot.widthPx - widthPx - 2 * MARGIN_PX) * (PLACES - 1 - i)) / (PLACES - 1));
    const open = heights.flatMap((baselinePx) => places.filter((leftPx) => free(leftPx, baselinePx)).map((leftPx) => ({ leftPx, baselinePx })));
    const { leftPx, baselinePx } = open.find((place) => clear(place.leftPx, place.baselinePx)) ?? open[0] ?? { leftPx: MARGIN_PX, baselinePx: heights[0]! };
    placed.push({ text, leftPx, baselinePx, beyond, widthPx });
  }
  return placed.map(({ text, leftPx, baselinePx, beyond }) => ({ text, leftPx, baselinePx, beyond }));
}

function grouped(limits: readonly LimitPlace[]): Map<string, LimitPlace[]> {
  const groups = new Map<string, LimitPlace[]>();
  for (const limit of limits) {
    const group = groups.get(limit.name);
    if (group === undefined) groups.set(limit.name, [limit]);
    else group.push(limit);
  }
  return groups;
}
