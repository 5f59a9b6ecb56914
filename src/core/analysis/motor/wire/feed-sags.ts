import { median } from '../../../stats.ts';
import type { LeadPlace } from '../sensor/feed-voltage.ts';
import { LEAST_DIP } from './clamp-off.ts';
import type { Press } from '../presses/presses.ts';

/**
 * Without the breaks that the battery's own volts explain. A contact that opens takes its load off the battery, whose volts rise; where they fall at that moment, as when somebody
 * cranks the engine, the rotor turns faster than they would make it, and its current goes until it has slowed down (i = (V - k w)/R). O(samples of the breaks).
 */
export function withoutSags(press: Press, voltageV: Float32Array | null, place: LeadPlace): Press {
  if (voltageV === null || place !== 'battery' || press.dropouts.length === 0) return press;
  const levelV = (from: number, to: number): number => Math.abs(median(voltageV.subarray(Math.max(0, from), to)));
  return {
    ...press,
    dropouts: press.dropouts.filter(({ startIndex, endIndex }) => {
      const beforeV = levelV(2 * startIndex - endIndex, startIndex);
      return beforeV - levelV(startIndex, endIndex) <= LEAST_DIP * beforeV;
    }),
  };
}
