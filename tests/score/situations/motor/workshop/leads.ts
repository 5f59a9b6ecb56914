import type { Dice } from '../physics/dice.ts';
import type { SituationClass } from '../families/scenes.ts';
import type { Columns } from '../truth/types.ts';
import { CommutatedMotor } from './commutated.ts';
import { build, dry, fan, holdsOf, lookFor, shop, switched } from './kit.ts';
import { between, soundMotor } from './loggers.ts';

function volts(columns: Columns, change: (value: number, timeS: number) => number): Columns {
  return { ...columns, voltageV: columns.voltageV?.map((value, index) => change(value, columns.timeS[index]!)) ?? null };
}

function twoPresses(dice: Dice): { built: ReturnType<typeof soundMotor>; holds: ReturnType<typeof holdsOf> } {
  const built = soundMotor(dice);
  const fromS = dice.between(0.6, 1);
  return { built, holds: holdsOf([{ fromS, toS: fromS + dice.between(1.4, 2.2) }, { fromS: fromS + 3.4, toS: fromS + 5 }]) };
}

/** The leads of the logger, put where they do not belong: the motor is sound in all of them. */
export const LEADS: readonly SituationClass[] = [
  {
    name: 'volt-lead-off', about: 'the volt lead has slipped off: a few hundredths of a volt and some hum, while the motor runs as it should',
    make: (dice) => {
      const hum = dice.between(0.02, 0.3);
      return shop(dice, { ...twoPresses(dice), look: { tap: dice.pick(['battery', 'motor']) }, rest: { spoil: (columns) => volts(columns, (_value, timeS) => Math.round((0.03 + hum * (1 + Math.sin(2 * Math.PI * 50 * timeS))) / 0.004) * 0.004) } });
    },
  },
  { name: 'volt-lead-reversed', about: 'the volt leads are exchanged: the volts read negative, all the rest is as it should be', make: (dice) => shop(dice, { ...twoPresses(dice), look: { tap: dice.pick(['battery', 'motor']) }, rest: { spoil: (columns) => volts(columns, (value) => -value) } }) },
  { name: 'volt-divider-wrong', about: 'the volt channel\'s divider is set wrong and reads half: 6 to 7 V at rest and nearly the same under load', make: (dice) => shop(dice, { ...twoPresses(dice), look: { tap: 'battery' }, rest: { spoil: (columns) => volts(columns, (value) => value / 2) } }) },
  {
    name: 'earth-switched-idle', about: 'a motor that is switched on its earth side has volts on its feed all the time; nobody presses anything while it is recorded',
    make: (dice) => {
      const built = soundMotor(dice);
      const scene = shop(dice, { built, holds: holdsOf([{ fromS: 50, toS: 51 }]), look: { tap: 'motor', durationS: dice.between(4, 7) } });
      // nothing flows, and the volts do not move: nobody can say whether anything was pressed
      return { ...scene, holds: [], levelsJudged: false, kinds: ['unknown'], verdict: { right: ['unclear'], honest: ['suspect'] }, spoil: (columns) => volts(columns, () => built.feed.openV + 0.01 * dice.normal()) };
    },
  },
  {
    name: 'clamp-on-the-blower', about: 'the clamp sits round the wire of a blower that runs all along; the motor that is pressed is on another one, only the battery\'s volts tell of it',
    make: (dice) => {
      const blowerA = dice.between(4, 12);
      const blower = build({ openV: dice.between(12.4, 13.8), runA: blowerA, standingA: blowerA * 5, noLoadRpm: 3600, startS: 0.06, poles: 2, segments: 12, batteryOhm: dice.between(0.01, 0.02), wireOhm: 0.03 }, dice);
      const on = holdsOf([{ fromS: -3, toS: 100 }]);
      const fromS = dice.between(1, 1.6);
      const toS = fromS + dice.between(1, 2);
      const otherA = dice.between(5, 15);
      const motor = new CommutatedMotor(blower.spec, fan(blower), switched(on), blower.contactOhm);
      motor.speed = blower.runRad;
      motor.currentA = blowerA;
      const scene = shop(dice, { built: blower, holds: on });
      return {
        ...scene, bench: { feed: blower.feed, parts: [motor], motors: [motor], elsewhereA: (timeS) => (timeS > fromS && timeS < toS ? otherA * (1 + 3 * Math.exp(-(timeS - fromS) / 0.04)) : 0) },
        look: { ...lookFor(dice, toS + 1.5, { tap: dice.pick(['battery', 'none']) }) }, levelsJudged: false, facts: () => ({ noPeak: true, steps: [{ atS: fromS, changeA: -1, sure: false }, { atS: toS, changeA: 1, sure: false }] }), problemsAllowed: ['background', 'clamp-off'],
      };
    },
  },
  {
    name: 'zeroed-while-running', about: 'somebody zeroed the logger while the motor was running: nothing reads as minus its current, and the running motor as nothing',
    make: (dice) => {
      const { built, holds } = twoPresses(dice);
      const byA = -built.sheet.runA * dice.between(0.98, 1.02);
      const first = holds[0]!;
      return shop(dice, { built, holds, load: dry(built), rest: { window: [(first.fromS + first.toS) / 2, 99], levelsJudged: false, spoil: (columns) => between(columns, -1, Infinity, (value) => value + byA) } });
    },
  },
];
