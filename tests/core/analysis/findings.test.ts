import { describe, expect, it } from 'vitest';
import { FINDINGS, isDecidedByLimit, isFindingOf, isJudgedByLimit, severityOf, type Finding } from '../../../src/core/analysis/findings.ts';

const all = Object.keys(FINDINGS) as Finding[];

describe('findings', () => {
  it('hang on a limit where the side of it tells them from their neighbours, and suspect counts it among other things', () => {
    expect(all.filter(isDecidedByLimit).sort()).toEqual(['asleep', 'drain', 'heavy', 'light', 'normal']);
    expect(all.filter(isJudgedByLimit).sort()).toEqual(['asleep', 'drain', 'heavy', 'light', 'normal', 'suspect']);
  });

  it('are of a press, of a motor test or of a night', () => {
    expect(all.filter((finding) => isFindingOf(finding, 'drain')).sort()).toEqual(['asleep', 'awake', 'drain', 'too-short', 'unclear', 'waking']);
    expect(all.filter((finding) => isFindingOf(finding, 'actuation') && !isFindingOf(finding, 'press')).sort()).toEqual(['dead', 'starved', 'unpowered']);
  });

  it('that are good are the least severe, and what cannot tell has no severity', () => {
    for (const finding of all) expect(severityOf(finding) === 0, finding).toBe(FINDINGS[finding].tone === 'good');
    expect([severityOf('unclear'), severityOf('too-short'), severityOf('locked')]).toEqual([null, null, 4]);
  });
});
