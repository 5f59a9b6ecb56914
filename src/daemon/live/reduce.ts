import { lowerBound, type SampleBlock } from '../../core/trace.ts';

/**
 * Fewer samples that draw the same picture: of each of `columns` equal columns over `[fromS, toS)` the first and last sample and those
 * with the least and greatest current (and voltage). Four points a column and channel draw exactly what all points would (Jugel et al.,
 * "M4", VLDB 2014). Returned as they were measured, in order. `block` must lie inside the span.
 */
export function reduceToColumns(block: SampleBlock, fromS: number, toS: number, columns: number): SampleBlock {
  const { timeS, currentA, voltageV } = block;
  const length = timeS.length;
  const picked = new Int32Array(Math.min(length, columns * (voltageV === null ? 4 : 6)));
  let count = 0;
  let startIndex = 0;
  for (let column = 0; column < columns && startIndex < length; column++) {
    const edgeS = column === columns - 1 ? Infinity : fromS + ((toS - fromS) * (column + 1)) / columns;
    const endIndex = lowerBound(timeS, edgeS, startIndex, length);
    if (endIndex === startIndex) continue;
    const current = extremes(currentA, startIndex, endIndex);
    const candidates = [startIndex, endIndex - 1, current.low, current.high];
    if (voltageV !== null) {
      const voltage = extremes(voltageV, startIndex, endIndex);
      candidates.push(voltage.low, voltage.high);
    }
    candidates.sort((a, b) => a - b);
    let last = -1;
    for (const index of candidates) {
      if (index !== last) picked[count++] = index;
      last = index;
    }
    startIndex = endIndex;
  }
  return pick(block, picked.subarray(0, count));
}

function extremes(values: Float32Array, startIndex: number, endIndex: number): { low: number; high: number } {
  let low = startIndex;
  let high = startIndex;
  for (let i = startIndex + 1; i < endIndex; i++) {
    if (values[i]! < values[low]!) low = i;
    else if (values[i]! > values[high]!) high = i;
  }
  return { low, high };
}

function pick(block: SampleBlock, indices: Int32Array): SampleBlock {
  const timeS = new Float64Array(indices.length);
  const currentA = new Float32Array(indices.length);
  const voltageV = block.voltageV === null ? null : new Float32Array(indices.length);
  for (let i = 0; i < indices.length; i++) {
    const from = indices[i]!;
    timeS[i] = block.timeS[from]!;
    currentA[i] = block.currentA[from]!;
    if (voltageV !== null) voltageV[i] = block.voltageV![from]!;
  }
  return { timeS, currentA, voltageV };
}
