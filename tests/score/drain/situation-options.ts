import type { DrainOptions } from '../../../src/core/analysis/options.ts';
import type { NightOptions } from '../situations/night/types.ts';

/** The options of a night as the command line hands them on. */
export function optionsOf({ limitA, batteryAh, zeroUncertaintyA, gainUncertaintyPercent, driftPerHourA }: NightOptions): DrainOptions {
  return {
    ...(limitA === undefined ? {} : { limitA }),
    ...(batteryAh === undefined ? {} : { batteryAh }),
    ...(zeroUncertaintyA === undefined ? {} : { zeroUncertaintyA }),
    ...(gainUncertaintyPercent === undefined ? {} : { gainUncertaintyPercent }),
    ...(driftPerHourA === undefined ? {} : { zeroDriftAPerHour: driftPerHourA }),
  };
}
