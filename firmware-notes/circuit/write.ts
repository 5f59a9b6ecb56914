/**
 * Writes the drawings and the build guide: `npx tsx firmware-notes/circuit/write.ts`. The guide's text is build-guide.template.md; in it
 * {{table NAME}} and {{NAME}} stand for what tables.ts reckons from values.ts.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { DRAWINGS } from './drawings.ts';
import { render } from './render.ts';

const here = new URL('.', import.meta.url);
const notes = new URL('../', here);

for (const [name, draw] of Object.entries(DRAWINGS)) {
  const { sheet, description } = draw();
  writeFileSync(new URL(name, notes), sheet.svg(description));
}
writeFileSync(new URL('build-guide.md', notes), render(readFileSync(new URL('build-guide.template.md', here), 'utf8')));
