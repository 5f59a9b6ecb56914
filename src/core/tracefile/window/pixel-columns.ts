import { joinBlocks, lowerBound, type Gap, type SampleBlock } from '../../trace.ts';

/**
 * First, last, minimum and maximum of every pixel column: the points that draw, as lines without anti-aliasing, exactly what all samples would
 * (Jugel, Jerzak, Hackenbroich, Markl: M4, VLDB 2014). Within a column the line covers all rows between its minimum and maximum; between
 * columns only the last and the next first sample matter.
 *
 * `edgesS` are the columns' bounds, rising; column c is `[edgesS[c], edgesS[c + 1])`. A hole in time also bounds a column (see `columnEdges`),
 * so that no point covers samples on both sides of it.
 */
export class PixelColumns {
  readonly edgesS: Float64Array;
  readonly columns: number;
  readonly firstS: Float64Array;
  readonly lastS: Float64Array;
  /** min and max of current and voltage a column: lowA, highA, lowV, highV */
  readonly lowA: Float32Array;
  readonly highA: Float32Array;
  readonly lowV: Float32Array;
  readonly highV: Float32Array;
  /** value of the sample at firstS and lastS, NaN when it need not be known */
  readonly #firstA: Float32Array;
  readonly #firstV: Float32Array;
  readonly #lastA: Float32Array;
  readonly #lastV: Float32Array;
  #withVoltage = true;

  constructor(edgesS: Float64Array) {
    this.edgesS = edgesS;
    const columns = edgesS.length - 1;
    this.columns = columns;
    const filled = (value: number): Float32Array => new Float32Array(columns).fill(value);
    this.firstS = new Float64Array(columns).fill(Infinity);
    this.lastS = new Float64Array(columns).fill(-Infinity);
    this.lowA = filled(Infinity);
    this.highA = filled(-Infinity);
    this.lowV = filled(Infinity);
    this.highV = filled(-Infinity);
    this.#firstA = filled(Number.NaN);
    this.#firstV = filled(Number.NaN);
    this.#lastA = filled(Number.NaN);
    this.#lastV = filled(Number.NaN);
  }

  /** Column of a time, or -1 outside. */
  columnOf(atS: number): number {
    const { edgesS } = this;
    if (atS >= edgesS[this.columns]) return -1;
    const edge = lowerBound(edgesS, atS);
    return edgesS[edge] === atS ? edge : edge - 1;
  }

  /** Adds samples; those outside the edges are left out. */
  addRows(block: SampleBlock): void {
    const { timeS, currentA, voltageV } = block;
    const { edgesS, lowA, highA, lowV, highV } = this;
    if (voltageV === null) this.#withVoltage = false;
    let row = lowerBound(timeS, edgesS[0]);
    const endRow = lowerBound(timeS, edgesS[this.columns], row);
    while (row < endRow) {
      const column = this.columnOf(timeS[row]);
      const toRow = lowerBound(timeS, edgesS[column + 1], row, endRow);
      widen(lowA, highA, column, currentA, row, toRow);
      if (voltageV !== null) widen(lowV, highV, column, voltageV, row, toRow);
      if (timeS[row] <= this.firstS[column]) {
        this.firstS[column] = timeS[row];
        this.#firstA[column] = currentA[row];
        if (voltageV !== null) this.#firstV[column] = voltageV[row];
      }
      const last = toRow - 1;
      if (timeS[last] >= this.lastS[column]) {
        this.lastS[column] = timeS[last];
        this.#lastA[column] = currentA[last];
        if (voltageV !== null) this.#lastV[column] = voltageV[last];
      }
      row = toRow;
    }
  }

  /** Adds samples known only by their extremes; all of them must lie in `column`. Voltage bounds are NaN where there is none. */
  addExtremes(column: number, firstS: number, lastS: number, lowA: number, highA: number, lowV: number, highV: number): void {
    if (lowA < this.lowA[column]) this.lowA[column] = lowA;
    if (highA > this.highA[column]) this.highA[column] = highA;
    if (lowV < this.lowV[column]) this.lowV[column] = lowV;
    if (highV > this.highV[column]) this.highV[column] = highV;
    if (lowV !== lowV) this.#withVoltage = false;
    if (firstS < this.firstS[column]) {
      this.firstS[column] = firstS;
      this.#firstA[column] = Number.NaN;
    }
    if (lastS > this.lastS[column]) {
      this.lastS[column] = lastS;
      this.#lastA[column] = Number.NaN;
    }
  }

  /** Connects neighbouring columns at a value that both hold, where the true samples at their bound need not be known. */
  join(leftColumn: number, rightColumn: number, valueA: number, valueV: number): void {
    for (let column = leftColumn; column <= rightColumn; column++) {
      if (column > leftColumn && this.#firstA[column] !== this.#firstA[column]) {
        this.#firstA[column] = valueA;
        this.#firstV[column] = valueV;
      }
      if (column < rightColumn && this.#lastA[column] !== this.#lastA[column]) {
        this.#lastA[column] = valueA;
        this.#lastV[column] = valueV;
      }
    }
  }

  /**
   * The points in order of time, at most 4 a column. First and last are at their own time; minimum and maximum of both quantities share two
   * places between them, a third of the way in: inside one pixel column the place does not show.
   */
  points(): SampleBlock {
    const timeS = new Float64Array(4 * this.columns);
    const currentA = new Float32Array(4 * this.columns);
    const voltageV = new Float32Array(4 * this.columns);
    let at = 0;
    const put = (pointS: number, pointA: number, pointV: number): void => {
      // of a column of one moment the first point is all there is
      if (at > 0 && !(pointS > timeS[at - 1])) return;
      timeS[at] = pointS;
      currentA[at] = pointA;
      voltageV[at++] = pointV;
    };
    for (let column = 0; column < this.columns; column++) {
      const firstS = this.firstS[column];
      const lastS = this.lastS[column];
      if (firstS > lastS) continue;
      const third = (lastS - firstS) / 3;
      const firstKnown = this.#firstA[column] === this.#firstA[column];
      const lastKnown = this.#lastA[column] === this.#lastA[column];
      if (firstKnown) put(firstS, this.#firstA[column], this.#firstV[column]);
      put(firstS + third, this.lowA[column], this.lowV[column]);
      put(lastS - third, this.highA[column], this.highV[column]);
      if (lastKnown) put(lastS, this.#lastA[column], this.#lastV[column]);
    }
    return { timeS: timeS.slice(0, at), currentA: currentA.slice(0, at), voltageV: this.#withVoltage && at > 0 ? voltageV.slice(0, at) : null };
  }
}

/** Most columns asked for at once: four points each must fit one sample frame (wire/sample-frame.ts). */
const MAX_COLUMNS = 16_384;

/**
 * Bounds of `columns` equal columns over `[fromS, toS)`, and of the holes in it. With more holes than columns the shorter ones are drawn over, for the
 * answer must stay small.
 */
export function columnEdges(fromS: number, toS: number, columns: number, gaps: readonly Gap[]): Float64Array {
  if (!(toS > fromS) || !Number.isFinite(toS - fromS)) throw new RangeError(`a window must have a length: from ${fromS} s to ${toS} s`);
  if (!Number.isInteger(columns) || columns < 1 || columns > MAX_COLUMNS) throw new RangeError(`a window has 1 to ${MAX_COLUMNS} columns, not ${columns}`);
  let inside = gaps.filter((gap) => gap.endS > fromS && gap.endS < toS);
  if (inside.length > columns) {
    inside = inside.toSorted((a, b) => b.endS - b.startS - (a.endS - a.startS)).slice(0, columns);
  }
  const edges = inside.map((gap) => gap.endS);
  for (let column = 0; column < columns; column++) edges.push(fromS + ((toS - fromS) * column) / columns);
  edges.push(toS);
  // a gap may end at a bound, and columns narrower than the spacing of float64 fall together
  return Float64Array.from(new Set(edges)).sort();
}

/** Widens low and high of one column to hold `values[from, to)`. */
function widen(low: Float32Array, high: Float32Array, column: number, values: Float32Array, from: number, to: number): void {
  let least = low[column];
  let greatest = high[column];
  for (let i = from; i < to; i++) {
    const value = values[i];
    if (value < least) least = value;
    if (value > greatest) greatest = value;
  }
  low[column] = least;
  high[column] = greatest;
}

/** What of the pieces lies in `[fromS, toS)`, as views. */
export function piecesInside(pieces: readonly SampleBlock[], fromS: number, toS: number): SampleBlock[] {
  return pieces.map(({ timeS, currentA, voltageV }) => {
    const startIndex = lowerBound(timeS, fromS);
    const endIndex = lowerBound(timeS, toS, startIndex);
    return { timeS: timeS.subarray(startIndex, endIndex), currentA: currentA.subarray(startIndex, endIndex), voltageV: voltageV?.subarray(startIndex, endIndex) ?? null };
  });
}

/** Whether so few samples are shown as they are. */
export function fewEnough(parts: readonly SampleBlock[], columns: number): boolean {
  return parts.reduce((count, { timeS }) => count + timeS.length, 0) <= 4 * columns;
}

/** All samples of the parts, in one block. */
export function allOf(parts: readonly SampleBlock[]): SampleBlock & { reduced: boolean } {
  if (parts.length === 1) return { ...parts[0], reduced: false };
  const { timeS, currentA, voltageV } = joinBlocks(parts, []);
  return { timeS, currentA, voltageV, reduced: false };
}
