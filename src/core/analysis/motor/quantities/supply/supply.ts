import type { Supply } from '../../../results.ts';
import { fitRobust, type Line } from './feed-line.ts';
import { pairCells, type Cells, type Pairing } from './supply-cells.ts';
import { LOAD, nominalOf, SUPPLY } from '../../settings.ts';
import { CLEAR_PART, FEWEST, SMALL_PART } from '../../signal/decision-levels.ts';
import { slowVoltage, usualVolts } from '../../wire/voltage-channel.ts';
import { NORMAL_95 } from '../../../uncertainty/normal-95.ts';
import { COPPER_PER_KELVIN } from '../../../../reference/wire.ts';
import { CLAMP_FOLLOWS_S } from '../../time-scales.ts';
import { partsOf } from '../../../uncertainty/parts.ts';
import type { Motion } from '../../types.ts';
import { modulationOhm } from './modulation.ts';

/**
 * The feed as the motor sees it: a source of `open_v` behind `source_ohm`, by regression of volts on amps over the press.
 *
 * The switch-on peak, the run and a stall give the spread of amps that the slope needs; null where they do not, as when all of it is one
 * level or what rises out of it is beyond the end of the sensor's range. Bounds are 95 %.
 *
 * The voltage channel is fast, a clamp may not be: against a current that lags, the points of a switch-on bend away from the line. So the
 * voltage is slowed down by the same time constant, the one that leaves the rise nearest to the line, and what is not known of it counts in
 * the bounds. Where the voltage itself comes up slowly, both channels are taken to be alike.
 */
export function supplyFields(pairing: Pairing, motion: Motion): Supply | null {
  // where the supply may have held the current of the start, its volts follow the motor's and no resistance
  const line = motion.certain ? lineOf(pairing, motion) : null;
  if (line === null || line.low > -line.slope) return null;
  const { press, voltageV } = pairing;
  const openV = openVolts(line, pairing);
  // where the line ends is as uncertain as what it adds to the volts that were read: a feed that changes as it shakes leaves it open
  if (openV === null || Math.max(line.low, line.high) * Math.abs(openV - line.meanV) > -SMALL_PART * openV * line.slope) return null;
  // no feed loses more than all of its volts: a line that steep follows something else, as a regulator that cuts in during the run
  const { baseline, risenIndex } = pairing;
  const mostOhm = openV / Math.max(Number.MIN_VALUE, baseline.deviationA[Math.min(risenIndex, press.endIndex - 1)] * press.sign);
  if (-line.slope > mostOhm) return null;
  // the current of a motor that did not run stayed at one level: its middle half, clear of the switch's edges however slow the clamp
  const quarter = (press.endIndex - press.startIndex) >> 2;
  const steady = motion.running[0] ?? { startIndex: press.startIndex + quarter, endIndex: press.endIndex - quarter };
  const runV = Math.abs(usualVolts(voltageV, steady.startIndex, steady.endIndex));
  return { open_v: openV, run_v: runV, source_ohm: -line.slope, low_ohm: Math.max(0, -line.slope - line.low), high_ohm: Math.min(mostOhm, -line.slope + line.high), uncertainty: partsOf({ noise: line.error / NORMAL_95, bandwidth: line.lagged / NORMAL_95, model: line.modelled / NORMAL_95 }) };
}

/**
 * Volts with nothing flowing, where the line meets no current. At the battery they were read, and no line says more than the highest reading. At the motor
 * they lie above every reading, but not in another vehicle's range: a line that steep is none of a feed.
 */
function openVolts({ intercept }: Line, { press, place, voltageV, fromIndex }: Pairing): number | null {
  let highestV = 0;
  for (let i = fromIndex; i < press.endIndex; i++) highestV = Math.max(highestV, Math.abs(voltageV[i]));
  if (place === 'battery') return Math.min(intercept, highestV);
  return nominalOf(intercept) === nominalOf(highestV) && intercept < SUPPLY.highestV ? intercept : null;
}

interface Bounded extends Line {
  /** from the source's resistance to the ends of its 95 % bounds, ohm */
  readonly low: number;
  readonly high: number;
  /** what the lags that are as likely put on the wider side, ohm */
  readonly lagged: number;
  /** the same that one line for all of the press leaves out, to either side, ohm */
  readonly modelled: number;
}

/** The line with its slope at one lag, and how far off it the switch-on lies. */
interface Attempt {
  readonly lagS: number;
  readonly cells: Cells;
  readonly line: Line;
  readonly offV2: number;
  readonly pieces: number;
}

/** The line at the lag that fits best; the lines at the other lags that the rise allows widen its bounds. */
function lineOf(pairing: Pairing, motion: Motion): Bounded | null {
  const openV = fitRobust(pairCells(pairing, 0, null))?.intercept ?? null;
  const tried: Attempt[] = [];
  for (const lagS of lagsOf(pairing)) {
    const cells = pairCells(pairing, lagS, openV);
    const line = fitRobust(cells);
    if (line === null || line.error > -line.slope) continue;
    tried.push({ lagS, cells, line, ...offInRise(pairing, lagS, openV, line) });
  }
  if (tried.length === 0) return null;
  const best = tried.reduce((least, one) => (one.offV2 < least.offV2 ? one : least));
  // 95 % of chi squared with one degree of freedom: lags that leave no more than this off are as likely
  const asLikely = NORMAL_95 ** 2;
  const mostV2 = best.offV2 * (1 + asLikely / best.pieces) + asLikely * best.line.scatterV ** 2;
  let low = 0;
  let high = 0;
  for (const { line, offV2 } of tried) {
    if (offV2 > mostV2) continue;
    low = Math.max(low, line.slope - best.line.slope);
    high = Math.max(high, best.line.slope - line.slope);
  }
  // the current itself warms the wires, and no press knows the feed better than to a kelvin
  const warmed = COPPER_PER_KELVIN * best.line.slope;
  // a wave reaches the root of two times its deviation (arc sine distribution, JCGM 101:2008, 6.4.6)
  const modelled = Math.hypot(warmed, Math.SQRT2 * modulationOhm(best.cells, pairing, motion, best.line));
  return { ...best.line, low: Math.hypot(low, best.line.error, modelled), high: Math.hypot(high, best.line.error, modelled), lagged: Math.max(low, high), modelled };
}

/** Lags that the clamp can have, s: none, and up to the slowest that the switch-off leaves open, which shows it to half or so; a peak comes later than the clamp's time constant. */
function lagsOf({ press, sampling, clamp, risenIndex, channelS }: Pairing): number[] {
  const lags = [0];
  if (channelS > 0) return lags;
  const shownS = clamp.atMostS === null ? Infinity : 2 * clamp.atMostS;
  const latest = Math.min(CLAMP_FOLLOWS_S, shownS, (risenIndex - press.startIndex + 1) * sampling.periodS);
  for (let lagS = LOAD.quickestWindingS; lagS <= latest; lagS *= Math.SQRT2) lags.push(lagS);
  return lags;
}

/** How far off the line the switch-on lies while the current rises and as long after it, in some pieces: there a lag shows. A piece a clear part of the volts off is not put there by it. */
function offInRise(pairing: Pairing, lagS: number, openV: number | null, line: Line): Pick<Attempt, 'offV2' | 'pieces'> {
  const { press, baseline, place, risenIndex, slowed } = pairing;
  const from = press.startIndex + (place === 'motor' ? 1 : 0);
  const rise = Math.max(1, risenIndex - press.startIndex);
  const width = Math.max(1, Math.floor(rise / FEWEST));
  const to = Math.min(press.endIndex, from + 2 * (rise + 1));
  slowVoltage(pairing, from, to, lagS, openV, slowed);
  const capV2 = (CLEAR_PART * line.slope * baseline.deviationA[Math.min(risenIndex, press.endIndex - 1)]) ** 2;
  let offV2 = 0;
  let pieces = 0;
  for (let i = from; i + width <= to; i += width) {
    let sum = 0;
    for (let j = i; j < i + width; j++) sum += slowed[j - from] - line.intercept - line.slope * baseline.deviationA[j] * press.sign;
    offV2 += Math.min((sum / width) ** 2, capV2);
    pieces++;
  }
  return { offV2, pieces: Math.max(1, pieces) };
}
