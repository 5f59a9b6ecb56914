import type { SituationClass } from '../families/scenes.ts';
import { Drive } from './drive.ts';
import { heldAt, inTurn, oneMotor, parked, pressed, switchOf } from './kit.ts';
import { batteryV, rigOf, slide, wheel } from './rig.ts';

/** Faults of what hauls, lifts and pumps, and of the batteries behind it. */
export const HAULING: readonly SituationClass[] = [
  {
    name: 'frozen-step', about: 'a camper\'s entrance step is frozen in: once or twice the motor cannot move it at all, then the ice gives and it runs out as it should',
    make: (dice) => {
      const rig = rigOf({ openV: batteryV(dice, 12), runA: dice.between(4, 9), timesStanding: dice.between(3.4, 4.8), rpm: dice.between(2400, 4000), startS: dice.between(0.015, 0.04), segments: dice.pick([8, 10, 12]) }, dice);
      const holds = pressed(inTurn(dice, dice.whole(2, 3), [0.9, 1.8], [1, 2]));
      const freeS = holds.at(-1)!.fromS - 0.2;
      return oneMotor(dice, { rig, holds, machine: slide(rig, (_angle, timeS) => (timeS < freeS ? 25 : 1)) });
    },
  },
  {
    name: 'jack-of-four-stuck', about: 'a camper\'s four levelling legs on one feed go down together, but for one that is rusted in and whose motor stands from the first moment',
    make: (dice) => {
      const openV = batteryV(dice, 12);
      const rigs = [0, 1, 2, 3].map(() => rigOf({ openV, runA: dice.between(5, 7), timesStanding: dice.between(4, 5), rpm: dice.between(2600, 3600), startS: dice.between(0.02, 0.04), segments: dice.pick([10, 12]), batteryShare: 0.01, wireShare: 0.03 }, dice));
      const holds = pressed(inTurn(dice, dice.whole(1, 2), [2, 3.5], [1.2, 2]));
      const drives = rigs.map((rig, index) => new Drive(rig.spec, slide(rig, () => (index === 3 ? 25 : 1)), switchOf(holds), rig.switchOhm));
      const standingA = rigs.reduce((sum, rig) => sum + rig.standingA, 0);
      return parked(dice, { parts: drives, motors: drives, feed: rigs[0]!.feed, holds, peakA: standingA, levelA: 20, standingA, switchOhm: rigs[0]!.switchOhm, look: { tap: dice.pick(['none', 'battery']) }, rest: { levelsJudged: false, facts: () => ({ right: ['stalled', 'suspect'], alsoHonest: ['locked'], noPeak: true }) } });
    },
  },
  {
    name: 'rope-jams-in', about: 'a recovery winch\'s rope cuts in between the turns below it and holds the drum for a third to two thirds of a second, then comes free with a jerk',
    make: (dice) => {
      // 70 A with an empty drum, 150 A and more in earnest, 400 A and more standing at 12 V (makers' line-pull tables)
      const rig = rigOf({ openV: batteryV(dice, 12), runA: dice.between(95, 170), timesStanding: dice.between(3.4, 4.4), rpm: dice.between(3200, 4600), startS: dice.between(0.03, 0.06), polePairs: 2, segments: dice.pick([21, 23, 25]), series: true }, dice);
      const fromS = dice.between(0.7, 1.3);
      const atS = fromS + dice.between(1.2, 2.4);
      const forS = dice.between(0.4, 0.75);
      const holds = pressed([{ fromS, forS: atS - fromS + forS + dice.between(1.2, 2.4) }]);
      const jerk = (timeS: number): number => (timeS < atS ? 1 : timeS < atS + forS ? 25 : 1 - 0.6 * Math.exp(-(timeS - atS - forS) / 0.1));
      return oneMotor(dice, { rig, holds, machine: slide(rig, (_angle, timeS) => jerk(timeS)), look: { tap: dice.pick(['none', 'battery']) } });
    },
  },
  {
    name: 'battery-gives-out', about: 'a worn battery carries the pump for a moment; within a second it is down to 7 to 8.4 V, and so it stays until the switch is let go',
    make: (dice) => {
      const rig = rigOf({ openV: dice.between(12.1, 12.6), runA: dice.between(5, 14), timesStanding: dice.between(5, 6.5), rpm: dice.between(2400, 3800), startS: dice.between(0.02, 0.05), segments: dice.pick([8, 10, 12]), batteryShare: 0.05, wireShare: 0.04 }, dice);
      const holds = pressed(inTurn(dice, dice.whole(1, 2), [4, 6], [2, 3]));
      const lostV = rig.plate.openV - dice.between(7.2, 8.4);
      const tauS = dice.between(0.2, 0.35);
      const scene = oneMotor(dice, { rig, holds, look: { tap: 'battery' } });
      // what its plates no longer give: it goes with the load and comes back without
      const gone = (timeS: number): number => { const hold = heldAt(holds, timeS); const before = holds.findLast((one) => timeS >= one.toS); return hold !== null ? 1 - Math.exp(-(timeS - hold.fromS) / tauS) : before === undefined ? 0 : Math.exp(-(timeS - before.toS) / 0.4); };
      return { ...scene, levelsJudged: false, bench: { ...scene.bench, elsewhereA: (timeS) => (lostV / rig.feed.batteryOhm) * gone(timeS) }, verdict: { right: ['starved'], honest: ['suspect'] }, facts: () => ({ right: ['starved', 'normal', 'suspect', 'unclear'], noPeak: true }) };
    },
  },
  {
    name: 'drum-pump-dry', about: 'a farm\'s drum pump sucks air: it runs well below the limits that were typed for it',
    make: (dice) => {
      const rig = rigOf({ openV: batteryV(dice), runA: dice.between(7, 16), timesStanding: dice.between(3.2, 4), rpm: dice.between(2800, 4200), startS: dice.between(0.02, 0.05), segments: dice.pick([10, 12, 16]) }, dice);
      const dry = dice.between(0.5, 0.65);
      const lowA = rig.plate.runA * dice.between(0.8, 0.95);
      return oneMotor(dice, { rig, holds: pressed(inTurn(dice, dice.whole(1, 3), [1.6, 3], [1.2, 2])), machine: wheel(rig, () => dry), rest: { options: { runLimitsA: [lowA, lowA * dice.between(1.4, 1.7)] } } });
    },
  },
  {
    name: 'winch-bar-dead', about: 'one bar of a winch\'s commutator makes no contact any more: each time a brush lies on it the winding\'s resistance rises by two fifths and more',
    make: (dice) => {
      const rig = rigOf({ openV: batteryV(dice), runA: dice.between(50, 110), timesStanding: dice.between(3.6, 4.8), rpm: dice.between(1800, 2800), startS: dice.between(0.03, 0.06), polePairs: 2, segments: dice.pick([17, 19, 21]), deadBar: dice.between(1.4, 1.9) }, dice);
      const holds = pressed(inTurn(dice, dice.whole(1, 2), [2, 3.5], [1.2, 2]));
      return oneMotor(dice, { rig, holds, leastHz: 2500, rest: { facts: () => ({ fault: true }) } });
    },
  },
  {
    name: 'hoist-overloaded', about: 'a workshop lorry\'s hoist with far too much on its hook: it turns, at a fifth to a quarter of its speed, and no limits were typed',
    make: (dice) => {
      const times = 1 / dice.between(0.75, 0.82);
      const rig = rigOf({ openV: batteryV(dice), runA: dice.between(25, 70), timesStanding: times, rpm: dice.between(2400, 3600), startS: dice.between(0.03, 0.06), polePairs: 2, segments: dice.pick([19, 21, 23]), batteryShare: 0.03, wireShare: 0.06 }, dice);
      const holds = pressed(inTurn(dice, dice.whole(1, 3), [1.8, 3.2], [1.2, 2.2]));
      return oneMotor(dice, { rig, holds, machine: slide(rig) });
    },
  },
];
