import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { numbersIn } from '../drain/constants.ts';

const MOTOR = fileURLToPath(new URL('../../../src/core/analysis/motor', import.meta.url));

/** Named constants of the motor reading, the entries of settings.ts counted singly: each is a place where a number decides something. One in small letters counts where a number is written in it. */
export function countConstants(): number {
  let count = 0;
  for (const [file, text] of sources()) {
    count += file.endsWith('settings.ts') ? (text.match(/^ {2}[a-zA-Z0-9]+: /gm)?.length ?? 0) : (text.match(/^(?:export )?const [A-Z][A-Z0-9_]+(?:: [^=]+)? =/gm)?.length ?? 0);
    count += (text.match(/^(?:export )?const [a-z]\w*(?:: [^=]+)? = (?!.*=>).*/gm) ?? []).filter((line) => numbersIn(line).length > 0).length;
  }
  return count;
}

/** Every number in the code of the motor reading that is no arithmetic, with a name or without: the rule of the key-off reading. */
export function countNumbers(): number {
  let count = 0;
  for (const [, text] of sources()) count += numbersIn(text).length;
  return count;
}

function sources(): [file: string, text: string][] {
  const files = readdirSync(MOTOR, { recursive: true, encoding: 'utf8' }).filter((file) => file.endsWith('.ts'));
  return files.map((file) => [file, readFileSync(join(MOTOR, file), 'utf8')]);
}
