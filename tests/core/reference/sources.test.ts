import { readdirSync, readFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { describe, expect, it } from 'vitest';

const ROOT = join(import.meta.dirname, '../../..');
const SOURCES = readFileSync(join(ROOT, 'src/core/reference/SOURCES.md'), 'utf8');

/** "ISO 8820-3", "JCGM 100" */
const STANDARD = /\b(?:ISO(?:\/TR)?|IEC|SAE|JCGM|IEEE(?: Std)?|RFC|ASTM|EP)[ -](?:J|B)?\d[\d-]*/g;
/** "Efron and Tibshirani 1993", "Jeep KJ 2007": the last name before the year is enough */
const NAMED_YEAR = /\b([A-Z][A-Za-zé]+)(?: et al\.)?[,(:]? ?\(?((?:19|20)\d\d)\b(?!-\d)/g;
const NO_NAME = new Set(['January', 'February', 'March', 'April', 'May', 'June', 'July', 'August', 'September', 'October', 'November', 'December', 'Nov', 'Format', 'Noise', 'Outliers', 'Made', 'ASQ']);

interface Citation {
  readonly words: readonly string[];
  readonly path: string;
}

function files(folder: string): string[] {
  return readdirSync(join(ROOT, folder), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && /\.(ts|tsx)$/.test(entry.name) && !entry.name.startsWith('sources.test'))
    .map((entry) => join(entry.parentPath, entry.name));
}

/** What comments and `source:` fields name. */
export function citationsOf(text: string, path: string): Citation[] {
  const said = [
    ...[...text.matchAll(/\/\*[\s\S]*?\*\/|(?:^|\s)\/\/.*$/gm)].map(([comment]) => comment.replaceAll(/\n\s*\*? ?/g, ' ')),
    ...[...text.matchAll(/source: '[^']*'/g)].map(([field]) => field),
  ].join('\n');
  return [
    ...[...said.matchAll(STANDARD)].map(([standard]) => ({ words: [standard.replace(/-$/, '')], path })),
    ...[...said.matchAll(NAMED_YEAR)].filter(([, name]) => !NO_NAME.has(name!)).map(([, name, year]) => ({ words: [name!, year!], path })),
  ];
}

const ROWS = SOURCES.split('\n').filter((row) => row.startsWith('|'));

describe('the list of sources', () => {
  const found = ['src', 'web', 'tests'].flatMap((folder) => files(folder).flatMap((path) => citationsOf(readFileSync(path, 'utf8'), relative(ROOT, path))));

  it('has a row for every standard, paper, manual and data sheet that code or a test names', () => {
    const missing = found.filter(({ words }) => !ROWS.some((row) => words.every((word) => row.includes(word)))).map(({ words, path }) => `${words.join(' ')} (${path})`);
    expect([...new Set(missing)]).toEqual([]);
    expect(found.length).toBeGreaterThan(80);
  });

  it('sees a citation without a row', () => {
    expect(citationsOf('/** as Nobody 1999 and ISO 99999 say */', 'x').map(({ words }) => words.join(' '))).toEqual(['ISO 99999', 'Nobody 1999']);
    expect(citationsOf("const x = { source: 'Carmaker 2001' };\nconst year = 1999; // nothing", 'x')).toEqual([{ words: ['Carmaker', '2001'], path: 'x' }]);
  });

  it('says of every source what was taken from it and how it was read', () => {
    for (const row of ROWS.slice(2)) {
      const [, source, taken, read] = row.split('|').map((cell) => cell.trim());
      expect(source!.length * taken!.length * read!.length, row).toBeGreaterThan(0);
    }
  });

  it('is the only place that citations lead to', () => {
    const elsewhere = ['src', 'web', 'tests'].flatMap((folder) => files(folder)).filter((path) => /outside.numbers/.test(readFileSync(path, 'utf8')));
    expect(elsewhere.map((path) => relative(ROOT, path))).toEqual([]);
  });
});
