import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const MOTOR = fileURLToPath(new URL('../../../src/core/analysis/motor', import.meta.url));

/** Named constants of the motor reading, the entries of settings.ts counted singly: each is a place where a number decides something. */
export function countConstants(): number {
  let count = 0;
  for (const file of readdirSync(MOTOR, { recursive: true, encoding: 'utf8' })) {
    if (!file.endsWith('.ts')) continue;
    const text = readFileSync(join(MOTOR, file), 'utf8');
    count += file.endsWith('settings.ts') ? (text.match(/^ {2}[a-zA-Z0-9]+: /gm)?.length ?? 0) : (text.match(/^(?:export )?const [A-Z][A-Z0-9_]+(?:: [^=]+)? =/gm)?.length ?? 0);
  }
  return count;
}
