import type { Dice } from '../physics/dice.ts';
import type { SituationClass } from '../families/scenes.ts';
import type { Columns } from '../truth/types.ts';
import { build, dry, holdsOf, midway, shop, type Built } from './kit.ts';

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
      const { built, fromS, atS } = midway(dice, soundMotor, [0.6, 1], [0.9, 1.5]);
      const forS = dice.between(0.03, 0.08);
      const holds = holdsOf([{ fromS, toS: atS + dice.between(1, 1.8) }]);
      return shop(dice, { built, holds, rest: { spoil: (columns) => between(columns, atS, atS + forS, () => 0) } });
    },
  },
  {
    name: 'zero-jumps', about: 'the clamp is nudged during the run: its zero sinks by a tenth to a third of the running current and stays there after the release, below nothing',
    make: (dice) => {
      const { built, fromS, atS } = midway(dice, soundMotor, [0.6, 1], [0.8, 1.4]);
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

/** More troubles of loggers and clamps, at a sound motor. */
export const MORE_LOGGERS: readonly SituationClass[] = [
  {
    name: 'reading-freezes', about: 'the logger repeats one reading for 0.15 to 0.5 s in the middle of the run, then goes on',
    make: (dice) => {
      const { built, fromS, atS } = midway(dice, soundMotor, [0.6, 1], [0.7, 1.2]);
      const forS = dice.between(0.15, 0.5);
      const holds = holdsOf([{ fromS, toS: atS + forS + dice.between(0.8, 1.5) }]);
      return shop(dice, { built, holds, rest: { spoil: (columns) => { const held = columns.currentA[columns.timeS.findIndex((timeS) => timeS >= atS)]!; return between(columns, atS, atS + forS, () => held); } } });
    },
  },
  {
    name: 'tips-wrap', about: 'the start-up is beyond the converter\'s range and its tips come out at the other end of it, negative',
    make: (dice) => {
      const built = soundMotor(dice);
      const fromS = dice.between(0.6, 1);
      const holds = holdsOf([{ fromS, toS: fromS + dice.between(1.6, 2.6) }]);
      const rangeA = built.sheet.standingA * dice.between(0.55, 0.8);
      return shop(dice, { built, holds, clamp: { rangeA: 1e6, lsbA: rangeA / 2048, noiseA: built.sheet.runA * 0.004, offsetA: 0 }, rest: { levelsJudged: false, facts: () => ({ noPeak: true, alsoHonest: ['suspect'], events: [{ code: 'spike', atS: fromS, sure: false }] }), problemsAllowed: ['clipped'], spoil: (columns) => ({ ...columns, currentA: columns.currentA.map((value) => (value > rangeA ? value - 2 * rangeA : value)) }) } });
    },
  },
  {
    name: 'rate-falls', about: 'the logger falls back to a quarter of its rate in the middle of the run (its buffer is full)',
    make: (dice) => {
      const { built, fromS, atS } = midway(dice, soundMotor, [0.6, 1], [0.6, 1.2]);
      const holds = holdsOf([{ fromS, toS: atS + dice.between(1, 1.8) }]);
      return shop(dice, { built, holds, look: { rateHz: dice.pick([2000, 3300]), tap: 'none' }, rest: { thin: (timeS, index) => timeS < atS || index % 4 === 0 } });
    },
  },
  {
    name: 'batch-stamps', about: 'readings come in batches of 8 to 16 ms and carry the batch\'s time, a hair apart',
    make: (dice) => {
      const built = soundMotor(dice);
      const fromS = dice.between(0.6, 1);
      const holds = holdsOf([{ fromS, toS: fromS + dice.between(1.4, 2.4) }, { fromS: fromS + 3.4, toS: fromS + 5 }]);
      return shop(dice, { built, holds, look: { rateHz: dice.pick([860, 1000]) }, rest: { clockStepS: dice.pick([0.008, 0.01, 0.016]), levelsJudged: false, facts: () => ({ noPeak: true }) } });
    },
  },
  {
    name: 'start-lost', about: 'the logger loses 0.1 to 0.3 s just as the switch is pressed: the start-up is missing, the run is not',
    make: (dice) => {
      const built = soundMotor(dice);
      const fromS = dice.between(0.8, 1.2);
      const holds = holdsOf([{ fromS, toS: fromS + dice.between(1.6, 2.6) }]);
      return shop(dice, { built, holds, rest: { gap: { startS: fromS - dice.between(0.03, 0.1), endS: fromS + dice.between(0.1, 0.25) }, facts: () => ({ noPeak: true }), verdict: { right: ['normal', 'unclear'], honest: [] } } });
    },
  },
  {
    name: 'jaws-opened', about: 'somebody opens the clamp\'s jaws for 0.1 to 0.35 s during the run: a rounded dip to almost nothing, and back without a start',
    make: (dice) => {
      const { built, fromS, atS } = midway(dice, soundMotor, [0.6, 1], [0.9, 1.5]);
      const forS = dice.between(0.1, 0.35);
      const ramp = dice.between(0.02, 0.04);
      const holds = holdsOf([{ fromS, toS: atS + forS + dice.between(0.9, 1.6) }]);
      const left = (timeS: number): number => { const edge = Math.min(1, Math.max(0, Math.min(timeS - atS, atS + forS - timeS) / ramp)); return 1 - 0.95 * edge * edge * (3 - 2 * edge); };
      return shop(dice, { built, holds, look: { tap: dice.pick(['none', 'battery', 'motor']) }, rest: { levelsJudged: false, splitAllowed: true, problemsAllowed: ['clamp-off'], facts: () => ({ alsoHonest: ['unclear'] }), spoil: (columns) => between(columns, atS, atS + forS, (value, timeS) => value * left(timeS)) } });
    },
  },
  {
    name: 'phone-buzz', about: 'a phone beside the clamp: bursts of 0.58 ms, 217 a second (GSM frames), for half a second to two seconds, before and into the run',
    make: (dice) => {
      const built = soundMotor(dice);
      const fromS = dice.between(0.9, 1.3);
      const buzz = { fromS: fromS - dice.between(0.2, 0.6), toS: fromS + dice.between(0.4, 1.4) };
      const buzzA = built.sheet.runA * dice.between(0.1, 0.3);
      const holds = holdsOf([{ fromS, toS: fromS + dice.between(2, 3) }]);
      return shop(dice, { built, holds, look: { rateHz: dice.pick([2000, 3300, 7000]) }, rest: { levelsJudged: false, facts: () => ({ noPeak: true, events: [{ code: 'spike', atS: fromS, sure: false }] }), spoil: (columns) => between(columns, buzz.fromS, buzz.toS, (value, timeS) => value + ((timeS * 216.7) % 1 < 0.125 ? buzzA : 0)) } });
    },
  },
  {
    name: 'remanence', about: 'an open-loop clamp keeps a little of the start-up\'s field: after it, it reads 1 to 4 % of the peak more than it should, in the run and after it',
    make: (dice) => {
      const built = soundMotor(dice);
      const fromS = dice.between(0.6, 1);
      const keptA = built.sheet.standingA * dice.between(0.01, 0.04);
      const holds = holdsOf([{ fromS, toS: fromS + dice.between(1.6, 2.6) }]);
      return shop(dice, { built, holds, afterS: dice.between(0.8, 1.4), rest: { levelsJudged: false, facts: () => ({ noPeak: true }), spoil: (columns) => between(columns, fromS + 0.003, Infinity, (value) => value + keptA) } });
    },
  },
  {
    name: 'ends-in-the-start', about: 'the recording ends 30 to 90 ms after the switch made: nothing but a start-up',
    make: (dice) => {
      const built = soundMotor(dice);
      const fromS = dice.between(0.8, 1.2);
      const holds = holdsOf([{ fromS, toS: fromS + 2 }]);
      return shop(dice, { built, holds, look: { rateHz: dice.pick([1000, 2000, 3300]) }, rest: { window: [0, fromS + dice.between(0.03, 0.09)], levelsJudged: false } });
    },
  },
  {
    name: 'trigger-late', about: 'the recording is triggered by the current and begins 10 to 40 ms into the start-up; the rest of the press is there',
    make: (dice) => {
      const built = soundMotor(dice);
      const holds = holdsOf([{ fromS: 1, toS: 1 + dice.between(1.8, 2.8) }]);
      return shop(dice, { built, holds, look: { rateHz: dice.pick([1000, 2000, 3300]) }, rest: { window: [1 + dice.between(0.01, 0.04), 9], levelsJudged: false } });
    },
  },
];
