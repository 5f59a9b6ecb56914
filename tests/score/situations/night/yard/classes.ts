import type { NightSituation } from '../types.ts';
import { yardPulls } from './fuse-work.ts';
import { yardLoads } from './loads.ts';
import { yardCharging, yardSensors } from './sensors.ts';

/** What else happens in a yard at night: other loads, other mishaps with fuses and clamps, labelled by the same definitions. */
export const yardSituations: readonly NightSituation[] = [...yardLoads, ...yardPulls, ...yardSensors, ...yardCharging];
