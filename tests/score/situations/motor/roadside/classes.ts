import type { SituationClass } from '../families/scenes.ts';
import { AFLOAT } from './afloat.ts';
import { BESIDE } from './beside.ts';
import { CLIPS } from './clips.ts';
import { HAULING } from './hauling.ts';
import { MISHAPS } from './mishaps.ts';
import { RESTLESS } from './restless.ts';
import { SEQUENCES } from './sequences.ts';
import { WEAR } from './wear.ts';

/** Situations of vehicles of all sorts with equations of their own. Results on these may be looked at. */
export const roadsideOpen: readonly SituationClass[] = [...AFLOAT, ...BESIDE, ...WEAR, ...MISHAPS];

/** As many of the same sorts that are kept back: no detector is mended by them. */
export const roadsideKept: readonly SituationClass[] = [...SEQUENCES, ...RESTLESS, ...HAULING, ...CLIPS];
