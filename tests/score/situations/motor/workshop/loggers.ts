import type { Dice } from '../physics/dice.ts';
import type { SituationClass } from '../families/scenes.ts';
import type { Columns } from '../truth/types.ts';
import { build, dry, holdsOf, shop, type Built } from './kit.ts';

/** A motor of 1.5 to 12 A that runs evenly and is sound: what is wrong here is the logger, the clamp or the hand that holds it. */
export function soundMotor(dice: Dice): Built {
  const runA = dice.spread(1.5, 12);
  return build({ openV: dice.between(12.1, 14.3), runA, standingA: runA * dice.between(3, 5.5), noLoadRpm: dice.between(2200, 5200), startS: dice.between(0.015, 0.06), poles: 2, segments: dice.pick([8, 10, 11, 12]), batteryOhm: dice.between(0.006, 0.012), wireOhm: Math.min(0.1, (0.25 * 12) / (5.5 * runA) / 2) }, dice);
}

/** readings between two moments, changed one by one */
export function between(columns: Columns, fromS: number, toS: number, change: (value: number, timeS: number, index: number) => number): Columns {
  const currentA = columns.currentA.map((value, index) => (columns.timeS[index]! >= fromS && columns.timeS[index]! < toS ? change(value, columns.timeS[index]!, index) : value));
  return { ...columns, currentA };
}

export const LOGGERS: readonly SituationClass[] = [
  {
    name: 'reads-zero', about: 'the logger reads nothing for 30 to 80 ms (its converter restarts), and then the same current as before: no contact was lost',
    make: (dice) => {
      const built = soundMotor(dice);
      const fromS = dice.between(0.6, 1);
      const atS = fromS + dice.between(0.9, 1.5);
      const forS = dice.between(0.03, 0.08);
      const holds = holdsOf([{ fromS, toS: atS + dice.between(1, 1.8) }]);
      return shop(dice, { built, holds, rest: { spoil: (columns) => between(columns, atS, atS + forS, () => 0) } });
    },
  },
  {
    name: 'zero-jumps', about: 'the clamp is nudged during the run: its zero sinks by a tenth to a third of the running current and stays there after the release, below nothing',
    make: (dice) => {
      const built = soundMotor(dice);
      const fromS = dice.between(0.6, 1);
      const atS = fromS + dice.between(0.8, 1.4);
      const byA = -built.sheet.runA * dice.between(0.1, 0.33);
      const holds = holdsOf([{ fromS, toS: atS + dice.between(1, 1.8) }]);
      return shop(dice, { built, holds, afterS: dice.between(1, 1.6), rest: { levelsJudged: false, spoil: (columns) => between(columns, atS, Infinity, (value) => value + byA) } });
    },
  },
  {
    name: 'tight-recording', about: 'begins 40 to 100 ms before the press and ends as shortly after it: whole, though only just',
    make: (dice) => {
      const built = soundMotor(dice);
      const holds = holdsOf([{ fromS: 1, toS: 1 + dice.between(1.2, 2.5) }]);
      return shop(dice, { built, holds, load: dry(built), look: { rateHz: dice.pick([1000, 2000, 3300]) }, rest: { window: [1 - dice.between(0.04, 0.1), holds[0]!.toS + dice.between(0.04, 0.1)] } });
    },
  },
];
