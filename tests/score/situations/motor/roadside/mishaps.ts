import type { SituationClass } from '../families/scenes.ts';
import type { Dice } from '../physics/dice.ts';
import type { Columns } from '../truth/types.ts';
import { ON } from './drive.ts';
import { inTurn, oneMotor, pressed } from './kit.ts';
import { batteryV, rigOf, type Rig } from './rig.ts';

/** a sound motor of 2 to 12 A: only the tool is used as it should not be */
export function soundRig(dice: Dice): Rig {
  return rigOf({ openV: batteryV(dice), runA: dice.spread(2, 12), timesStanding: dice.between(3.4, 5), rpm: dice.between(2200, 4600), startS: dice.between(0.015, 0.05), segments: dice.pick([8, 10, 11, 12]) }, dice);
}

export function readings(columns: Columns, change: (value: number, timeS: number) => number): Columns {
  return { ...columns, currentA: columns.currentA.map((value, index) => change(value, columns.timeS[index]!)) };
}

/** The clamp in the wrong hands. */
export const MISHAPS: readonly SituationClass[] = [
  {
    name: 'wire-twice-through', about: 'the wire passes twice through the jaws: everything reads double, and nobody could tell',
    make: (dice) => {
      const rig = soundRig(dice);
      return oneMotor(dice, { rig, holds: pressed(inTurn(dice, dice.whole(1, 3), [1.4, 2.8], [1.2, 2.2])), besideA: rig.standingA, clamp: { gain: 2 }, rest: { levelsJudged: false } });
    },
  },
  {
    name: 'clamp-turned-midway', about: 'between two presses the same way somebody takes the clamp off and puts it back the other way round',
    make: (dice) => {
      const rig = soundRig(dice);
      const presses = inTurn(dice, dice.whole(2, 3), [1.4, 2.8], [1.6, 2.6]);
      const turnedS = presses[1]!.fromS - dice.between(0.5, 1);
      const offsetA = rig.plate.runA * dice.between(-0.004, 0.004);
      return oneMotor(dice, {
        // the motor's way is the same each time; `way` of a press is what the clamp shows
        rig, holds: pressed(presses.map((press, index) => ({ ...press, way: index === 0 ? 1 : -1 }))), look: { clampAt: 'motor' }, clamp: { offsetA }, oneWay: true,
        rest: { levelsJudged: false, spoil: (columns) => readings(columns, (value, timeS) => (timeS < turnedS ? value : 2 * offsetA - value)) },
      });
    },
  },
  {
    name: 'clamp-falls-asleep', about: 'the clamp switches itself off between two presses to spare its battery: from then on it gives nothing, while the volts sag as before',
    make: (dice) => {
      const plain = soundRig(dice);
      const rig = rigOf({ ...plain.plate, batteryShare: 0.1, wireShare: 0.1 }, dice);
      const presses = inTurn(dice, dice.whole(2, 3), [1.2, 2.4], [1.6, 2.6]);
      const sleepS = presses[1]!.fromS - dice.between(0.3, 1);
      return oneMotor(dice, {
        rig, holds: pressed(presses), meanwhile: () => ON, look: { tap: dice.pick(['battery', 'motor']) },
        rest: {
          levelsJudged: false, problemsAllowed: ['clamp-off'], verdict: { right: ['normal', 'unclear'], honest: ['suspect'] }, spoil: (columns) => readings(columns, (value, timeS) => (timeS < sleepS ? value : 0)),
          facts: (press) => (press === 0 ? {} : { optional: true, right: ['unclear', 'suspect'] }),
        },
      });
    },
  },
];
