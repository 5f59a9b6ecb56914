import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';

const MOTOR = fileURLToPath(new URL('../../../../src/core/analysis/motor', import.meta.url));

/** "room > room" for every import from one room of the motor test into another; files beside the rooms count for none. */
function importsBetweenRooms(): Set<string> {
  const seen = new Set<string>();
  const roomOf = (path: string): string => dirname(relative(MOTOR, path));
  for (const file of readdirSync(MOTOR, { recursive: true, encoding: 'utf8' })) {
    if (!file.endsWith('.ts')) continue;
    const path = join(MOTOR, file);
    for (const [, target] of readFileSync(path, 'utf8').matchAll(/from '(\.[^']*)'/g)) {
      const [from, to] = [roomOf(path), roomOf(join(dirname(path), target!))];
      if (from !== to && from !== '.' && to !== '.' && !to.startsWith('..')) seen.add(`${from} > ${to}`);
    }
  }
  return seen;
}

it('no two rooms of the motor test import each other', () => {
  const seen = importsBetweenRooms();
  expect(seen.size).toBeGreaterThan(10);
  expect([...seen].filter((pair) => seen.has(pair.split(' > ').toReversed().join(' > ')))).toEqual([]);
});
