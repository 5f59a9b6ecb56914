import { ALL_FORMATS, type Format } from '../tracefile/formats.ts';
import { language } from './language.ts';

/** ".csv, .arrows or .zip", of these formats. */
export function endingsOf(formats: readonly Format[]): string {
  return language.listOr(formats.map((format) => `.${format}`));
}

export const EVERY_ENDING = endingsOf(ALL_FORMATS);
