import { describe, expect, it } from 'vitest';
import { readRipples } from '../../../../../src/core/analysis/motor/ripple/ripple.ts';
import { noise } from '../traces.ts';
import { pressOf, readBy, sampledAt } from './columns.ts';

const RATE_HZ = 5000;
const PRESS = 5000;

/** Presses of a second at 4 A, a second apart, each with its lines: Hz and amplitude, A. */
function read(...presses: readonly (readonly (readonly [hz: number, amplitudeA: number])[])[]) {
  const hiss = noise(0.02, 11);
  const values = Float32Array.from({ length: 2 * PRESS * presses.length }, (_value, i) => {
    const lines = presses[Math.floor(i / (2 * PRESS))]!;
    return (i % (2 * PRESS) < PRESS ? 4 + lines.reduce((sum, [hz, amplitudeA]) => sum + amplitudeA * Math.sin((2 * Math.PI * hz * i) / RATE_HZ), 0) : 0) + hiss();
  });
  const held = presses.map((_lines, p) => pressOf(2 * PRESS * p, 2 * PRESS * p + PRESS));
  const readings = readRipples(held, held.map(({ startIndex, endIndex }) => [{ startIndex, endIndex }]), { baseline: readBy(values), sampling: sampledAt(RATE_HZ, values.length), perRevolution: undefined, cornerHz: Infinity, highestA: 20 });
  return readings.map(({ ripple, aliasing }) => (ripple === null ? aliasing : Math.round(ripple.frequency_hz / 10) * 10));
}

describe('a ripple at a speed that never changes', () => {
  const only = (rateHz: number, hz: number) => {
    const hiss = noise(0.02, 11);
    const values = Float32Array.from({ length: 2 * rateHz }, (_value, i) => 4 + 0.1 * Math.sin((2 * Math.PI * hz * i) / rateHz) + hiss());
    const [found] = readRipples([pressOf(0, values.length)], [[{ startIndex: 0, endIndex: values.length }]], { baseline: readBy(values), sampling: sampledAt(rateHz, values.length), perRevolution: undefined, cornerHz: Infinity, highestA: 20 });
    return [found!.ripple === null ? null : Math.round(found!.ripple.frequency_hz), found!.aliasing];
  };
  // at 2000 readings a second 127 Hz is hardly ever a faster one (0.991), at 1000 readings 300 Hz may be (0.79); 5000 show all that is usual
  it('is reported where a faster one is unusual, with that left open, and refused where it is not', () => {
    expect([only(5000, 500), only(2000, 127), only(1000, 300)]).toEqual([[500, 'none'], [127, 'open'], [null, 'refused']]);
  });
});

describe('the ripple of several presses of one motor', () => {
  const clear = [[500, 0.1]] as const;
  const other = [[500, 0.03], [820, 0.1]] as const;

  it('is looked for where two others or more have it, and by itself beside one', () => {
    expect(read(clear, clear, other)).toEqual([500, 500, 500]);
    expect(read(clear, other)).toEqual([500, 820]);
    // two that disagree say nothing
    expect(read(clear, [[620, 0.1]], other)).toEqual([500, 620, 820]);
    // nor do two and two, half way between which it has a faint line
    expect(read(clear, clear, [[620, 0.1]], [[620, 0.1]], [[560, 0.03], [820, 0.1]])).toEqual([500, 500, 620, 620, 820]);
  });

  it('stays what it is where nothing is there at the place of the others', () => {
    expect(read(clear, clear, [[820, 0.1]])).toEqual([500, 500, 820]);
    expect(read(clear, clear, [])).toEqual([500, 500, 'none']);
  });

  // 2100 Hz lie above two fifths of 5000
  it('is refused where its line may be a folded one, and everywhere where that is so in most presses', () => {
    const folded = [[2100, 0.1]] as const;
    expect(read(clear, clear, folded)).toEqual([500, 500, 'refused']);
    expect(read(clear, folded, folded)).toEqual(['refused', 'refused', 'refused']);
    expect(read(clear, folded)).toEqual([500, 'refused']);
  });
});
