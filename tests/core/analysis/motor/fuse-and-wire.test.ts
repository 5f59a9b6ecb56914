import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../../../analyse.ts';
import type { ActuationOptions } from '../../../../src/core/analysis/options.ts';
import type { ActuationResult } from '../../../../src/core/analysis/results.ts';
import { awgAreaMm2, wireOhm } from '../../../../src/core/reference/wire.ts';
import { draw, noise, press } from './traces.ts';

/** 12.6 V behind this resistance, a motor of 18 A at switch-on and `runA` running, stalled at `stallA` from 3 to 5 s where given. */
function fed(sourceOhm: number, runA: number, stallA: number | null, options: ActuationOptions): ActuationResult {
  const amps = (atS: number): number => (stallA !== null && atS >= 3 && atS < 5 ? stallA : press(atS, 1, stallA === null ? 5 : 3, 18, runA));
  const wobble = noise(0.02);
  const wobbleV = noise(0.01, 3);
  return analyseActuation(draw(1000, 6, (atS) => amps(atS) + wobble(), (atS) => (amps(atS) > 0 ? 12.6 - sourceOhm * amps(atS) : 0) + wobbleV()), options);
}

describe('the share of the sag that a wire explains', () => {
  // IEC 60228 class 5: 1.5 mm² has 13.3 ohm/km, so 6 m lose 0.798 V at 10 A
  it('is that of 6 m of 1.5 mm² in a feed of twice its resistance: half, and 0.399 V at 5 A', () => {
    const wire = { areaMm2: 1.5, lengthM: 6, temperatureC: 20 };
    const share = fed(2 * 0.0798, 5, null, { wire }).actuations[0]?.wire;
    expect(share?.wire_ohm).toBeCloseTo(0.0798, 6);
    expect(share?.drop_v).toBeCloseTo(0.399, 2);
    expect(Math.abs((share?.share as number) - 0.5)).toBeLessThan(0.02);
    expect(share?.low_share).toBeLessThanOrEqual(share?.share as number);
    expect(share?.high_share as number).toBeGreaterThanOrEqual(share?.share as number);
  });

  // published table of solid wire (cirris.com, wp.1728.org): AWG 16 13.17 ohm/km; IEC 60228 factor at 40 °C: 1/0.926
  it('knows gauges and warm wire: 10 m of AWG 16 at 40 °C have 0.1422 ohm', () => {
    expect(wireOhm(awgAreaMm2(16), 10, 40)).toBeCloseTo(0.1317 / 0.926, 3);
    const result = fed(0.3, 5, null, { wire: { areaMm2: awgAreaMm2(16), lengthM: 10, temperatureC: 40 } });
    expect(Math.abs((result.actuations[0]?.wire?.share as number) - 0.1422 / 0.3)).toBeLessThan(0.03);
    expect(result.verdict.because.join(' ')).toMatch(/10 m of 1\.31 mm² at 40 °C accounts for 140 of the feed's 300 milliohm \(47 %/);
    expect(result.verdict.because.join(' ')).toMatch(/lost in contacts, the rest of the loop and the battery/);
  });

  it('says so when the wire alone would have more than was measured', () => {
    const result = fed(0.04, 5, null, { wire: { areaMm2: 0.75, lengthM: 6, temperatureC: 20 } });
    expect(result.verdict.because.join(' ')).toMatch(/more resistance than was measured.*not as entered/);
  });

  it('is not reported without volts', () => {
    const wobble = noise(0.02);
    const result = analyseActuation(draw(1000, 6, (atS) => press(atS, 1, 5, 18, 5) + wobble()), { wire: { areaMm2: 1.5, lengthM: 6, temperatureC: 20 } });
    expect(result.actuations[0]?.wire).toBeUndefined();
  });
});

describe('what a press asks of the fuse', () => {
  // ATOF 287 (public transcriptions): 160 % 0.25 to 50 s, 200 % 0.15 to 5 s; 110 % for 100 h (ISO 8820-3, from memory)
  it.each([[16, 0.25, 50], [20, 0.15, 5]])('of 10 A in a stall of %i A is a band, %d to %d s, and no promise', (stallA, holdsS, opensS) => {
    const result = fed(0.1, 4, stallA, { fuseRatingA: 10 });
    const fuse = result.actuations[0]?.fuse;
    expect(fuse?.share).toBeCloseTo(stallA / 10, 2);
    expect(Math.abs((fuse?.holds_s as number) / holdsS - 1)).toBeLessThan(0.05);
    expect(Math.abs((fuse?.opens_s as number) / opensS - 1)).toBeLessThan(0.1);
    expect(fuse?.lasted_s).toBeCloseTo(2, 1);
    expect(result.verdict.because.join(' ')).toMatch(/somewhere between .* and .*a fuse that held proves nothing/);
  });

  it('counts I²t over inrush, run and stall: 2 s at 20 A alone are 800 A²s', () => {
    const fuse = fed(0.1, 4, 20, { fuseRatingA: 10 }).actuations[0]?.fuse;
    // 4 A for two seconds 32 A²s; a decaying exponential 0.5 ip² t1 (fuse maker's chart): 14² x 0.04/2 + 2 x 4 x 14 x 0.04 = 8.4 more
    expect(Math.abs((fuse?.i2t_a2s as number) - 840)).toBeLessThan(15);
  });

  it('says that it holds where the standard asks for 100 hours', () => {
    const result = fed(0.1, 4, null, { fuseRatingA: 10 });
    expect(result.actuations[0]?.fuse?.opens_s).toBeNull();
    expect(result.verdict.because.join(' ')).toMatch(/40 % of the 10 A fuse: it holds that/);
  });

  it('joins both kinds at 35 and 40 A, where the fuse may be of either, and takes the large kind above', () => {
    // 35/40 A ATO 135 % 0.75 to 600 s, 200 % 0.15 to 5 s; MAXI 135 % 60 to 1800 s, 200 % 2 to 50 s (public transcription of both datasheets)
    const both = fed(0.05, 4, 80, { fuseRatingA: 40 }).actuations[0]?.fuse;
    expect(Math.abs((both?.holds_s as number) / 0.15 - 1)).toBeLessThan(0.05);
    expect(Math.abs((both?.opens_s as number) / 50 - 1)).toBeLessThan(0.1);
    const large = fed(0.03, 4, 120, { fuseRatingA: 60 }).actuations[0]?.fuse;
    expect(Math.abs((large?.holds_s as number) / 2 - 1)).toBeLessThan(0.05);
    expect(Math.abs((large?.opens_s as number) / 50 - 1)).toBeLessThan(0.1);
  });
});
