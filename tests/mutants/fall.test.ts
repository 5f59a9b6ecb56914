import { existsSync, readFileSync } from 'node:fs';
import { globSync } from 'tinyglobby';
import { describe, expect, it } from 'vitest';
import { fallOf, type Kept, type Part } from './fall.ts';
import { FOLDERS, folderNamed, hasTestsIn } from './folders.ts';

const kept: Kept = { noticed: 90, tried: 100, sample: 100, seed: 2 };
const part = (slips: number, tried: number, noticed: number): Part => ({ slips, tried, noticed });
const none = part(0, 0, 0);

describe('a change against the share of slips noticed before', () => {
  it('may lose two points of its folder and no more', () => {
    // 90 % before: of 1,000 slips 100 are touched; 900 x 0.9 = 810, so 70 of the 100 make 88 %, 69 make 87.9 %
    expect(fallOf('core/x', kept, part(100, 100, 70), part(900, 0, 0))).toBeNull();
    expect(fallOf('core/x', kept, part(100, 100, 69), part(900, 0, 0))).toBe('core/x falls from 90 % to 88 %');
    expect(fallOf('core/x', kept, part(100, 100, 100), part(900, 0, 0))).toBeNull();
  });

  it('weighs a sample by all it was drawn from', () => {
    // tests changed, sources not: 88 of the same 100 are 88 %, 87 are three points less
    expect(fallOf('core/x', kept, none, part(1000, 100, 88))).toBeNull();
    expect(fallOf('core/x', kept, none, part(1000, 100, 87))).toBe('core/x falls from 90 % to 87 %');
    // 500 touched, all noticed, make up for a sample of the other 500 in which 76 of 100 were: (500 + 380) / 1000
    expect(fallOf('core/x', kept, part(500, 500, 500), part(500, 100, 76))).toBeNull();
    expect(fallOf('core/x', kept, part(500, 500, 500), part(500, 100, 75))).not.toBeNull();
  });

  it('is not judged where it touches nothing, and refused where nothing is known', () => {
    expect(fallOf('core/x', kept, none, part(1000, 0, 0))).toBeNull();
    expect(fallOf('core/x', undefined, none, part(1000, 0, 0))).toBeNull();
    expect(fallOf('core/x', undefined, part(3, 3, 3), none)).toContain('nothing to be compared with');
    expect(fallOf('core/x', { ...kept, noticed: 0, tried: 0 }, part(3, 3, 3), none)).toContain('nothing to be compared with');
  });
});

describe('the tests of a folder', () => {
  const folder = FOLDERS.find(({ name }) => name === 'core/decode')!;

  it('are changed by a file of theirs, or one beside them, that is changed or gone', () => {
    expect(hasTestsIn(folder, new Set(['tests/core/decode/gone.test.ts']))).toBe(true);
    expect(hasTestsIn(folder, new Set(['tests/core/decode/kit.ts']))).toBe(true);
    expect(hasTestsIn(folder, new Set(['tests/core/wire/wire.test.ts', 'src/core/decode/base64.ts', 'README.md']))).toBe(false);
  });

  it.each(FOLDERS.map((one) => [one.name, one] as const))('of %s are seen to be changed, each of them', (_, one) => {
    const files = globSync([...one.tests]);
    expect(files.length).toBeGreaterThan(0);
    expect(files.filter((file) => !hasTestsIn(one, new Set([file])))).toEqual([]);
  });
});

describe('a part of a folder', () => {
  it('is tried on the tests of the nearest folder around it, by folder or by file', () => {
    const motor = FOLDERS.find(({ name }) => name === 'core/analysis/motor')!;
    expect(folderNamed('core/analysis/motor')).toBe(motor);
    expect(folderNamed('core/analysis/motor/signal')).toEqual({ ...motor, name: 'core/analysis/motor/signal', source: ['src/core/analysis/motor/signal/**/*.ts'] });
    expect(folderNamed('core/analysis/motor/section.ts')?.source).toEqual(['src/core/analysis/motor/section.ts']);
    expect([folderNamed('core/analysis/motorway'), folderNamed('core/nowhere')].map((folder) => folder?.tests ?? null)).toEqual([['tests/core/analysis/*.test.ts'], null]);
  });
});

describe('the slips that nobody could see', () => {
  it('are of lines that are there, each with its reason', () => {
    const listed = JSON.parse(readFileSync(new URL('same-either-way.json', import.meta.url), 'utf8')) as { slip: string; reason: string }[];
    const isThere = (slip: string): boolean => {
      const file = slip.slice(0, slip.indexOf(' | '));
      return existsSync(file) && readFileSync(file, 'utf8').split('\n').some((line) => slip.startsWith(`${file} | ${line.trim()} | `));
    };
    expect(listed.filter(({ slip, reason }) => !isThere(slip) || reason === '')).toEqual([]);
  });
});
