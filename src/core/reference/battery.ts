/**
 * Lead-acid batteries at key-off currents: state of charge by rested voltage, reserve capacity to ampere-hours, self-discharge, days
 * until half charge. Peukert's rule is left out on purpose: fitted to one data sheet's 20 h and 75 A points it predicts 128.5 h at
 * 2.5 A where the same sheet says 100 h (Trojan T-105), a 28 % error that grows towards milliamps.
 */

/** Rested open-circuit voltage of a 12 V battery at 25 C against state of charge, percent. */
interface VoltageTable {
  readonly source: string;
  /** rising */
  readonly socPercent: readonly number[];
  readonly restedV: readonly number[];
}

export const VOLTAGE_TABLES: readonly VoltageTable[] = [
  {
    source: 'Trojan T-105 data sheet, cell voltage times six',
    socPercent: [10, 20, 30, 40, 50, 60, 70, 80, 90, 100],
    restedV: [11.508, 11.658, 11.814, 11.958, 12.102, 12.24, 12.372, 12.498, 12.618, 12.732],
  },
  {
    source: 'autobatteries.com, basics of voltage (starter battery, 80 F)',
    socPercent: [25, 50, 75, 100],
    restedV: [12.0, 12.2, 12.4, 12.6],
  },
  {
    source: 'motorhome.com, table of battery voltage',
    socPercent: [25, 50, 75, 100],
    restedV: [12.15, 12.3, 12.45, 12.66],
  },
];

/** A rested meter reading is good to about this much; the tables themselves disagree by 0.1 V at a quarter charge. */
const METER_UNCERTAINTY_V = 0.02;

interface ChargeBand {
  readonly lowPercent: number;
  readonly highPercent: number;
}

/** State of charge as one table tells it, held to 0..100; linear between rows, and beyond the last row with its last slope. */
export function socFromTable(table: VoltageTable, restedV: number): number {
  const { restedV: volts, socPercent } = table;
  let k = 1;
  while (k < volts.length - 1 && restedV > volts[k]) k++;
  const slope = (socPercent[k] - socPercent[k - 1]) / (volts[k] - volts[k - 1]);
  return Math.min(100, Math.max(0, socPercent[k - 1] + slope * (restedV - volts[k - 1])));
}

/**
 * State of charge of a 12 V battery that has rested (six hours at least), as the band that the published tables span; null outside
 * 10.5 to 13.2 V, where the reading is of something else (a 24 V system, a battery just charged, a dead cell).
 */
export function socBand(restedV: number): ChargeBand | null {
  if (!(restedV >= 10.5 && restedV <= 13.2)) return null;
  let lowPercent = 100;
  let highPercent = 0;
  for (const table of VOLTAGE_TABLES) {
    lowPercent = Math.min(lowPercent, socFromTable(table, restedV - METER_UNCERTAINTY_V));
    highPercent = Math.max(highPercent, socFromTable(table, restedV + METER_UNCERTAINTY_V));
  }
  return { lowPercent, highPercent };
}

/** Charge a battery gives in the reserve capacity test: minutes at 25 A (SAE J537 as cited in a 2002 GMC manual), Ah = RC x 25 / 60. */
export function reserveCapacityAh(reserveCapacityMin: number): number {
  return (reserveCapacityMin * 25) / 60;
}

/** Self-discharge overall: 3 to 20 % a month, doubling with every 10 C (huizhongpower.com). The band is taken to hold at 25 C. */
const SELF_DISCHARGE_PERCENT_PER_MONTH = { low: 3, high: 20, atC: 25, doublesPerC: 10 };

/** Self-discharge as a band, percent of capacity per 30 days. */
export function selfDischargePercentPerMonth(temperatureC: number): ChargeBand {
  const factor = 2 ** ((temperatureC - SELF_DISCHARGE_PERCENT_PER_MONTH.atC) / SELF_DISCHARGE_PERCENT_PER_MONTH.doublesPerC);
  return { lowPercent: Math.min(100, SELF_DISCHARGE_PERCENT_PER_MONTH.low * factor), highPercent: Math.min(100, SELF_DISCHARGE_PERCENT_PER_MONTH.high * factor) };
}

/** Days until a current has drawn `share` of the capacity, from full; the 20 h capacity is taken as it is, no Peukert. Infinity without drain. */
export function daysToDraw(capacityAh: number, share: number, averageA: number): number {
  return averageA > 0 ? (capacityAh * share) / averageA / 24 : Infinity;
}
