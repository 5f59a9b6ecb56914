import { describe, expect, it } from 'vitest';
import { viewPress, type PressView } from '../../../../../src/core/analysis/motor/motion/press-view.ts';
import { staysWarm } from '../../../../../src/core/analysis/motor/wire/stays-warm.ts';
import { analyseActuation } from '../../../../analyse.ts';
import { pressOf, readBy, sampledAt } from '../ripple/columns.ts';
import { draw, noise } from '../traces.ts';

const RATE_HZ = 1000;

/** Presses of a second with pauses between, each as a straight line from its first level to its last, A. */
function warm(lines: readonly (readonly [fromA: number, toA: number])[], { pauseS = 1, noiseA = 0, sign = 1 as 1 | -1, signs = [sign] as readonly (1 | -1)[] } = {}): { views: PressView[]; stays: boolean } {
  const every = RATE_HZ * (1 + pauseS);
  const count = every * lines.length;
  const jitter = noise(noiseA, 3);
  const signOf = (p: number): 1 | -1 => signs[p % signs.length] ?? 1;
  const readings = Float32Array.from({ length: count }, (_value, i) => {
    const p = Math.floor(i / every);
    const [fromA, toA] = lines[p] ?? [0, 0];
    const share = (i - p * every) / RATE_HZ;
    return (share < 1 ? signOf(p) * (fromA + (toA - fromA) * share) : 0) + jitter();
  });
  const baseline = { ...readBy(readings), noiseA };
  const sampling = sampledAt(RATE_HZ, count);
  const views = lines.map((_line, p) => viewPress(pressOf(p * every, p * every + RATE_HZ, signOf(p)), baseline, sampling));
  return { views, stays: staysWarm(views, sampling) };
}

describe('a level that falls by a hundredth a second', () => {
  it.each([1, -1] as const)('stays warm where the next press goes on from where it was, either way (%i)', (sign) => {
    expect(warm([[10, 9.9], [9.9, 9.8]], { sign }).stays).toBe(true);
    expect(warm([[10, 9.9], [9.9, 9.8], [9.8, 9.7]], { sign }).stays).toBe(true);
  });

  // a heater falls towards a tenth at the most: at a hundredth a second its time constant is ten seconds, and a pause of one gives back 1 - exp(-0.1) of what it had lost, 9.5 %.
  // Of the second's 0.1 A 0.092 A are seen between the readings that edges spoil, and the rest lies in the pause
  it('cools as a heater where it has regained what such a one would', () => {
    expect(warm([[10, 9.9], [9.9, 9.8]]).stays).toBe(true);
    expect(warm([[10, 9.9], [9.914, 9.814]]).stays).toBe(true);
    expect(warm([[10, 9.9], [9.92, 9.82]]).stays).toBe(false);
    // half a second's pause gives back half as much
    expect(warm([[10, 9.9], [9.914, 9.814]], { pauseS: 0.5 }).stays).toBe(false);
    expect(warm([[10, 9.9], [10, 9.9], [10, 9.9]]).stays).toBe(false);
  });

  it('leaves open what noise hides', () => {
    expect(warm([[10, 9.9], [9.9, 9.8]], { noiseA: 0.01 }).stays).toBe(true);
    expect(warm([[10, 9.9], [9.9, 9.8]], { noiseA: 0.2 }).stays).toBe(false);
  });

  it('shows in whole presses of one way only', () => {
    const { views } = warm([[10, 9.9], [9.9, 9.8]]);
    const [first, second] = views;
    const sampling = sampledAt(RATE_HZ, 4 * RATE_HZ);
    const withPress = (changed: Partial<PressView['press']>): PressView[] => [first, { ...second, press: { ...second.press, ...changed } }];
    expect(staysWarm(withPress({}), sampling)).toBe(true);
    for (const changed of [{ startsMidway: true }, { endsMidway: true }, { dropouts: [{ startIndex: 2100, endIndex: 2110 }] }, { sign: -1 as const }]) expect(staysWarm(withPress(changed), sampling)).toBe(false);
    expect(staysWarm([first], sampling)).toBe(false);
  });
});

it('shows nothing where the level does not fall', () => {
  expect(warm([[10, 10], [10, 10]]).stays).toBe(false);
  expect(warm([[10, 10.1], [10.1, 10.2]]).stays).toBe(false);
});

describe('three presses that stay at one level from their first reading on', () => {
  const find = (levelA: (inAllS: number, inPressS: number) => number): string => {
    const jitter = noise(0.01, 5);
    return analyseActuation(draw(RATE_HZ, 6, (atS) => {
      const inPressS = (atS - 0.5) % 2;
      return (atS > 0.5 && inPressS < 1 ? levelA(Math.floor((atS - 0.5) / 2) + inPressS, inPressS) : 0) + jitter();
    }), {}).verdict.finding;
  };

  // copper: 0.39 % per kelvin (IEC 60228), 3 K a second at 25 A/mm²
  it('are a locked motor\'s where they fall as a winding that keeps its warmth, and may be a heater\'s where each begins anew', () => {
    expect(find((inAllS) => 10 * (1 - 0.012 * inAllS))).toBe('locked');
    expect(find((_inAllS, inPressS) => 10 * (1 - 0.012 * inPressS))).toBe('unclear');
    expect(find(() => 10)).toBe('unclear');
  });
});
