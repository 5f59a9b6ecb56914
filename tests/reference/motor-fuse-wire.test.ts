import { describe, expect, it } from 'vitest';
import { ripplesPerRevolution, standingOhm, switchOnPeak } from '../../src/core/reference/motor.ts';
import { openingBand } from '../../src/core/reference/fuse-opening.ts';
import { wireOhm } from '../../src/core/reference/wire.ts';

describe('a motor by its datasheet', () => {
  // maxon RE 65, order no. 353297, 48 V: R 0.365 ohm, L 0.161 mH, k 0.123 N m/A, J 1340 g cm² (datasheet values, public transcription)
  it('agrees with the RE 65: stall 131.5 A, mechanical time constant 3.233 ms, switch-on peak 105.77 A after 1.071 ms', () => {
    expect(standingOhm(48, 131.5)).toBeCloseTo(0.365, 4);
    const mechanicalS = (0.365 * 1.34e-4) / 0.123 ** 2;
    expect(mechanicalS * 1000).toBeCloseTo(3.233, 3);
    const peak = switchOnPeak({ standstillA: 48 / 0.365, runA: 0, electricalS: 0.161e-3 / 0.365, mechanicalS });
    expect(peak?.peakA).toBeCloseTo(105.77, 1);
    expect((peak?.atS ?? 0) * 1000).toBeCloseTo(1.071, 2);
  });

  // ripples a turn: LCM(brushes, segments), driver for the TI DRV821x
  it.each([[3, 6, 12], [5, 10, 20], [7, 14, 28], [8, 8, 8], [10, 10, 20], [12, 12, 12], [14, 14, 28], [26, 26, 52]])('with %i segments ripples %i times a revolution on two brushes and %i on four', (segments, two, four) => {
    expect(ripplesPerRevolution(2, segments)).toBe(two);
    expect(ripplesPerRevolution(4, segments)).toBe(four);
  });
});

describe('a blade fuse', () => {
  // ATOF 287, public transcription: 160 % 0.25 to 50 s, 200 % 0.15 to 5 s; 110 % 100 h at least (ISO 8820-3, from memory)
  it.each([[16, 0.25, 50], [20, 0.15, 5]])('of 10 A opens at %i A between %s and %s s', (amps, shortestS, longestS) => {
    const band = openingBand(amps, 10);
    expect(band?.shortestS).toBeCloseTo(shortestS, 9);
    expect(band?.longestS).toBeCloseTo(longestS, 9);
  });
  it('need not open at 110 %, and is not judged outside 3 to 80 A', () => {
    expect(openingBand(11, 10)?.longestS).toBe(Infinity);
    expect(openingBand(5, 2)).toBeNull();
    expect(openingBand(150, 100)).toBeNull();
  });
  it('never takes longer at a larger current', () => {
    let last = openingBand(11.5, 10);
    for (let amps = 12; amps < 80; amps += 0.5) {
      const band = openingBand(amps, 10);
      expect(band?.shortestS).toBeLessThanOrEqual(last?.shortestS as number);
      expect(band?.longestS).toBeLessThanOrEqual(last?.longestS as number);
      last = band;
    }
  });
});

describe('wire of IEC 60228 class 5', () => {
  // IEC 60228:2004, table 3, plain wires
  const SIZES = [[0.5, 39], [0.75, 26], [1, 19.5], [1.5, 13.3], [2.5, 7.98], [4, 4.95], [6, 3.3], [10, 1.91], [16, 1.21], [25, 0.78], [35, 0.554], [50, 0.386]] as const;
  it.each(SIZES)('of %s mm² has %s ohm/km', (areaMm2, ohmPerKm) => {
    expect(wireOhm(areaMm2, 1000, 20)).toBeCloseTo(ohmPerKm, 9);
  });
});
