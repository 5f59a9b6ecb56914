import type { SituationClass } from '../families/scenes.ts';
import { ACTUATORS } from './actuators.ts';
import { ALIKE } from './alike.ts';
import { CONTACTS } from './contacts.ts';
import { FANS } from './fans.ts';
import { LEADS } from './leads.ts';
import { LOGGERS, MORE_LOGGERS } from './loggers.ts';
import { MECHANISMS } from './mechanisms.ts';
import { OTHER_LOADS } from './other-loads.ts';
import { PUMPS } from './pumps.ts';
import { SUPPLIES } from './supplies.ts';
import { WINCHES } from './winches.ts';

/** Situations of the workshop: other motors, other equations and other mishaps than the families', labelled by the same definitions. */
export const WORKSHOP: readonly SituationClass[] = [...SUPPLIES, ...PUMPS, ...WINCHES, ...FANS, ...LOGGERS, ...MORE_LOGGERS, ...OTHER_LOADS, ...CONTACTS, ...MECHANISMS, ...ACTUATORS, ...LEADS, ...ALIKE];
