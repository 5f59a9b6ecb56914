import type { Words } from '../words.ts';
import { findings, unjudged } from './findings.ts';

/** English. Another language is another folder like this one: the compiler asks for every sentence. */
export const en: Words = {
  locale: 'en',
  findings,
  unjudged,
};
