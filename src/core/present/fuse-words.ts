import type { FuseNote } from '../analysis/readings/types.ts';
import type { Problem } from '../problems.ts';
import { language, plain } from './language.ts';

/** Notes of a fuse survey as problems that people read. */
export function fuseProblems(notes: readonly FuseNote[], words = language): Problem[] {
  return notes.map(({ code, label, type, ratingA, labels = [] }) => ({ code, text: words.fuses.notes[code](label === null ? labels.join(', ') : `${label} (${type}, ${plain(ratingA)} A)`) }));
}
