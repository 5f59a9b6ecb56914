import type { SituationClass } from '../families/scenes.ts';
import { AFLOAT } from './afloat.ts';
import { BESIDE } from './beside.ts';
import { MISHAPS } from './mishaps.ts';
import { WEAR } from './wear.ts';

/** Situations of vehicles of all sorts with equations of their own. Results on these may be looked at. */
export const roadsideOpen: readonly SituationClass[] = [...AFLOAT, ...BESIDE, ...WEAR, ...MISHAPS];
