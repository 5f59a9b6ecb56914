import { median } from '../../../stats.ts';
import { VOLTAGE_TABLES } from '../../../reference/battery.ts';
import type { MotorEvidence } from '../codes.ts';
import { nominalOf, SUPPLY } from '../settings.ts';
import { CLEAR_PART } from '../signal/decision-levels.ts';
import type { VerdictFacts } from './types.ts';

/** Rested volts of a 12 V battery below which it is a quarter full or emptier, by the first row of every table that begins at a quarter. */
function flatBelowV(): number {
  return Math.min(...VOLTAGE_TABLES.filter(({ socPercent }) => socPercent[0] >= 100 * CLEAR_PART).map(({ restedV }) => restedV[0]));
}

/**
 * What the volts say by themselves, whatever the finding: a battery that is nearly flat between presses, and a motor that ran on less than 12 V
 * equipment is made for. A feed that counts as starved says more, and says it itself.
 */
export function absoluteVolts({ actuations, place, topV }: VerdictFacts): MotorEvidence[] {
  const nominal = nominalOf(topV);
  if (place === 'battery') {
    const rested = actuations.flatMap(({ supply }) => supply?.open_v ?? []);
    const restV = rested.length > 0 ? median(rested) : topV;
    const fromV = nominal * flatBelowV();
    return topV > SUPPLY.deadV && restV < fromV ? [{ code: 'flat-battery', restV, fromV }] : [];
  }
  if (place !== 'motor') return [];
  const low = actuations.find(({ run, feed_v: feedV }) => run !== null && feedV !== undefined && feedV > SUPPLY.deadV && feedV < nominal * SUPPLY.enoughV);
  return low?.feed_v === undefined ? [] : [{ code: 'low-run-volts', atS: low.start_s, feedV: low.feed_v, fromV: nominal * SUPPLY.enoughV }];
}
