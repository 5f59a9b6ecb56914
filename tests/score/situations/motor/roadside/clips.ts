import type { SituationClass } from '../families/scenes.ts';
import { inTurn, oneMotor, pressed } from './kit.ts';
import { readings, soundRig } from './mishaps.ts';

/** Jaws, clips and cables of the tool that do not sit as they should, at a sound motor. */
export const CLIPS: readonly SituationClass[] = [
  {
    name: 'jaws-ajar', about: 'dirt holds the jaws ajar: a third to two thirds of the current is read, the zero is off, and some of the mains gets in',
    make: (dice) => {
      const rig = soundRig(dice);
      const gain = dice.between(0.33, 0.66);
      return oneMotor(dice, {
        rig, holds: pressed(inTurn(dice, dice.whole(1, 3), [1.4, 2.8], [1.2, 2.2])),
        clamp: { gain, offsetA: rig.plate.runA * gain * dice.between(-0.15, 0.15), humA: rig.plate.runA * gain * dice.between(0.005, 0.03) }, rest: { levelsJudged: false },
      });
    },
  },
  {
    name: 'laptop-plugged-in', about: 'in the middle of the run the laptop\'s mains adapter is plugged in: from then on its hum lies on every reading, and the zero moves a little',
    make: (dice) => {
      const rig = soundRig(dice);
      const holds = pressed(inTurn(dice, dice.whole(1, 2), [2.4, 3.6], [1.2, 2.2]));
      const atS = holds[0]!.fromS + dice.between(0.9, 1.6);
      const hz = dice.pick([50, 60, 100, 120]);
      const humA = rig.plate.runA * dice.between(0.03, 0.09);
      const zeroA = rig.plate.runA * dice.between(-0.03, 0.03);
      return oneMotor(dice, { rig, holds, rest: { levelsJudged: false, facts: () => ({ noPeak: true }), spoil: (columns) => readings(columns, (value, timeS) => (timeS < atS ? value : value + zeroA + humA * Math.sin(2 * Math.PI * hz * timeS))) } });
    },
  },
  {
    name: 'volt-clip-slack', about: 'the volt lead\'s clip sits loosely and lets go for some milliseconds to a quarter of a second again and again; the current is read as it should be',
    make: (dice) => {
      const rig = soundRig(dice);
      const holds = pressed(inTurn(dice, dice.whole(1, 3), [1.6, 2.8], [1.2, 2.2]));
      const slips: { fromS: number; toS: number }[] = [];
      for (let atS = dice.between(0.2, 0.6); atS < holds.at(-1)!.toS;) {
        const toS = atS + dice.spread(0.006, 0.25);
        slips.push({ fromS: atS, toS });
        atS = toS + dice.spread(0.15, 1.2);
      }
      const off = (timeS: number): boolean => slips.some((slip) => timeS >= slip.fromS && timeS < slip.toS);
      return oneMotor(dice, { rig, holds, look: { tap: dice.pick(['motor', 'battery']) }, rest: { levelsJudged: false, spoil: (columns) => ({ ...columns, voltageV: columns.voltageV?.map((value, index) => (off(columns.timeS[index]!) ? 0.02 * Math.abs(value % 0.01) : value)) ?? null }) } });
    },
  },
];
