import type { Dice } from '../physics/dice.ts';
import type { SituationClass } from '../families/scenes.ts';
import { build, dry, fan, holdsOf, midway, shop, type Built } from './kit.ts';

/** rises from 0 to 1 around `atS` within about `inS` */
export function sets(timeS: number, atS: number, inS: number): number {
  return timeS < atS ? 0 : 1 - Math.exp(-(timeS - atS) / (inS / 3));
}

/** A washer pump: 2 to 4 A with water, a third of that without (data sheets of washer pumps: 3.8 A at most, stall some 10 to 14 A). */
function washer(dice: Dice): Built {
  return build({ openV: dice.between(12.1, 14.2), runA: dice.between(2, 3.8), standingA: dice.between(11, 15), noLoadRpm: dice.between(9000, 13_000), startS: dice.between(0.012, 0.03), poles: 2, segments: dice.pick([3, 5, 8]), batteryOhm: 0.01, wireOhm: dice.between(0.06, 0.15) }, dice);
}

/** A hydraulic power pack for a tail lift or tipper: 12 V, 90 to 160 A, 600 A and more standing (data sheets of 1.2 to 2 kW packs). */
function powerPack(dice: Dice): Built {
  const runA = dice.between(80, 130);
  return build({ openV: dice.between(12.4, 12.9), runA, standingA: runA * dice.between(5, 7), noLoadRpm: dice.between(2600, 3800), startS: dice.between(0.05, 0.12), poles: 4, segments: dice.pick([19, 21, 23]), batteryOhm: dice.between(0.003, 0.005), wireOhm: dice.between(0.002, 0.004) }, dice);
}

export const PUMPS: readonly SituationClass[] = [
  {
    name: 'relief-valve', about: 'a tail lift reaches its end and the oil goes over the relief valve: 1.4 to 1.9 times the current, and the motor turns on, as it is made to',
    make: (dice) => {
      const { built, fromS, atS } = midway(dice, powerPack, [0.6, 1], [1.6, 2.6]);
      const more = dice.between(0.4, 0.9);
      const inS = dice.between(0.05, 0.15);
      const holds = holdsOf([{ fromS, toS: atS + dice.between(1.2, 2.2) }]);
      return shop(dice, {
        built, holds, load: dry(built, (_angle, timeS) => 1 + more * sets(timeS, atS, inS)),
        rest: { facts: () => ({ alsoRight: ['suspect'], steps: [{ atS, changeA: built.sheet.runA * more, sure: true }], events: [{ code: 'step', atS, sure: false }] }) },
      });
    },
  },
  {
    name: 'washer-draws-water', about: 'a washer pump runs dry for half a second to a second, then the water arrives and it draws two to three times as much',
    make: (dice) => {
      const { built, fromS, atS } = midway(dice, washer, [0.5, 1], [0.5, 1]);
      const dryShare = dice.between(0.2, 0.35);
      const holds = holdsOf([{ fromS, toS: atS + dice.between(1.2, 2.4) }]);
      return shop(dice, {
        built, holds, load: fan(built, (_angle, timeS) => dryShare + (1 - dryShare) * sets(timeS, atS, 0.06)),
        rest: { facts: () => ({ alsoRight: ['suspect'], steps: [{ atS, changeA: built.sheet.runA * 0.5, sure: true }], events: [{ code: 'step', atS, sure: false }] }) },
      });
    },
  },
  {
    name: 'washer-runs-out', about: 'the washer\'s tank runs empty: bubbles for a while, then the pump spins with next to no load',
    make: (dice) => {
      const { built, fromS, atS } = midway(dice, washer, [0.5, 1], [1.2, 2]);
      const bubblesS = dice.between(0.3, 0.8);
      const beats = dice.between(9, 23);
      const holds = holdsOf([{ fromS, toS: atS + bubblesS + dice.between(1, 2) }]);
      const share = (_angle: number, timeS: number): number => (timeS < atS ? 1 : timeS > atS + bubblesS ? 0.2 : Math.sin(beats * timeS) + Math.sin(1.7 * beats * timeS + 1) > 0 ? 1 : 0.3);
      return shop(dice, {
        built, holds, load: fan(built, share),
        // a pump that has nothing left to pump drives nothing: suspect is as right as normal
        rest: { facts: () => ({ right: ['normal', 'suspect', 'light'], events: [{ code: 'slip', atS, sure: false }, { code: 'step', atS, sure: false }], beat: { periodS: 0.3, depthA: 0, sure: false }, steps: [0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8].flatMap((after) => [1, -1].map((way) => ({ atS: atS + after, changeA: way * built.sheet.runA * 0.5, sure: false }))) }) },
      });
    },
  },
  {
    name: 'fuel-pump-primes', about: 'a fuel pump primes for two to three seconds: it draws more as the pressure builds, up to the regulator\'s, and is switched off by its controller',
    make: (dice) => {
      // in-tank pumps: 4 to 8 A at 3 to 4 bar (makers' data), carbon commutators of eight segments
      const built = build({ openV: dice.between(12.2, 12.7), runA: dice.between(4, 8), standingA: dice.between(22, 34), noLoadRpm: dice.between(6500, 9000), startS: dice.between(0.01, 0.025), poles: 2, segments: 8, batteryOhm: 0.01, wireOhm: dice.between(0.08, 0.16) }, dice);
      const fromS = dice.between(0.5, 1);
      const buildS = dice.between(0.4, 1);
      const empty = dice.between(0.45, 0.65);
      const holds = holdsOf([{ fromS, toS: fromS + dice.between(2, 3) }]);
      return shop(dice, { built, holds, load: dry(built, (_angle, timeS) => empty + (1 - empty) * Math.min(1, Math.max(0, timeS - fromS) / buildS)), rest: { facts: () => ({ steps: [{ atS: fromS + buildS, changeA: 1, sure: false }] }) } });
    },
  },
  {
    name: 'air-compressor', about: 'an air spring\'s compressor: a stroke\'s load once a turn, and 50 to 90 % more current as the pressure rises over ten to fifteen seconds',
    make: (dice) => {
      const runA = dice.between(10, 16);
      const built = build({ openV: dice.between(12.3, 14.2), runA, standingA: runA * dice.between(5, 7), noLoadRpm: dice.between(2600, 3400), startS: dice.between(0.06, 0.15), poles: 2, segments: dice.pick([11, 13, 20]), batteryOhm: 0.008, wireOhm: dice.between(0.02, 0.04) }, dice);
      const fromS = dice.between(0.5, 1);
      const lengthS = dice.between(10, 15);
      const more = dice.between(0.5, 0.9);
      const stroke = dice.between(0.4, 0.8);
      const holds = holdsOf([{ fromS, toS: fromS + lengthS }]);
      const load = dry(built, (angle, timeS) => (1 + (more * Math.max(0, timeS - fromS)) / lengthS) * (1 + stroke * Math.sin(angle)));
      return shop(dice, { built, holds, load, look: { rateHz: dice.pick([860, 1000, 2000]) }, rest: { facts: () => ({ mildFault: true, beat: { periodS: 0.02, depthA: 0, sure: false } }) } });
    },
  },
];
