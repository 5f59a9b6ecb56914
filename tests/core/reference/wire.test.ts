import { describe, expect, it } from 'vitest';
import { awgAreaMm2, wireOhm } from '../../../src/core/reference/wire.ts';

describe('copper wire', () => {
  // published table of solid wire at 20 C: cirris.com wire resistance calculator, wp.1728.org
  it.each([[4, 0.82], [10, 3.28], [12, 5.21], [14, 8.28], [16, 13.17], [18, 20.94], [20, 33.29], [22, 52.94], [24, 84.2]])(
    'gauge %i has the published %s ohm/km',
    (gauge, ohmPerKm) => {
      const calculated = wireOhm(awgAreaMm2(gauge), 1000, 20);
      expect(Math.abs(calculated - ohmPerKm)).toBeLessThan(0.0006 * ohmPerKm + 0.005);
    },
  );

  it('follows the definition of ASTM B258: No. 36 is 0.0050 in, 4/0 is 0.4600 in', () => {
    const diameterIn = (gauge: number): number => Math.sqrt((4 * awgAreaMm2(gauge)) / Math.PI) / 25.4;
    expect(diameterIn(36)).toBeCloseTo(0.005, 10);
    expect(diameterIn(-3)).toBeCloseTo(0.46, 10);
  });

  // IEC 60228 temperature factors (uecables.com): R20 = R x K
  it.each([[5, 1.064], [25, 0.98], [40, 0.926], [70, 0.833], [100, 0.758]])('at %i C has the factor %s of IEC 60228', (temperatureC, factor) => {
    expect(wireOhm(1.5, 1, 20) / wireOhm(1.5, 1, temperatureC)).toBeCloseTo(factor, 3);
  });

  it('loses 0.798 V in 6 m of 1.5 mm2 class 5 at 10 A (13.3 mohm/m, IEC 60228)', () => {
    expect(wireOhm(1.5, 6, 20) * 10).toBeCloseTo(0.798, 6);
  });
});
