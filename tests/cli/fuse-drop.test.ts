import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { cli, scratchFolder } from './run.ts';

const folder = scratchFolder();
const file = (name: string, text: string): string => {
  const path = join(folder, name);
  writeFileSync(path, text);
  return path;
};

describe('a fuse survey on the command line', () => {
  const survey = file('fuses.csv', 'label,type,rating_a,mv,ohm\nF12,ATO,10,0.3,\nF3,mini,15,1.0,\nF7,micro2,10,0.5,\nF8,micro2,10,0.5,0.006\n');

  it('answers with the fields of the contract, highest current first', async () => {
    const { code, out, err } = await cli(['fuse-drop', survey, '--battery-a', '0.5', '--json']);
    expect({ code, err }).toEqual({ code: 0, err: '' });
    const answer = JSON.parse(out) as { fuses: Record<string, unknown>[]; sum_a: number; left_over_a: number; problems: { code: string; text: string }[] };
    expect(answer.fuses.map(({ label }) => label)).toEqual(['F3', 'F8', 'F12', 'F7']);
    expect(answer.fuses[0]).toMatchObject({ label: 'F3', type: 'mini', rating_a: 15, mv: 1, current_a: expect.closeTo(0.218, 3) });
    expect(answer).toHaveProperty('low_a');
    expect(answer).toHaveProperty('high_a');
    expect(answer.left_over_a).toBeCloseTo(0.5 - answer.sum_a, 9);
    expect(answer.problems.find(({ code: problem }) => problem === 'fuse-unknown')?.text).toContain('F7 (blade, micro, two legs, 10 A)');
  });

  it('prints a table for people', async () => {
    const { out } = await cli(['fuse-drop', survey, '--battery-a', '0.5']);
    expect(out).toMatch(/F3\s+mini\s+15\s+1\.00\s+220 mA/);
    expect(out).toContain('cannot tell');
    expect(out).toMatch(/left over/);
    expect(out).toMatch(/^sum without F7 \d/m);
    expect(out).toContain('The sum leaves out F7');
    const none = await cli(['fuse-drop', file('unknown.csv', 'label,type,rating_a,mv\nF7,micro2,10,0.5\n'), '--battery-a', '0.5']);
    expect(none.out).not.toMatch(/^(sum|left over)/m);
  });

  it('refuses "abc" with line and column, and a call without a file', async () => {
    const bad = await cli(['fuse-drop', file('bad.csv', 'label,type,rating_a,mv\nF12,ATO,10,abc\n'), '--json']);
    expect(bad).toMatchObject({ code: 1, out: '' });
    expect(bad.err).toContain('Line 2, column 4 (mv) says "abc"');
    expect((await cli(['fuse-drop'])).code).toBe(2);
    expect((await cli(['fuse-drop', join(folder, 'none.csv')])).code).toBe(1);
  });

  it('lists the known fuses, each with the source of its resistance', async () => {
    const { out } = await cli(['fuse-drop', '--list']);
    expect(out).toContain('mvwautotechniek.nl');
    expect(out).toContain('needs your own ohm');
  });
});
