import { describe, expect, it } from 'vitest';
import { aliasVerdict, couldBeAlias } from '../../../../../src/core/analysis/motor/ripple/alias-test.ts';
import { pressOf, readBy, sampledAt } from './columns.ts';

const RATE_HZ = 1000;
const HIGHEST_A = 14;
const USUAL_A = 4;

/**
 * Four seconds of a motor at 4 A whose load waves by an ampere and a half each second, sampled a thousand times a second. Its speed follows v = R i + k w:
 * all of it at 4 A, nothing at 14 A. `lineHz` is its ripple at 4 A.
 */
function verdict(lineHz: number, seenHz: number, { waveA = 1.5, rateHz = RATE_HZ } = {}) {
  let turned = 0;
  const values = Float32Array.from({ length: 4 * rateHz }, (_value, i) => {
    const loadA = USUAL_A + waveA * Math.sin((2 * Math.PI * i) / rateHz);
    turned += (lineHz * (1 - (loadA - USUAL_A) / (HIGHEST_A - USUAL_A))) / rateHz;
    return loadA + 0.2 * Math.sin(2 * Math.PI * turned);
  });
  const line = { press: pressOf(0, values.length), usualA: USUAL_A, usualHz: seenHz };
  return aliasVerdict([line], HIGHEST_A, { baseline: readBy(values), sampling: sampledAt(rateHz, values.length) });
}

describe('whether a line is a faster one folded down', () => {
  it('is genuine where its phase runs as its own frequency must while the speed changes', () => {
    expect(verdict(300, 300)).toBe('genuine');
  });

  // sampling at 1000 Hz shows 700 Hz at 1000 - 700 and 1300 Hz at 1300 - 1000
  it.each([700, 1300])('is an alias where it runs as %d Hz must, though both are seen at 300 Hz', (lineHz) => {
    expect(verdict(lineHz, 300)).toBe('alias');
  });

  it('is open where the speed never changes: there all of them run alike', () => {
    expect(verdict(300, 300, { waveA: 0 })).toBe('open');
    expect(verdict(700, 300, { waveA: 0 })).toBe('open');
  });

  // the fastest ripple is 4000 Hz: at 5000 Hz it is folded to 1000 Hz and no lower
  it('is not asked where even the fastest ripple would be folded to another place', () => {
    expect(couldBeAlias(5000, 1001)).toBe(true);
    expect(couldBeAlias(5000, 999)).toBe(false);
    expect(verdict(300, 300, { waveA: 0, rateHz: 5000 })).toBe('genuine');
  });
});
