import { lowerBound } from '../../../trace.ts';
import { CLEAR_SIGMAS, FEW, MANY_BLOCKS, PATTERN, REST_S } from '../settings.ts';
import type { Bins, Recorded } from '../types.ts';

/** A stretch in which the logger gave one value over and over, though its readings scatter elsewhere: nothing was measured there. */
export interface Stuck {
  readonly startS: number;
  readonly endS: number;
  readonly levelA: number;
}

interface Run {
  readonly first: number;
  readonly last: number;
  readonly levelA: number;
}

/**
 * Where the converter hung. A quiet current on a coarse step is constant too, so the question is whether the scatter right before could
 * leave it so: readings that hop between two steps differ from the one before in half of all cases at most, and more than that is noise
 * over several steps, which never stands still. Where the value is not among the last readings the current or the range has changed, and
 * a run at the end of the range is clipping. A value that is no different from zero, up to the end, is a clamp that switched itself off.
 * @param belowZeroA what the zero may be off by, A
 */
export function stuckReadings(recorded: Bins, belowZeroA: number): Stuck[] {
  const { key, widthS, length } = recorded;
  const isOff = ({ last, levelA }: Run): boolean => last === length - 1 && Math.abs(levelA) <= belowZeroA;
  return constantRuns(recorded)
    .filter((run) => scattersBefore(recorded, run) && (isOff(run) || isAmongTheLast(recorded, run)))
    .map(({ first, last, levelA }) => ({ startS: key[first] * widthS, endS: (key[last] + 1) * widthS, levelA }));
}

/** Runs of one and the same value, long enough in time and readings to be no chance. */
function constantRuns(bins: Bins): Run[] {
  const found: Run[] = [];
  let first = 0;
  let readings = 0;
  for (let i = 0; i <= bins.length; i++) {
    const goesOn = i < bins.length && i > first && bins.minA[i] === bins.maxA[i] && bins.minA[i] === bins.minA[first];
    if (!goesOn) {
      const last = i - 1;
      if (last > first && readings >= MANY_BLOCKS && (bins.key[last] - bins.key[first]) * bins.widthS >= REST_S) found.push({ first, last, levelA: bins.minA[first] });
      first = i < bins.length && bins.minA[i] === bins.maxA[i] ? i : i + 1;
      readings = 0;
    }
    if (i === bins.length) break;
    readings += bins.count[i];
  }
  return found;
}

/** True when clearly more than half of the readings before a run differ from the one before them. */
function scattersBefore({ sumA, count }: Bins, { first }: Run): boolean {
  let pairs = 0;
  let differing = 0;
  for (let i = Math.max(1, first - FEW * MANY_BLOCKS); i < first; i++) {
    pairs++;
    if (sumA[i] / count[i] !== sumA[i - 1] / count[i - 1]) differing++;
  }
  return pairs >= MANY_BLOCKS && differing - pairs / 2 > (CLEAR_SIGMAS * Math.sqrt(pairs)) / 2;
}

/** Within the last readings before it, and not at an extreme of the whole recording, where a range ends. */
function isAmongTheLast(bins: Bins, { first, levelA }: Run): boolean {
  const [lowestA, highestA] = extremes(bins, Math.max(0, first - PATTERN), first);
  const [leastA, mostA] = extremes(bins, 0, bins.length);
  return lowestA <= levelA && levelA <= highestA && leastA < levelA && levelA < mostA;
}

function extremes({ minA, maxA }: Bins, from: number, to: number): [lowestA: number, highestA: number] {
  let lowestA = Infinity;
  let highestA = -Infinity;
  for (let i = from; i < to; i++) {
    lowestA = Math.min(lowestA, minA[i]);
    highestA = Math.max(highestA, maxA[i]);
  }
  return [lowestA, highestA];
}

/** The recording without those stretches, as if the logger had been silent. */
export function withoutStuck(recorded: Recorded, stuck: readonly Stuck[]): Recorded {
  if (stuck.length === 0) return recorded;
  const { widthS } = recorded;
  const keptBins = keptOutside(recorded.key.subarray(0, recorded.length), stuck, widthS);
  const keptPicks = keptOutside(recorded.pickedS.subarray(0, recorded.picked), stuck, 1);
  const key = chosen(recorded.key, keptBins);
  const pickedS = chosen(recorded.pickedS, keptPicks);
  const count = chosen(recorded.count, keptBins);
  const last = stuck[stuck.length - 1];
  const lastKey = key[key.length - 1];
  return {
    length: key.length, widthS, key, count,
    sumA: chosen(recorded.sumA, keptBins), minA: Float32Array.from(keptBins, (i) => recorded.minA[i]), maxA: Float32Array.from(keptBins, (i) => recorded.maxA[i]),
    pickedS, pickedA: Float32Array.from(keptPicks, (i) => recorded.pickedA[i]), picked: pickedS.length,
    samples: count.reduce((sum, one) => sum + one, 0),
    firstS: Math.max(recorded.firstS, key[0] * widthS),
    lastS: lastKey * widthS < last.startS ? (lastKey + 1) * widthS : recorded.lastS,
  };
}

/** Indices of values, times over `unitS` and rising, that lie in none of the stretches. */
function keptOutside(times: Float64Array, stuck: readonly Stuck[], unitS: number): number[] {
  const kept: number[] = [];
  let i = 0;
  for (const { startS, endS } of stuck) {
    const startIndex = lowerBound(times, startS / unitS, i, times.length);
    for (; i < startIndex; i++) kept.push(i);
    i = lowerBound(times, endS / unitS, i, times.length);
  }
  for (; i < times.length; i++) kept.push(i);
  return kept;
}

function chosen(values: Float64Array, indices: readonly number[]): Float64Array {
  return Float64Array.from(indices, (i) => values[i]);
}
