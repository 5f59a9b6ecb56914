import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const NIGHT = fileURLToPath(new URL('../../../src/core/analysis/night', import.meta.url));

/** Named constants of the key-off reading: each is a place where a number decides something. */
export function countConstants(): number {
  let count = 0;
  for (const file of readdirSync(NIGHT, { recursive: true, encoding: 'utf8' })) {
    if (file.endsWith('.ts')) count += readFileSync(join(NIGHT, file), 'utf8').match(/^(?:export )?const [A-Z][A-Z0-9_]+ =/gm)?.length ?? 0;
  }
  return count;
}
