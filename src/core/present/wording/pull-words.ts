import type { Pull } from '../../analysis/results.ts';
import { formatCurrentBounds } from '../language.ts';

/** By how much the current changed as a fuse was pulled; a dash where nothing at rest was recorded beside the pull, so that no figure can be given. */
export function pullChange({ carries, change_a: changeA, low_a: lowA, high_a: highA, uncertainty }: Pull): string {
  const measured = carries !== null || (uncertainty !== undefined && uncertainty.length > 0);
  return measured ? formatCurrentBounds(changeA, lowA, highA) : '\u2013';
}
