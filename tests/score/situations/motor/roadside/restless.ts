import type { SituationClass } from '../families/scenes.ts';
import { Draws, heldAt, inTurn, oneMotor, parked, pressed, wander } from './kit.ts';
import { batteryV, rigOf, slide } from './rig.ts';

/** Sound loads that never hold still, and sound motors with a restless neighbour. */
export const RESTLESS: readonly SituationClass[] = [
  {
    name: 'windlass-links', about: 'an anchor windlass: every link of the chain falls into its wheel, six to twelve a second, and the boat heaves below it',
    make: (dice) => {
      // 40 A for 400 W and 55 A for 600 W at 12 V (fishingandboats.com, electric windlass circuit protection)
      const rig = rigOf({ openV: batteryV(dice, 12), runA: dice.between(36, 55), timesStanding: dice.between(4.2, 5.5), rpm: dice.between(2400, 3200), startS: dice.between(0.03, 0.07), polePairs: 2, segments: dice.pick([19, 21, 23]) }, dice);
      const holds = pressed(inTurn(dice, dice.whole(1, 2), [4, 7], [1.5, 3]));
      const linkRad = rig.runRad / dice.between(6, 12);
      const heaveS = dice.between(2.8, 5);
      const link = dice.between(0.08, 0.14);
      const heave = dice.between(0.12, 0.25);
      return oneMotor(dice, { rig, holds, machine: slide(rig, (angle, timeS) => 1 + link * Math.cos((2 * Math.PI * angle) / linkRad) + heave * Math.sin((2 * Math.PI * timeS) / heaveS)), look: { tap: dice.pick(['none', 'battery']) }, rest: { facts: () => ({ beat: { periodS: 0.1, depthA: 0, sure: false } }) } });
    },
  },
  {
    name: 'split-charge-closes', about: 'the engine runs and the split-charge relay of a camper closes while its pump runs: 0.9 to 1.6 V more from one moment to the next',
    make: (dice) => {
      const rig = rigOf({ openV: dice.between(12, 12.5), runA: dice.between(4, 11), timesStanding: dice.between(3.8, 5), rpm: dice.between(2200, 4000), startS: dice.between(0.015, 0.04), segments: dice.pick([8, 10, 12]) }, dice);
      const fromS = dice.between(0.7, 1.3);
      const atS = fromS + dice.between(1.2, 2.2);
      const holds = pressed([{ fromS, forS: atS - fromS + dice.between(1.6, 3) }]);
      const moreA = dice.between(0.9, 1.6) / rig.feed.batteryOhm;
      const scene = oneMotor(dice, { rig, holds });
      return {
        ...scene, levelsJudged: false, bench: { ...scene.bench, elsewhereA: (timeS) => (timeS < atS ? 0 : -moreA * (1 - Math.exp(-(timeS - atS) / 0.004))) },
        // the wire's current follows the volts, a load neither began nor ended: it may be told
        facts: () => ({ steps: [{ atS, changeA: 1, sure: false }], events: [{ code: 'step', atS, sure: false }] }),
      };
    },
  },
  {
    name: 'music-beside', about: 'the radio plays on the same wire all along: an ampere, and two to four more with each stroke of the drum',
    make: (dice) => {
      const rig = rigOf({ openV: batteryV(dice, 12), runA: dice.between(6, 12), timesStanding: dice.between(3.6, 5), rpm: dice.between(2400, 4200), startS: dice.between(0.015, 0.04), segments: dice.pick([8, 10, 12]) }, dice);
      const holds = pressed(inTurn(dice, 2, [1.6, 3], [1.6, 2.6]));
      const strokeS = 60 / dice.between(85, 135);
      const restA = dice.between(0.6, 1.2);
      const kickA = rig.plate.runA * dice.between(0.12, 0.28);
      const voice = wander(dice, 0.05, holds.at(-1)!.toS + 2);
      const radio = new Draws(rig.plate.openV, (timeS) => Math.max(0.3, restA + 0.12 * restA * voice(timeS)) + kickA * Math.exp(-(timeS % strokeS) / 0.07) * Math.sin(Math.PI * 62 * (timeS % strokeS)) ** 2);
      return oneMotor(dice, { rig, holds, beside: [radio], besideA: restA + kickA, rest: { levelsJudged: false, problemsAllowed: ['background'], facts: () => ({ noPeak: true, alsoHonest: ['unclear'], beat: { periodS: strokeS, depthA: 0, sure: false } }) } });
    },
  },
  {
    name: 'macerator-lumps', about: 'a boat\'s macerator pump chews: for a fifth of a second now and then it takes half as much again to twice as much',
    make: (dice) => {
      // 16 to 20 A at 12 V (makers' data sheets)
      const rig = rigOf({ openV: batteryV(dice, 12), runA: dice.between(14, 20), timesStanding: dice.between(4.5, 6), rpm: dice.between(3000, 4500), startS: dice.between(0.015, 0.035), segments: dice.pick([12, 16, 20]) }, dice);
      const fromS = dice.between(0.7, 1.3);
      const forS = dice.between(6, 10);
      const holds = pressed([{ fromS, forS }]);
      const count = dice.whole(3, 6);
      const lumps = Array.from({ length: count }, (_, index) => ({ atS: fromS + 0.8 + ((forS - 1.6) * (index + dice.between(0.1, 0.9))) / count, wideS: dice.between(0.05, 0.11), more: dice.between(0.5, 1) }));
      return oneMotor(dice, { rig, holds, machine: slide(rig, (_angle, timeS) => 0.9 + lumps.reduce((sum, lump) => sum + lump.more * Math.exp(-(((timeS - lump.atS) / lump.wideS) ** 2)), 0)) });
    },
  },
  {
    name: 'fence-energiser', about: 'an electric fence\'s energiser on a farm vehicle\'s battery: its converter fills a capacitor, and again after each stroke, once in 1.2 to 1.6 s',
    make: (dice) => {
      const openV = batteryV(dice, 12);
      const everyS = dice.between(1.2, 1.6);
      const mostA = dice.between(0.6, 1.4);
      const least = dice.between(0.45, 0.6);
      const fillS = dice.between(0.3, 0.5);
      const holds = pressed(inTurn(dice, 1, [7, 12], [1, 2]));
      const amps = (timeS: number): number => { const hold = heldAt(holds, timeS); return hold === null ? 0 : mostA * (least + (1 - least) * Math.exp(-((timeS - hold.fromS) % everyS) / fillS)); };
      return parked(dice, {
        parts: [new Draws(openV, amps)], motors: [], feed: { openV, batteryOhm: 0.01, wireOhm: dice.between(0.03, 0.1), wireGrowsPerS: 0, rippleV: 0, rippleHz: 0 }, holds, peakA: 1.1 * mostA, levelA: mostA, standingA: null, switchOhm: 0, look: { tap: dice.pick(['none', 'battery']) },
        // once in more than a second is no chopping, but a controller does it and regularly: to call it so or not harms nobody
        rest: { kinds: ['unknown'], levelsJudged: false, problemsAllowed: ['chopped'], facts: () => ({ right: ['normal'], alsoHonest: ['unclear'], noPeak: true, chopped: { hz: null, duty: 0.5, meanA: 0, sure: false }, beat: { periodS: everyS, depthA: 0, sure: false } }) },
      });
    },
  },
];
