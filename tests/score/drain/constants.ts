import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const NIGHT = fileURLToPath(new URL('../../../src/core/analysis/night', import.meta.url));

/** Arithmetic and units: none, one, two, a half, per cent, seconds of a minute and an hour, hours of a day, thousandths. */
const ARITHMETIC = new Set(['0', '1', '2', '0.5', '24', '60', '100', '1000', '3600']);

/** Constants of the key-off reading, with a name or without: every number in its code, comments and texts aside, that is no arithmetic. */
export function countConstants(): number {
  let count = 0;
  for (const file of readdirSync(NIGHT, { recursive: true, encoding: 'utf8' })) {
    if (file.endsWith('.ts')) count += numbersIn(readFileSync(join(NIGHT, file), 'utf8')).length;
  }
  return count;
}

/** The numbers of a source text that decide something, as written. */
export function numbersIn(source: string): string[] {
  const code = source.replace(/\/\*[\s\S]*?\*\/|\/\/.*|'[^'\n]*'/g, '');
  const numbers = code.match(/(?<![\w.])\d[\d_]*(?:\.\d+)?(?:e-?\d+)?(?!\w)/g) ?? [];
  return numbers.filter((number) => !ARITHMETIC.has(number));
}
