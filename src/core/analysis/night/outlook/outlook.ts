import { daysToDraw, reserveCapacityAh, selfDischargePercentPerMonth, socBand } from '../../../reference/battery.ts';
import type { DrainOptions } from '../../options.ts';
import type { BatteryOutlook } from '../../results.ts';

/** From what the capacity is known: as stated, or from the reserve capacity. */
export type CapacityBasis = 'stated' | 'reserve';

export interface BatteryReading extends Omit<BatteryOutlook, 'capacity_basis'> {
  readonly capacity_basis: CapacityBasis;
}

/** What the drain means for the battery; null when neither capacity nor reserve capacity is known. Days are capped so that JSON stays finite. */
export function batteryOutlook(options: DrainOptions, averageA: number): BatteryReading | null {
  const { batteryAh, reserveCapacityMin, restedV } = options;
  const fromReserve = reserveCapacityMin === undefined ? null : reserveCapacityAh(reserveCapacityMin);
  const capacityAh = batteryAh ?? fromReserve;
  if (capacityAh === null || !(capacityAh > 0)) return null;
  const days = (share: number): number => Math.min(MOST_DAYS, daysToDraw(capacityAh, share, averageA));
  const soc = restedV === undefined ? null : socBand(restedV);
  const above = (percent: number): number => Math.max(0, percent / 100 - 0.5);
  const self = selfDischargePercentPerMonth(options.temperatureC ?? 25);
  return {
    capacity_ah: capacityAh,
    days_to_half: days(0.5),
    days_to_empty: days(1),
    capacity_basis: batteryAh === undefined ? 'reserve' : 'stated',
    soc: soc === null ? null : { low_percent: soc.lowPercent, high_percent: soc.highPercent },
    days_from_now: soc === null ? null : { low: days(above(soc.lowPercent)), high: days(above(soc.highPercent)) },
    self_discharge_percent_per_month: { low: self.lowPercent, high: self.highPercent },
  };
}

/** ten years: longer than the battery lasts */
const MOST_DAYS = 3650;
