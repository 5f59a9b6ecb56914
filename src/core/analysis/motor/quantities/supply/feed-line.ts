import { median, quantile, robustSigma } from '../../../../stats.ts';
import { clearOf, FEWEST, NEARLY_ALL, SMALL_PART, TRIFLE } from '../../signal/decision-levels.ts';
import type { Cells } from './supply-cells.ts';
import { student95 } from '../../../uncertainty/distributions.ts';

/** Volts over amps of one press. */
export interface Line {
  /** ohm; negative for a source */
  readonly slope: number;
  readonly intercept: number;
  /** mean of the volts it rests on, V */
  readonly meanV: number;
  /** half width of the slope's 95 % bounds, ohm */
  readonly error: number;
  /** of the volts about the line, V */
  readonly scatterV: number;
}

/** The line without the cells that a chattering contact or an edge has spoilt, which are dropped twice; null when what is left is not enough for one. */
export function fitRobust(cells: Cells): Line | null {
  const share = noiseShare(cells);
  const kept = new Uint8Array(cells.currentA.length).fill(1);
  if (cells.currentA.length < FEWEST) return null;
  let line = fitLine(cells, kept, share);
  const spreadA = quantile(cells.currentA, 1 - TRIFLE) - quantile(cells.currentA, TRIFLE);
  for (let round = 0; round < 2 && line !== null; round++) {
    const off = offLine(cells, line);
    // a clamp's lag alone puts the cells of the switch-on a small part of its volts off, and they are the ones that carry the slope
    const limit = Math.max(clearOf(off.length) * robustSigma(off.filter((_value, i) => kept[i] === 1)), SMALL_PART * Math.abs(line.slope) * spreadA);
    const isNear = (value: number): boolean => !(Math.abs(value) > limit);
    if (off.filter(isNear).length < FEWEST) break;
    for (let i = 0; i < off.length; i++) kept[i] = isNear(off[i]) ? 1 : 0;
    line = fitLine(cells, kept, share);
  }
  return line !== null && hasSecondLevel(cells, kept) ? line : null;
}

function offLine({ currentA, voltageV }: Cells, { slope, intercept }: Line): Float64Array {
  return voltageV.map((volts, i) => volts - intercept - slope * currentA[i]);
}

/** half as many cells as a line needs, as far from the usual current as a step is and clear of the noise from cell to cell, make a second level; without one the slope rests on noise, hum, ripple and edges. A motor that stood at one level all the while says nothing of the feed's slope, however many cells it fills. */
function hasSecondLevel(cells: Cells, kept: Uint8Array): boolean {
  const amps = cells.currentA.filter((_value, i) => kept[i] === 1);
  const usualA = median(amps);
  let away = 0;
  const leastA = Math.max(SMALL_PART * Math.abs(usualA), (clearOf(amps.length) * wobble(amps)) / Math.sqrt(CELL_NOISE));
  for (let i = 0; i < amps.length; i++) if (Math.abs(amps[i] - usualA) > leastA) away++;
  return 2 * away >= FEWEST;
}

/**
 * Noise of the voltage cells over that of the current cells, as a ratio of variances; Infinity when the current has none. By second
 * differences, in which level and slope drop out. A slow logger folds the ripple down into noise of the current, which would flatten a line
 * fitted as if only the voltage were uncertain.
 */
function noiseShare(cells: Cells): number {
  const wobbleA = wobble(cells.currentA);
  return wobbleA > 0 ? (wobble(cells.voltageV) / wobbleA) ** 2 : Infinity;
}

/** variance of the second differences over that of noise that each value has for itself: 1 + 2² + 1 */
export const CELL_NOISE = 6;

/** Robust deviation of the second differences. */
export function wobble(values: Float64Array): number {
  const bends = new Float64Array(Math.max(0, values.length - 2));
  for (let i = 0; i < bends.length; i++) bends[i] = values[i] - 2 * values[i + 1] + values[i + 2];
  return robustSigma(bends);
}

/**
 * Straight line with both axes uncertain (Deming 1943), `share` the ratio of their noise variances; least squares in volts when it is
 * infinite.
 *
 * The slope rests on the few cells of the switch-on, which are also those that the clamp's lag and an edge put off the line: the standard
 * error takes each cell's own residual (heteroskedasticity-consistent, with the leverage taken out: MacKinnon and White 1985, HC3) and
 * their correlation with the cells before (Newey and West 1987, with their usual number of lags), Student's t the number of cells that carry
 * the slope. The scatter of all cells, with their autocorrelation counted, is its floor.
 */
function fitLine({ currentA, voltageV }: Cells, kept: Uint8Array, share: number): Line | null {
  const count = currentA.length;
  let used = 0;
  let meanA = 0;
  let meanV = 0;
  for (let i = 0; i < count; i++) {
    if (kept[i] === 0) continue;
    used++;
    meanA += currentA[i];
    meanV += voltageV[i];
  }
  meanA /= used;
  meanV /= used;
  let along = 0;
  let across = 0;
  let upright = 0;
  for (let i = 0; i < count; i++) {
    if (kept[i] === 0) continue;
    const amps = currentA[i] - meanA;
    along += amps ** 2;
    upright += (voltageV[i] - meanV) ** 2;
    across += amps * (voltageV[i] - meanV);
  }
  if (!(along > 0)) return null;
  const tilt = upright - share * along;
  const slope = share === Infinity || across === 0 ? across / along : (tilt + Math.hypot(tilt, 2 * Math.sqrt(share) * across)) / (2 * across);
  const lags = Math.ceil(4 * (used / 100) ** (2 / 9));
  const pulls = new Float64Array(used);
  let at = 0;
  let squares = 0;
  let lagged = 0;
  let lastOff = 0;
  let fourths = 0;
  for (let i = 0; i < count; i++) {
    if (kept[i] === 0) continue;
    const amps = currentA[i] - meanA;
    const off = voltageV[i] - meanV - slope * amps;
    const leverage = 1 / used + (amps * amps) / along;
    pulls[at++] = (amps * off) / (1 - Math.min(NEARLY_ALL, leverage));
    fourths += amps ** 4;
    squares += off * off;
    lagged += off * lastOff;
    lastOff = off;
  }
  let variance = 0;
  for (let lag = 0; lag <= lags && lag < used; lag++) {
    let sum = 0;
    for (let i = lag; i < used; i++) sum += pulls[i] * pulls[i - lag];
    variance += (lag === 0 ? 1 : 2 * (1 - lag / (lags + 1))) * sum;
  }
  const r1 = squares > 0 ? Math.min(NEARLY_ALL, Math.max(0, lagged / squares)) : 0;
  const free = Math.max(2, (used * (1 - r1)) / (1 + r1));
  const even = (squares / used) * along * (used / Math.max(1, free - 2));
  const carrying = along ** 2 / fourths;
  const error = (student95(Math.max(1, Math.round(Math.min(free, Math.max(FEWEST, carrying))) - 1)) * Math.sqrt(Math.max(variance, even))) / along;
  if (!Number.isFinite(error)) return null;
  return { slope, intercept: meanV - slope * meanA, meanV, error, scatterV: Math.sqrt(squares / used) };
}
