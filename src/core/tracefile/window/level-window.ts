import { lowerBound } from '../../trace.ts';
import { NODE_FANOUT, type Nodes } from './levels.ts';
import type { PixelColumns } from './pixel-columns.ts';

/**
 * Filling pixel columns from nodes instead of samples, exactly.
 *
 * A node that lies inside one column gives its extremes. At a column's bound the samples themselves matter only if they can show: when the node (or the two nodes) at
 * the bound reaches no further than both columns do without it, then whatever its samples are, the picture is the same. Only for the other bounds must the samples
 * be read; in a long noisy recording those are few.
 */

/**
 * Nodes a column should hold of the level that is scanned first. Those that reach over a column's bound are looked into down to the finest level, so a coarser start gives the
 * same picture sooner.
 */
const NODES_PER_COLUMN = 2;

/** The level (index into `chain`, finest first) to begin with for so many nodes of the level below `chain[0]` in a column. */
export function scanLevel(chain: readonly Nodes[], nodesPerColumn: number): number {
  let level = 0;
  for (let perColumn = nodesPerColumn / NODE_FANOUT / NODE_FANOUT; perColumn >= NODES_PER_COLUMN && level + 1 < chain.length; perColumn /= NODE_FANOUT) level++;
  return level;
}

/** Adds every node of `chain[level]` that lies inside one column; of those that do not, the children, down to `chain[0]`. */
export function addInside(pixels: PixelColumns, chain: readonly Nodes[], level: number): void {
  const nodes = chain[level];
  const start = lowerBound(nodes.lastS, pixels.edgesS[0], 0, nodes.length);
  const end = lowerBound(nodes.firstS, pixels.edgesS[pixels.columns], start, nodes.length);
  addRange(pixels, chain, level, start, end);
}

function addRange(pixels: PixelColumns, chain: readonly Nodes[], level: number, start: number, end: number): void {
  const { firstS, lastS, lowA, highA, lowV, highV } = chain[level];
  const { edgesS, columns } = pixels;
  let column = -1;
  for (let i = start; i < end; ) {
    if (lastS[i] < edgesS[0]) {
      i++;
      continue;
    }
    if (firstS[i] >= edgesS[columns]) return;
    if (column < 0) column = Math.max(0, pixels.columnOf(firstS[i]));
    while (edgesS[column + 1] <= firstS[i]) column++;
    const endS = edgesS[column + 1];
    if (!(firstS[i] >= edgesS[column] && lastS[i] < endS)) {
      if (level > 0) addRange(pixels, chain, level - 1, i * NODE_FANOUT, Math.min((i + 1) * NODE_FANOUT, chain[level - 1].length));
      i++;
      continue;
    }
    // a run of nodes inside the same column
    const from = i;
    let low = lowA[i];
    let high = highA[i];
    let lowVolt = lowV[i];
    let highVolt = highV[i];
    for (i++; i < end && lastS[i] < endS; i++) {
      if (lowA[i] < low) low = lowA[i];
      if (highA[i] > high) high = highA[i];
      // NaN must win: with a node without voltage there is none to show, whatever the greatest is
      if (lowV[i] < lowVolt || lowV[i] !== lowV[i]) lowVolt = lowV[i];
      if (highV[i] > highVolt) highVolt = highV[i];
    }
    pixels.addExtremes(column, firstS[from], lastS[i - 1], low, high, lowVolt, highVolt);
  }
}

/** What lies at a column's bound: one node over it (left = right) or two beside it. */
interface Bound {
  readonly left: number;
  readonly right: number;
  /** nothing at this bound can change the picture; the columns are then connected at the mean of node `left` */
  readonly covered: boolean;
  readonly leftColumn: number;
  readonly rightColumn: number;
}

/**
 * Looks at the bound `edgeS` with the nodes of one level; null when no line crosses it. `gapEndsS`: times before which a hole lies. `hint`: a node that does not end after the bound;
 * the search begins there, for bounds are asked for in order.
 */
export function boundAt(pixels: PixelColumns, nodes: Nodes, edgeS: number, gapEndsS: ReadonlySet<number>, hint = 0): Bound | null {
  let from = hint;
  let to = hint;
  for (let step = 1; to < nodes.length && nodes.lastS[to] < edgeS; step *= 2) {
    from = to + 1;
    to += step;
  }
  const right = lowerBound(nodes.lastS, edgeS, from, Math.min(to, nodes.length));
  if (right === nodes.length) return null;
  const over = nodes.firstS[right] < edgeS;
  const left = over ? right : right - 1;
  if (left < 0 || (!over && gapEndsS.has(nodes.firstS[right]))) return null;
  const { columns, edgesS } = pixels;
  let leftColumn = pixels.columnOf(over ? nodes.firstS[left] : nodes.lastS[left]);
  let rightColumn = pixels.columnOf(over ? nodes.lastS[right] : nodes.firstS[right]);
  if (over) {
    if (nodes.firstS[left] < edgesS[0]) leftColumn = 0;
    if (nodes.lastS[right] >= edgesS[columns]) rightColumn = columns - 1;
  }
  if (leftColumn < 0 || rightColumn < 0) return null;
  // a line over empty columns shows where exactly it begins and ends
  let covered = over || rightColumn - leftColumn <= 1;
  for (let column = leftColumn; column <= rightColumn && covered; column++) {
    covered = within(pixels, column, nodes, left) && (over || within(pixels, column, nodes, right));
  }
  return { left, right, covered, leftColumn, rightColumn };
}

function within(pixels: PixelColumns, column: number, nodes: Nodes, node: number): boolean {
  if (!(nodes.lowA[node] >= pixels.lowA[column] && nodes.highA[node] <= pixels.highA[column])) return false;
  // without voltage (NaN) there is nothing to cover
  return nodes.lowV[node] !== nodes.lowV[node] || (nodes.lowV[node] >= pixels.lowV[column] && nodes.highV[node] <= pixels.highV[column]);
}
