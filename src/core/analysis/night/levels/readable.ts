import { NORMAL_95 } from '../../uncertainty/normal-95.ts';
import type { Level } from '../../results.ts';
import { HAND_BLIP_S, PATTERN, TRIFLE_A, TRIFLE_SHARE } from '../settings.ts';
import type { Readings } from '../types.ts';

interface Row {
  startS: number;
  endS: number;
  sumAs: number;
  /** variance of the integral, A^2 s^2 */
  variance: number;
}

/** The levels of the recording as rows; where there are more than a reader can follow, pulses are joined with what lies around them, and like rows with each other. Their bounds hold the scatter and `sensorA`, what the sensor may add to such a level then. */
export function readableLevels(readings: Readings, pulseA: number, sensorA: (levelA: number, atS: number) => number): Level[] {
  const { widthS } = readings.blocks;
  let rows = readings.segments.filter((segment) => segment.endS > segment.startS).map((segment): Row => {
    const lengthS = segment.endS - segment.startS;
    return { startS: segment.startS, endS: segment.endS, sumAs: segment.meanA * lengthS, variance: segment.varianceA2 * widthS * lengthS };
  });
  const alikeA = Math.max(TRIFLE_A, pulseA / 2);
  if (rows.length > PATTERN) rows = joined(rows, (last, row, next) => isPulse(last, row, next, alikeA));
  if (rows.length > PATTERN) rows = joined(rows, (last, row) => near(meanOf(last), meanOf(row), alikeA));
  return rows.map((row) => {
    const lengthS = row.endS - row.startS;
    const meanA = meanOf(row);
    const halfWidthA = Math.hypot((NORMAL_95 * Math.sqrt(row.variance)) / lengthS, sensorA(meanA, row.startS));
    return { start_s: row.startS, end_s: row.endS, mean_a: meanA, low_a: meanA - halfWidthA, high_a: meanA + halfWidthA };
  });
}

function joined(rows: readonly Row[], belongs: (last: Row, row: Row, next: Row | undefined) => boolean): Row[] {
  const out: Row[] = [];
  rows.forEach((row, i) => {
    const last = out[out.length - 1];
    if (last !== undefined && belongs(last, row, rows[i + 1])) {
      last.endS = row.endS;
      last.sumAs += row.sumAs;
      last.variance += row.variance;
    } else out.push({ ...row });
  });
  return out;
}

const meanOf = (row: Row): number => row.sumAs / (row.endS - row.startS);

function isPulse(last: Row, row: Row, next: Row | undefined, alikeA: number): boolean {
  const isShort = row.endS - row.startS < HAND_BLIP_S && next !== undefined && near(meanOf(last), meanOf(next), alikeA);
  return isShort || near(meanOf(last), meanOf(row), alikeA);
}

function near(one: number, other: number, alikeA: number): boolean {
  return Math.abs(one - other) < Math.max(alikeA, TRIFLE_SHARE * Math.abs(one));
}
