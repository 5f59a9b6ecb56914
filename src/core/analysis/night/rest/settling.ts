import { FEW, MANY_BLOCKS, NEGLIGIBLE_A, PATTERN, TRIFLE_SHARE } from '../settings.ts';
import type { Readings, RestStretch } from '../types.ts';
import { meanOf } from '../levels/segments.ts';
import { joinedRests } from './joined.ts';

/** A level that creeps to its floor: `floorA + amplitudeA * exp(-(t - fromS) / tauS)`. */
export interface Settling {
  readonly fromS: number;
  readonly floorA: number;
  /** positive when it falls: a load that dies away, or a zero that warms up */
  readonly amplitudeA: number;
  readonly tauS: number;
}

/** and its floor must be reached in the recording: so many time constants */
const SEEN_TAUS = 2;

/** The creep of the level at rest when its shape is that of something that dies away; null when it holds still, drifts evenly, or swings. */
export function findSettling(readings: Readings, rests: readonly RestStretch[]): Settling | null {
  const { timeS, meanA } = course(readings, rests);
  const count = timeS.length;
  if (count < PATTERN) return null;
  const fromS = timeS[0];
  const spanS = timeS[count - 1] - fromS;
  const line = leastSquares(timeS.map((atS) => atS - fromS), meanA);
  const flat = meanA.reduce((sum, value) => sum + (value - average(meanA)) ** 2, 0);
  let best: { fit: Fit; tauS: number } | null = null;
  // time constants from a small part of the rest to the longest that its length shows
  for (let k = 0; k < PATTERN; k++) {
    const tauS = (spanS / MANY_BLOCKS) * (MANY_BLOCKS / SEEN_TAUS) ** (k / (PATTERN - 1));
    const fit = leastSquares(timeS.map((atS) => Math.exp(-(atS - fromS) / tauS)), meanA);
    if (best === null || fit.rest < best.fit.rest) best = { fit, tauS };
  }
  if (best === null || Math.abs(best.fit.slope) < NEGLIGIBLE_A) return null;
  if (best.fit.rest > TRIFLE_SHARE * line.rest || best.fit.rest > TRIFLE_SHARE * flat) return null;
  return { fromS, floorA: best.fit.offset, amplitudeA: best.fit.slope, tauS: best.tauS };
}

/** When no more than so much of the creep is left, s. */
export function settledS({ fromS, amplitudeA, tauS }: Settling, leftA: number): number {
  return fromS + tauS * Math.max(0, Math.log(Math.abs(amplitudeA) / leftA));
}

/** Means of the rest over equal counts of blocks: a few to the shortest time constant. */
function course(readings: Readings, rests: readonly RestStretch[]): { timeS: number[]; meanA: number[] } {
  const { blocks } = readings;
  // a creep is cut into many short levels
  const joined = joinedRests(rests);
  const total = joined.reduce((sum, rest) => sum + rest.endBlock - rest.startBlock, 0);
  const size = Math.max(1, Math.floor(total / (FEW * MANY_BLOCKS)));
  const timeS: number[] = [];
  const meanA: number[] = [];
  for (const { startBlock, endBlock } of joined) {
    const parts = Math.floor((endBlock - startBlock) / size);
    for (let k = 0; k < parts; k++) {
      const i = startBlock + k * size;
      timeS.push((blocks.startS[i] + blocks.startS[i + size - 1] + blocks.widthS) / 2);
      meanA.push(meanOf(blocks.meanA, i, i + size));
    }
  }
  return { timeS, meanA };
}

interface Fit {
  readonly offset: number;
  readonly slope: number;
  /** sum of squared residuals */
  readonly rest: number;
}

function leastSquares(x: readonly number[], y: readonly number[]): Fit {
  const middleX = average(x);
  const middleY = average(y);
  let xx = 0;
  let xy = 0;
  let yy = 0;
  for (let i = 0; i < x.length; i++) {
    xx += (x[i] - middleX) ** 2;
    xy += (x[i] - middleX) * (y[i] - middleY);
    yy += (y[i] - middleY) ** 2;
  }
  const slope = xx === 0 ? 0 : xy / xx;
  return { offset: middleY - slope * middleX, slope, rest: Math.max(0, yy - slope * xy) };
}

function average(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
