import { readFile } from 'node:fs/promises';

/** Puts the test's own language in the place of English, where the program names the one it speaks, and its numbers in the sentences taken from English. */
export async function load(url, context, next) {
  if (url.endsWith('/dist/core/present/language.js')) {
    const source = await readFile(new URL(url), 'utf8');
    return { format: 'module', shortCircuit: true, source: source.replace(/language = en\b/, 'language = globalThis.otherLanguage(en)') };
  }
  if (url.endsWith('/dist/core/present/en/locale.js')) {
    const source = await readFile(new URL(url), 'utf8');
    return { format: 'module', shortCircuit: true, source: source.replace("'en-GB'", "'de-DE'") };
  }
  return next(url, context);
}
