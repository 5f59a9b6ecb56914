import { expect, it } from 'vitest';
import { fileNameOf } from '../../../src/core/tracefile/file-name.ts';

const START = '2026-11-25T08:00:00.000Z';

it.each([
  ['Step, left', '2026-11-25-Step-left'],
  ['bench.csv', '2026-11-25-bench-csv'],
  ['Trittstufe „vorn“ ../../etc', '2026-11-25-Trittstufe-vorn-etc'],
  ['Tür', '2026-11-25-Tur'],
  ['..', 'id-1'],
  ['', 'id-1'],
])('a file made of the trace %j is called %s: safe anywhere, and a person knows it again', (title, name) => {
  expect(fileNameOf({ id: 'id-1', title, start: START })).toBe(name);
});
