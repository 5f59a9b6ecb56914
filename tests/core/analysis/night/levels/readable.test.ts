import { describe, expect, it } from 'vitest';
import { readableLevels } from '../../../../../src/core/analysis/night/levels/readable.ts';
import { VoltageTrack } from '../../../../../src/core/analysis/night/levels/voltage-track.ts';
import { drawn, type Drawn } from '../drawn.ts';

const rows = (levels: readonly Drawn[], pulseA = 0): string[] => readableLevels(drawn(levels), pulseA, () => 0).map(({ start_s: startS, end_s: endS, mean_a: meanA }) => `${startS}-${endS} ${Number(meanA.toFixed(6))}`);
/** So many levels of ten seconds, of which neighbours are not alike. */
const apart = (count: number): Drawn[] => Array.from({ length: count }, (_, i): Drawn => [1 + (i % 2), 10]);

describe('the levels that a reader gets', () => {
  it('are all of them up to two dozen, without those of no length', () => {
    expect(rows([[1, 10], [1.001, 10], [2, 0], [3, 5]])).toEqual(['0-10 1', '10-20 1.001', '20-25 3']);
    expect([rows([...apart(22), [50, 10], [50.001, 10]]).length, rows([...apart(22), [50, 10], [50.001, 10], [70, 10]]).length]).toEqual([24, 24]);
  });

  it('are joined where more are alike: within 2 mA, a tenth of themselves, or half a pulse', () => {
    const last = (firstA: number, secondA: number, pulseA = 0) => rows([...apart(24), [firstA, 10], [secondA, 30]], pulseA).slice(24);
    expect([last(0.01, 0.0119), last(0.01, 0.0121), last(0.1, 0.1099), last(0.1, 0.1101)]).toEqual([['240-280 0.011425'], ['240-250 0.01', '250-280 0.0121'], ['240-280 0.107425'], ['240-250 0.1', '250-280 0.1101']]);
    expect([last(0.1, 0.149, 0.1).length, last(0.1, 0.151, 0.1).length]).toEqual([1, 2]);
  });

  it('have pulses of less than four seconds joined with what lies before them, where it goes on alike after them', () => {
    const pulses = (lengthS: number, afterA = 0.02) => rows([...Array.from({ length: 13 }, (): Drawn[] => [[0.02, 16], [0.5, lengthS]]).flat(), [afterA, 45]]);
    // 0.32 + 1.5 As over 19 s
    expect(pulses(3)).toEqual([...Array.from({ length: 13 }, (_, i) => `${19 * i}-${19 * (i + 1)} 0.095789`), '247-292 0.02']);
    expect(pulses(4)).toHaveLength(27);
    // the last one does not go back
    expect(pulses(3, 0.1).slice(12)).toEqual(['228-244 0.02', '244-247 0.5', '247-292 0.1']);
    // nor does anybody know whether one at the end would
    expect(rows([...apart(24), [0.02, 16], [0.5, 3]])).toHaveLength(26);
  });

  it('have bounds from the scatter over their time and from the sensor, in squares', () => {
    const readings = drawn([[0.5, 100]]);
    const [row] = readableLevels({ ...readings, segments: readings.segments.map((segment) => ({ ...segment, varianceA2: 0.04 })) }, 0, (levelA, atS) => 0.03 * levelA * 2 + atS);
    // 0.2 A a block of a second, 100 of them: 0.02 A, at 95 % 0.0391993; 0.03 A of the sensor
    expect(row).toMatchObject({ low_a: expect.closeTo(0.5 - Math.hypot(0.0391993, 0.03), 6), high_a: expect.closeTo(0.5 + Math.hypot(0.0391993, 0.03), 6) });
  });
});

describe('the volts of a night', () => {
  const track = (timeS: number[], voltageV: number[]) => {
    const volts = new VoltageTrack();
    volts.push({ timeS: Float64Array.from(timeS), currentA: new Float32Array(timeS.length), voltageV: Float32Array.from(voltageV) });
    return volts.read();
  };

  it('are means of a second, without what is no number', () => {
    expect(track([0.5, 0.75, 3, 3.5, 3.75], [12, 13, 11, NaN, 11.5])).toEqual({ widthS: 1, startS: Float64Array.of(0, 3), meanV: Float64Array.of(12.5, 11.25) });
    expect([track([0.5], [NaN]), new VoltageTrack().read()]).toEqual([null, null]);
  });

  it('are means of twice the time when 8192 of them are full, as often as it takes', () => {
    const seconds = (count: number) => track(Array.from({ length: count }, (_, i) => i), Array.from({ length: count }, (_, i) => 10 + (i % 2)))!;
    expect([seconds(8192).widthS, seconds(8193).widthS, seconds(20_000).widthS]).toEqual([1, 2, 4]);
    const { startS, meanV } = seconds(8193);
    expect([startS.length, startS[1], startS.at(-1), meanV[0], meanV[4095], meanV.at(-1)]).toEqual([4097, 2, 8192, 10.5, 10.5, 10]);
    // three readings in one half and one in the other weigh as much as they are
    const uneven = track([0, 0.1, 0.2, 1, ...Array.from({ length: 8191 }, (_, i) => i + 2)], [10, 10, 10, 14, ...Array.from({ length: 8191 }, () => 12)])!;
    expect(uneven.meanV[0]).toBeCloseTo(11, 9);
  });
});
