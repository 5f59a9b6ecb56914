import { writeFile } from 'node:fs/promises';
import { differenceOf } from '../core/analysis/compare/difference.ts';
import type { Analysed } from '../daemon/prove/gather.ts';
import { overlaysOf } from '../daemon/prove/overlays.ts';
import { InputError } from './io.ts';
import { language } from '../core/present/language.ts';

const words = language.cli.results.overlayFile;

/** Every pair of actuations of two motor tests on one switch edge, time from the edge, with the difference, as one CSV file. */
export async function writeOverlays(path: string, [before, after]: readonly Analysed[]): Promise<void> {
  const overlays = before === undefined || after === undefined ? [] : await overlaysOf(before, after);
  if (overlays.length === 0) throw new InputError(words.thereIsNoPair);
  const rows = ['direction,number,time_s,before_a,after_a,difference_a'];
  for (const overlay of overlays) {
    const { timeS, beforeA, afterA, currentA } = differenceOf(overlay.before, overlay.after);
    for (const [i, atS] of timeS.entries()) rows.push([overlay.direction, overlay.number, atS.toFixed(6), (beforeA[i] ?? 0).toFixed(4), (afterA[i] ?? 0).toFixed(4), (currentA[i] ?? 0).toFixed(4)].join(','));
  }
  try {
    await writeFile(path, `${rows.join('\n')}\n`);
  } catch (error) {
    throw new InputError(words.cannotBeWrittenChoose(path, (error as NodeJS.ErrnoException).code ?? 'error'));
  }
}
