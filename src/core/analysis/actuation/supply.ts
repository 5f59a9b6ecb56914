import type { Supply } from '../results.ts';
import { median, robustSigma } from '../../stats.ts';
import type { Baseline } from './baseline.ts';
import type { LeadPlace } from './feed-voltage.ts';
import type { Motion } from './motion.ts';
import type { Press } from './presses.ts';
import type { Sampling } from './sampling.ts';
import { student95 } from './run.ts';

/** s; voltage and current are averaged over this before they are compared, so that clamp and voltage channel need not agree to the sample */
const CELL_S = 0.005;
const MOST_CELLS = 2000;

/**
 * The feed as the motor sees it: a source of `open_v` behind `source_ohm`, by regression of volts on amps over the press.
 *
 * The switch-on peak, the run and a stall give the spread of amps that the slope needs; where all of it is one level the bounds are wide
 * and the result is null when they include nothing useful. Bounds are 95 %, by the residuals' scatter with their autocorrelation
 * counted (effective number of cells). Standard errors of a straight line: any statistics handbook.
 *
 * The voltage channel is fast, a clamp may not be: against a current that lags, the points of a switch-on bend away from the line. So the
 * voltage is slowed down by the same time constant; of none, half and all of what the switch-off showed (`followS`), the one counts whose
 * line fits best.
 */
export function supplyFields(press: Press, motion: Motion, baseline: Baseline, voltageV: Float32Array, place: LeadPlace, sampling: Sampling, followS = 0): Supply | null {
  if (place === null) return null;
  let line: Line | null = null;
  for (const part of followS > 0.5 * CELL_S ? [0, 0.5, 1] : [0]) {
    const cells = pairCells(press, baseline, voltageV, place, sampling, part * followS);
    if (cells.count < 6) return null;
    const tried = fitRobust(cells);
    if (tried !== null && tried.slope < 0 && (line === null || tried.error < line.error)) line = tried;
  }
  if (line === null) return null;
  // a motor that did not run stood at one level: its middle half, clear of the switch's edges however slow the clamp
  const quarter = (press.endIndex - press.startIndex) >> 2;
  const steady = motion.running[0] ?? { startIndex: press.startIndex + quarter, endIndex: press.endIndex - quarter };
  const runV = Math.abs(median(voltageV.subarray(steady.startIndex, steady.endIndex)));
  return { open_v: line.intercept, run_v: runV, source_ohm: -line.slope, low_ohm: Math.max(0, -line.slope - line.error), high_ohm: -line.slope + line.error };
}

interface Cells {
  readonly count: number;
  readonly currentA: Float64Array;
  readonly voltageV: Float64Array;
}

function pairCells(press: Press, baseline: Baseline, voltageV: Float32Array, place: LeadPlace, sampling: Sampling, lagS: number): Cells {
  const step = Math.max(1, Math.round(CELL_S * sampling.rateHz), Math.ceil((press.endIndex - press.startIndex) / MOST_CELLS));
  // at the battery the resting voltage just before belongs to the line; at the motor the feed was dead then
  const before = place === 'battery' ? Math.min(press.startIndex, Math.round(0.1 * sampling.rateHz)) : 0;
  const from = press.startIndex - before + (place === 'motor' ? 1 : 0);
  const most = Math.max(1, Math.ceil((press.endIndex - from) / step));
  const currentA = new Float64Array(most);
  const volts = new Float64Array(most);
  let count = 0;
  const blocked = press.dropouts;
  // while the current rises, a clamp that lags pairs a voltage that has sagged already with a current that is still to come
  const risen = risenIndex(press, baseline, sampling);
  const follow = lagS > 0 ? 1 - Math.exp(-sampling.periodS / lagS) : 1;
  // no current flows yet in the first sample, so it is the open-circuit voltage that the slowed channel starts from
  let slowV = voltageV[from] ?? 0;
  for (let i = from; i + step <= press.endIndex - 1; i += step) {
    if (blocked.some((range) => i < range.endIndex + step && i + step > range.startIndex - step)) continue;
    if (i + step > press.startIndex && i < risen) {
      for (let j = i; j < i + step; j++) slowV += follow * (voltageV[j] - slowV);
      continue;
    }
    let amps = 0;
    let sum = 0;
    for (let j = i; j < i + step; j++) {
      amps += baseline.deviationA[j];
      slowV += follow * (voltageV[j] - slowV);
      sum += slowV;
    }
    currentA[count] = (amps / step) * press.sign;
    volts[count++] = Math.abs(sum / step);
  }
  return { count, currentA, voltageV: volts };
}

/** Where the current has come up to nearly its highest of the switch-on. */
function risenIndex(press: Press, baseline: Baseline, sampling: Sampling): number {
  const endIndex = Math.min(press.endIndex, press.startIndex + Math.ceil(SWITCH_ON_S * sampling.rateHz));
  let topA = 0;
  for (let i = press.startIndex; i < endIndex; i++) topA = Math.max(topA, baseline.deviationA[i] * press.sign);
  let i = press.startIndex;
  while (i < endIndex && baseline.deviationA[i] * press.sign < RISEN_SHARE * topA) i++;
  return i;
}

/** s; winding and clamp together have come up by then (outside numbers: window, at least 5 A in the first 22 ms; slow clamps some 5 ms) */
const SWITCH_ON_S = 0.1;
const RISEN_SHARE = 0.97;

interface Line {
  readonly slope: number;
  readonly intercept: number;
  readonly error: number;
}

/**
 * The line without the cells that a chattering contact or an edge has spoilt: those more than five robust deviations off are dropped,
 * twice.
 */
function fitRobust(cells: Cells): Line | null {
  let used = cells;
  const share = noiseShare(cells);
  let line = fitLine(used, share);
  for (let round = 0; round < 2 && line !== null; round++) {
    const { slope, intercept } = line;
    const off = Float64Array.from({ length: used.count }, (_value, i) => used.voltageV[i] - intercept - slope * used.currentA[i]);
    const limit = Math.max(5 * robustSigma(off), 1e-4);
    const currentA = new Float64Array(used.count);
    const voltageV = new Float64Array(used.count);
    let count = 0;
    for (let i = 0; i < used.count; i++) {
      if (Math.abs(off[i]) > limit) continue;
      currentA[count] = used.currentA[i];
      voltageV[count++] = used.voltageV[i];
    }
    if (count < 6) break;
    used = { count, currentA, voltageV };
    line = fitLine(used, share);
  }
  return hasSecondLevel(used) ? line : null;
}

/** this many cells, this far (of the usual current) from it, make a second level; without one the slope rests on noise, hum and edges */
const FEWEST_AWAY = 3;
const AWAY_SHARE = 0.1;

/** A motor that stood at one level all the while says nothing of the feed's slope, however many cells it fills. */
function hasSecondLevel(cells: Cells): boolean {
  const amps = cells.currentA.subarray(0, cells.count);
  const usualA = median(amps);
  let away = 0;
  for (let i = 0; i < amps.length; i++) if (Math.abs(amps[i] - usualA) > AWAY_SHARE * Math.abs(usualA)) away++;
  return away >= FEWEST_AWAY;
}

/**
 * Noise of the voltage cells over that of the current cells, as a ratio of variances; Infinity when the current has none. By second
 * differences, in which level and slope drop out. A slow logger folds the ripple down into noise of the current, which would flatten a line
 * fitted as if only the voltage were uncertain.
 */
function noiseShare(cells: Cells): number {
  const wobbleA = wobble(cells.currentA, cells.count);
  const wobbleV = wobble(cells.voltageV, cells.count);
  return wobbleA > 0 ? (wobbleV / wobbleA) ** 2 : Infinity;
}

function wobble(values: Float64Array, count: number): number {
  const bends = new Float64Array(Math.max(0, count - 2));
  for (let i = 0; i < bends.length; i++) bends[i] = values[i] - 2 * values[i + 1] + values[i + 2];
  return robustSigma(bends);
}

/** Straight line with both axes uncertain (Deming 1943), `share` the ratio of their noise variances; least squares in volts when it is infinite. */
function fitLine(cells: Cells, share: number): Line | null {
  const { count, currentA, voltageV } = cells;
  let meanA = 0;
  let meanV = 0;
  for (let i = 0; i < count; i++) {
    meanA += currentA[i];
    meanV += voltageV[i];
  }
  meanA /= count;
  meanV /= count;
  let along = 0;
  let across = 0;
  let upright = 0;
  for (let i = 0; i < count; i++) {
    along += (currentA[i] - meanA) ** 2;
    upright += (voltageV[i] - meanV) ** 2;
    across += (currentA[i] - meanA) * (voltageV[i] - meanV);
  }
  if (!(along > 0)) return null;
  const tilt = upright - share * along;
  const slope = share === Infinity || across === 0 ? across / along : (tilt + Math.hypot(tilt, 2 * Math.sqrt(share) * across)) / (2 * across);
  let squares = 0;
  let lagged = 0;
  let lastOff = 0;
  for (let i = 0; i < count; i++) {
    const off = voltageV[i] - meanV - slope * (currentA[i] - meanA);
    squares += off * off;
    lagged += off * lastOff;
    lastOff = off;
  }
  const r1 = squares > 0 ? Math.min(0.95, Math.max(0, lagged / squares)) : 0;
  const free = Math.max(2, (count * (1 - r1)) / (1 + r1));
  const error = student95(Math.round(free) - 1) * Math.sqrt(squares / count / along) * Math.sqrt(count / Math.max(1, free - 2));
  if (!Number.isFinite(error) || error > Math.abs(slope)) return null;
  return { slope, intercept: meanV - slope * meanA, error };
}
