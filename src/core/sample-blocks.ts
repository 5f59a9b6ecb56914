import { joinBlocks, lowerBound, type Gap, type SampleBlock } from './trace.ts';

/** Joins consecutive blocks that have the same columns into one each; usually all of them into one. */
export function joinAll(blocks: readonly SampleBlock[]): SampleBlock[] {
  const joined: SampleBlock[] = [];
  let startIndex = 0;
  for (let i = 1; i <= blocks.length; i++) {
    if (i < blocks.length && (blocks[i]!.voltageV === null) === (blocks[startIndex]!.voltageV === null)) continue;
    joined.push(i - startIndex === 1 ? blocks[startIndex]! : joinBlocks(blocks.slice(startIndex, i), []));
    startIndex = i;
  }
  return joined;
}

/** No clock of a logger tells more than a nanosecond: what a difference of two float64 holds beyond is the dust of its own arithmetic, and would be in every exported file. */
const PER_S = 1e9;

/** A moment of live time as trace time. */
export function traceTimeS(liveS: number, startS: number): number {
  return Math.round((liveS - startS) * PER_S) / PER_S;
}

/** The same samples with their times moved by `-startS`, to the nanosecond; times that are closer than that keep all their digits. In memory of their own. */
export function shifted(block: SampleBlock, startS: number): SampleBlock & { readonly timeS: Float64Array<ArrayBuffer> } {
  const timeS = new Float64Array(block.timeS.length);
  let apart = true;
  for (let i = 1; i < timeS.length; i++) if (block.timeS[i]! - block.timeS[i - 1]! < 2 / PER_S) apart = false;
  for (let i = 0; i < timeS.length; i++) timeS[i] = apart ? traceTimeS(block.timeS[i]!, startS) : block.timeS[i]! - startS;
  return { timeS, currentA: block.currentA, voltageV: block.voltageV };
}

/** Part of a block by index, as views on the same memory. */
export function part(block: SampleBlock, startIndex: number, endIndex: number): SampleBlock {
  return {
    timeS: block.timeS.subarray(startIndex, endIndex),
    currentA: block.currentA.subarray(startIndex, endIndex),
    voltageV: block.voltageV === null ? null : block.voltageV.subarray(startIndex, endIndex),
  };
}

/** Samples and gaps in the order they happened: blocks are cut at each gap, since none may have one inside. */
export function* inOrder(blocks: readonly SampleBlock[], gaps: readonly Gap[]): Generator<SampleBlock | Gap> {
  let next = 0;
  for (const block of blocks) {
    let startIndex = 0;
    for (let gap = gaps[next]; gap !== undefined && gap.endS <= block.timeS[block.timeS.length - 1]!; gap = gaps[++next]) {
      const endIndex = lowerBound(block.timeS, gap.endS, startIndex);
      if (endIndex > startIndex) yield part(block, startIndex, endIndex);
      yield gap;
      startIndex = endIndex;
    }
    if (startIndex < block.timeS.length) yield part(block, startIndex, block.timeS.length);
  }
  yield* gaps.slice(next);
}
