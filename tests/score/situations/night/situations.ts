import { beforeSituations } from './families/before.ts';
import { clampSituations } from './families/clamp.ts';
import { doorSituations } from './families/doors.ts';
import { loggerSituations } from './families/logger.ts';
import { plainSituations } from './families/plain.ts';
import { pollSituations } from './families/polls.ts';
import { pullSituations } from './families/pulls.ts';
import { restSituations } from './families/rest.ts';
import { sunSituations } from './families/sun.ts';
import { wakeSituations } from './families/wakes.ts';
import type { NightSituation } from './types.ts';
import { yardSituations } from './yard/classes.ts';

/** Every kind of night that is made, by name. */
export const nightSituations: readonly NightSituation[] = [...plainSituations, ...restSituations, ...wakeSituations, ...doorSituations, ...beforeSituations, ...pollSituations, ...pullSituations, ...clampSituations, ...loggerSituations, ...sunSituations];

/** Those and the nights of the yard, which the gate of `npm test` does not take: it holds what was reached, these show what is not yet. */
export const allNightSituations: readonly NightSituation[] = [...nightSituations, ...yardSituations];
