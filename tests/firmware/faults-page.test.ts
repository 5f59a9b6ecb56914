import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';

const root = fileURLToPath(new URL('../../', import.meta.url));
const page = readFileSync(join(root, 'firmware-notes/faults.md'), 'utf8');

function textsBelow(folder: string, ending: RegExp): string[] {
  return readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .filter((name) => ending.test(name))
    .map((name) => readFileSync(join(root, folder, name), 'utf8'));
}

/** Everything that puts words on the page: the page itself, the catalogue, what the serial source says, and the logger's notices. */
const speakers = [
  ...textsBelow('web', /\.tsx?$/),
  ...textsBelow('src/core', /\.ts$/),
  ...textsBelow('src/daemon', /\.ts$/),
  ...textsBelow('firmware-notes/reference-logger', /^(notice|command)\.c$/),
].join('\n').replaceAll("\\'", "'");

const rows = page.split('\n').filter((line) => line.startsWith('| ') && !line.startsWith('| fault')).map((line) => line.slice(1, -1).split('|').map((cell) => cell.trim()));
const watched = rows.filter((cells) => cells.length === 5);

describe('the faults page', () => {
  test('quotes only words that the program or the logger really say', () => {
    const quotes = [...page.matchAll(/“([^”]+)”/g)].map((match) => match[1]!).filter((quote) => quote.trim() !== '');
    expect(quotes.length).toBeGreaterThanOrEqual(25);
    const unknown = quotes.filter((quote) => quote.split('…').map((piece) => piece.trim()).filter((piece) => /\w/.test(piece)).some((piece) => !speakers.includes(piece)));
    expect(unknown, 'these words stand on the faults page and nowhere in the program: change firmware-notes/faults.md to what is said now').toEqual([]);
  });

  test('says for every fault what the person sees: words of the page, or that there is nothing', () => {
    expect(watched.length).toBeGreaterThan(20);
    expect(watched.filter(([, , shown]) => !/“[^”]+”|\bnothing\b/.test(shown!)).map(([fault]) => fault)).toEqual([]);
  });

  test('covers every notice that the logger can send', () => {
    const texts = readFileSync(join(root, 'firmware-notes/reference-logger/notice.c'), 'utf8');
    const sent = [...texts.matchAll(/\] = "[a-z-]+,([^"]+)"/g)].map((match) => match[1]!.replaceAll('%', '…').trim());
    expect(sent.length).toBeGreaterThan(12);
    const quoted = page.replaceAll(/\s+/g, ' ');
    // notices lost in a full queue are reported in the same words as samples lost
    expect(sent.filter((text) => text !== '… notices lost' && !quoted.includes(text))).toEqual([]);
  });

  test('names tests that exist, by the words of their titles', () => {
    const missing: string[] = [];
    for (const cells of watched) {
      let file = '';
      for (const reference of cells[4]!.split(';').map((text) => text.trim())) {
        const named = /^`([\w-]+)`: (.+)$/.exec(reference);
        if (named !== null) file = named[1]!;
        const title = named?.[2] ?? reference;
        if (!readFileSync(join(root, `tests/firmware/${file}.test.ts`), 'utf8').includes(title)) missing.push(`${file}: ${title}`);
      }
    }
    expect(missing).toEqual([]);
  });
});
