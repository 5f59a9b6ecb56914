import type { Chance } from './chance.ts';
import type { Module, Poll, WakeShape } from './vehicle.ts';

/**
 * Parts as they are found in parked vehicles. Ranges follow published service facts where there are any: time-outs from seconds to
 * 75 minutes and modules of up to 10 mA each (Ford 2023 Edge, "Battery Drain Check"), "several amps while they cycle down"
 * (Chevrolet Optra 2009), telematics of 80 to 240 mA for 45 s every 9 to 10 minutes (Oldsmobile Aurora 2001).
 */

/** The longest time-out that a maker publishes: rest of at least 75 min before measuring (Ford 2023 Edge). */
export const LONGEST_TIMEOUT_S = 75 * 60;

export interface Fleet {
  /** when the last module goes to sleep, after key-off */
  readonly slowestS: number;
  /** what all of them draw asleep */
  readonly floorA: number;
  /** the last module's step down */
  readonly lastStepA?: number;
}

/** Some modules that time out one by one; the slowest exactly at `slowestS`. */
export function someModules(chance: Chance, fleet: Fleet): Module[] {
  const count = chance.whole(3, 8);
  const shares = Array.from({ length: count }, () => chance.between(0.2, 1));
  const whole = shares.reduce((sum, share) => sum + share, 0);
  return shares.map((share, index) => {
    const sleepA = (fleet.floorA * share) / whole;
    const last = index === count - 1;
    const timeoutS = last ? fleet.slowestS : chance.logBetween(Math.min(10, fleet.slowestS / 4), fleet.slowestS * 0.85);
    const stepA = last ? (fleet.lastStepA ?? chance.logBetween(0.04, 0.5)) : chance.logBetween(0.05, 2);
    return { awakeA: sleepA + stepA, sleepA, timeoutS, stir: chance.yes(0.6) ? chance.between(0.01, 0.08) : 0 };
  });
}

/** A healthy floor: "10 to 30 mA" (Saturn Aura 2008), "5 to 35 mA" (Jeep KJ 2007). */
export function healthyFloorA(chance: Chance): number {
  return chance.between(0.006, 0.034);
}

/** Key antennas, alarm lamps, tyre receivers: short pulses every half second to every half minute. */
export function somePoll(chance: Chance, periodS = chance.logBetween(0.5, 30)): Poll {
  const widthS = Math.min(chance.logBetween(0.02, 0.6), periodS * 0.3);
  return { periodS, widthS, heightA: chance.logBetween(0.01, 0.25), jitter: chance.yes() ? 0 : chance.between(0.002, 0.05) };
}

/** A gateway, a telematics unit or a climate controller that wakes: a burst, then a while of less. */
export function someWake(chance: Chance): WakeShape {
  const burstA = chance.logBetween(0.3, 4);
  return { burstA, burstS: chance.between(2, 25), tailA: burstA * chance.between(0.1, 0.6), tailS: chance.between(3, 45) };
}

/** A rate that a logger offers, near the wanted one, that keeps the recording small enough to make in a moment. */
export function affordableRateHz(durationS: number, wantedHz: number): number {
  const mostSamples = 90_000;
  const offered = [1000, 500, 200, 100, 50, 20, 10, 5, 2, 1];
  return offered.find((rateHz) => rateHz <= wantedHz && rateHz * durationS <= mostSamples) ?? 1;
}
