import { beforeSituations } from './families/before.ts';
import { doorSituations } from './families/doors.ts';
import { plainSituations } from './families/plain.ts';
import { restSituations } from './families/rest.ts';
import { wakeSituations } from './families/wakes.ts';
import type { NightSituation } from './types.ts';

/** Every kind of night that is made, by name. */
export const nightSituations: readonly NightSituation[] = [...plainSituations, ...restSituations, ...wakeSituations, ...doorSituations, ...beforeSituations];
