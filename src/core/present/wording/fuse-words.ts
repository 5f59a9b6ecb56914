import type { FuseNote } from '../../analysis/readings/types.ts';
import type { Problem } from '../../problems.ts';
import { fuseTypeOf } from '../../reference/blade-fuses.ts';
import { language, plain } from '../language.ts';

/** "blade, regular, 15 A"; a type that is not known as it was written. */
export function fuseKind(type: string, ratingA: number, words = language): string {
  const known = fuseTypeOf(type);
  return `${known === null ? type : words.fuses.types[known]}, ${plain(ratingA)} A`;
}

/** Notes of a fuse survey as problems that people read. */
export function fuseProblems(notes: readonly FuseNote[], words = language): Problem[] {
  return notes.map(({ code, label, type, ratingA, labels = [] }) => ({ code, text: words.fuses.notes[code](label === null ? labels.join(', ') : `${label} (${fuseKind(type, ratingA, words)})`) }));
}
