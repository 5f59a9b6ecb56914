import { expect, it } from 'vitest';
import { fileNameOf } from '../../../src/core/tracefile/file-name.ts';

const START = '2026-11-25T08:00:00.000Z';

it.each([
  ['Step, left', '2026-11-25-Step-left'],
  ['bench.csv', '2026-11-25-bench-csv'],
  ['Trittstufe „vorn“ ../../etc', '2026-11-25-Trittstufe-vorn-etc'],
  ['Tür', '2026-11-25-Tur'],
  // 60 letters, and no mark at their end
  ['x'.repeat(61), `2026-11-25-${'x'.repeat(60)}`],
  [`${'x'.repeat(59)} left`, `2026-11-25-${'x'.repeat(59)}`],
  [' (left) ', '2026-11-25-left'],
  ['..', 'id-1'],
  ['', 'id-1'],
])('a file made of the trace %j is called %s: safe anywhere, and a person knows it again', (title, name) => {
  expect(fileNameOf({ id: 'id-1', title, start: START })).toBe(name);
});

it('is called by its words alone where nobody knows when it began', () => {
  expect(fileNameOf({ id: 'id-1', title: 'Step', start: '' })).toBe('Step');
});
