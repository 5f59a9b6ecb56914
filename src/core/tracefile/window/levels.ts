import type { SampleBlock } from '../../trace.ts';

/**
 * Minimum, maximum and mean of ever longer runs of samples, so that three days can be drawn without reading them. A node of level 0 covers up to
 * 64 samples, one of level k for 8 nodes of the level below. 64 × 8^k: measured on 259 M samples, 3.6 % extra and the window of a chart
 * in milliseconds (tech notes of the project).
 */
export const NODE_SAMPLES = 64;
export const NODE_FANOUT = 8;

/** Nodes of one level as growable columns. Voltage columns hold NaN where a node has a sample without voltage. */
export class Nodes {
  length = 0;
  firstS = new Float64Array(16);
  lastS = new Float64Array(16);
  count = new Uint32Array(16);
  lowA = new Float32Array(16);
  highA = new Float32Array(16);
  meanA = new Float32Array(16);
  lowV = new Float32Array(16);
  highV = new Float32Array(16);
  meanV = new Float32Array(16);

  /** Room for one more node, which is to be filled in; returns its index. */
  grow(): number {
    if (this.length === this.firstS.length) this.reserve(this.length * 2);
    return this.length++;
  }

  reserve(size: number): void {
    if (size <= this.firstS.length) return;
    const wider = <T extends Float64Array | Float32Array | Uint32Array>(next: T, column: ArrayLike<number>): T => {
      next.set(column);
      return next;
    };
    this.firstS = wider(new Float64Array(size), this.firstS);
    this.lastS = wider(new Float64Array(size), this.lastS);
    this.count = wider(new Uint32Array(size), this.count);
    this.lowA = wider(new Float32Array(size), this.lowA);
    this.highA = wider(new Float32Array(size), this.highA);
    this.meanA = wider(new Float32Array(size), this.meanA);
    this.lowV = wider(new Float32Array(size), this.lowV);
    this.highV = wider(new Float32Array(size), this.highV);
    this.meanV = wider(new Float32Array(size), this.meanV);
  }
}

/** Whether nodes `[fromIndex, toIndex)` could be of samples: a checksum can be right over numbers that no samples have. */
export function areNodes({ firstS, lastS, lowA, highA, meanA, lowV, highV, meanV }: Nodes, fromIndex: number, toIndex: number): boolean {
  for (let i = fromIndex; i < toIndex; i++) {
    if (!isRange(firstS[i], lastS[i], firstS[i]) || !isRange(lowA[i], highA[i], meanA[i])) return false;
    const hasNoVolts = Number.isNaN(lowV[i]) && Number.isNaN(highV[i]) && Number.isNaN(meanV[i]);
    if (!hasNoVolts && !isRange(lowV[i], highV[i], meanV[i])) return false;
  }
  return true;
}

/** False also where one of them is no number, or endless. */
function isRange(low: number, high: number, between: number): boolean {
  return high - low < Infinity && low <= between && between <= high;
}

/** Adds the level-0 nodes of a block; a node never reaches over a block's end, so each block's nodes stand for themselves. */
export function addBlockNodes(block: SampleBlock, nodes: Nodes): void {
  const { timeS, currentA, voltageV } = block;
  for (let from = 0; from < timeS.length; from += NODE_SAMPLES) {
    const to = Math.min(from + NODE_SAMPLES, timeS.length);
    const at = nodes.grow();
    nodes.firstS[at] = timeS[from];
    nodes.lastS[at] = timeS[to - 1];
    nodes.count[at] = to - from;
    foldInto(nodes.lowA, nodes.highA, nodes.meanA, at, currentA, from, to);
    if (voltageV === null) nodes.lowV[at] = nodes.highV[at] = nodes.meanV[at] = Number.NaN;
    else foldInto(nodes.lowV, nodes.highV, nodes.meanV, at, voltageV, from, to);
  }
}

/** Least, greatest and mean of `values[from, to)` into place `at` of three columns. A value that is no number leaves low and high alone and makes the mean none. */
function foldInto(low: Float32Array, high: Float32Array, mean: Float32Array, at: number, values: Float32Array, from: number, to: number): void {
  let least = Infinity;
  let greatest = -Infinity;
  let sum = 0;
  for (let i = from; i < to; i++) {
    const value = values[i];
    if (value < least) least = value;
    if (value > greatest) greatest = value;
    sum += value;
  }
  low[at] = least;
  high[at] = greatest;
  mean[at] = sum / (to - from);
}

/**
 * The levels above level 0, built node by node. The last node of each level is open: it grows until it has its 8 children. Children of
 * node i are nodes 8i … 8i+7 of the level below.
 */
export class Levels {
  /** above[k] is level k + 1 */
  readonly above: Nodes[] = [];
  #base = 0;

  /** number of level-0 nodes below */
  get baseLength(): number {
    return this.#base;
  }

  /** Takes in the level-0 nodes `[startIndex, endIndex)`, which follow on those before. */
  addBase(base: Nodes, startIndex = 0, endIndex = base.length): void {
    for (let i = startIndex; i < endIndex; i++) this.#add(base, i, this.#base++);
  }

  /** For levels read from a file instead of being built. */
  adopt(above: readonly Nodes[], baseLength: number): void {
    this.above.push(...above);
    this.#base = baseLength;
  }

  #add(from: Nodes, i: number, order: number): void {
    let position = order;
    for (let k = 0; ; k++) {
      const opens = position % NODE_FANOUT === 0;
      position = Math.floor(position / NODE_FANOUT);
      const level = this.above[k] ?? this.above[this.above.push(new Nodes()) - 1];
      if (opens && position === level.length) copyNode(from, i, level, level.grow());
      else mergeNode(from, i, level, position);
      // a level of one node needs none above it
      if (level.length === 1 && this.above.length === k + 1) return;
      if (this.above.length === k + 1) {
        const top = new Nodes();
        this.above.push(top);
        copyNode(level, 0, top, top.grow());
      }
    }
  }
}

function copyNode(from: Nodes, i: number, to: Nodes, at: number): void {
  to.firstS[at] = from.firstS[i];
  to.lastS[at] = from.lastS[i];
  to.count[at] = from.count[i];
  to.lowA[at] = from.lowA[i];
  to.highA[at] = from.highA[i];
  to.meanA[at] = from.meanA[i];
  to.lowV[at] = from.lowV[i];
  to.highV[at] = from.highV[i];
  to.meanV[at] = from.meanV[i];
}

/** NaN must win (Math.min and Math.max let it): a node without voltage has none to show. */
function mergeNode(from: Nodes, i: number, to: Nodes, at: number): void {
  const weight = from.count[i] / (to.count[at] + from.count[i]);
  to.lastS[at] = from.lastS[i];
  to.count[at] += from.count[i];
  to.lowA[at] = Math.min(to.lowA[at], from.lowA[i]);
  to.highA[at] = Math.max(to.highA[at], from.highA[i]);
  to.meanA[at] += (from.meanA[i] - to.meanA[at]) * weight;
  to.lowV[at] = Math.min(to.lowV[at], from.lowV[i]);
  to.highV[at] = Math.max(to.highV[at], from.highV[i]);
  to.meanV[at] += (from.meanV[i] - to.meanV[at]) * weight;
}
