import type { Dice } from '../physics/dice.ts';
import type { SituationClass } from '../families/scenes.ts';
import { SHUT } from './commutated.ts';
import { build, dry, holdsOf, midway, shop, type Built } from './kit.ts';
import { sets } from './pumps.ts';
import { CrankedEngine } from './cranking.ts';
import type { Break } from '../physics/timeline.ts';

/** A recovery winch with its field in series: 70 A with an empty drum, 150 to 300 A in earnest, 420 A and more standing (makers' line-pull tables). */
function winch(dice: Dice): Built {
  const runA = dice.between(90, 190);
  return build({ openV: dice.between(12.5, 13.9), runA, standingA: runA * dice.between(3.6, 5), noLoadRpm: dice.between(3500, 5000), startS: dice.between(0.03, 0.08), poles: 4, segments: dice.pick([21, 23, 25]), batteryOhm: dice.between(0.004, 0.007), wireOhm: dice.between(0.003, 0.006), series: true }, dice);
}

export const WINCHES: readonly SituationClass[] = [
  {
    name: 'series-winch', about: 'a winch with its field in series pulls a load, three goes of the remote',
    make: (dice) => {
      const built = winch(dice);
      let atS = dice.between(0.5, 1);
      const holds = holdsOf([0, 1, 2].map(() => { const fromS = atS; atS += dice.between(1, 2.2); const one = { fromS, toS: atS }; atS += dice.between(0.7, 1.5); return one; }));
      return shop(dice, { built, holds, look: { tap: dice.pick(['none', 'battery']) } });
    },
  },
  {
    name: 'slack-rope', about: 'a winch takes up slack rope for a second, then the load hangs on it: two to three times the current from one moment to the next',
    make: (dice) => {
      const { built, fromS, atS } = midway(dice, winch, [0.5, 1], [1, 1.8]);
      const slack = dice.between(0.3, 0.45);
      const holds = holdsOf([{ fromS, toS: atS + dice.between(1.4, 2.4) }]);
      return shop(dice, {
        built, holds, load: dry(built, (_angle, timeS) => slack + (1 - slack) * sets(timeS, atS, 0.08)), look: { tap: dice.pick(['none', 'battery']) },
        rest: { facts: () => ({ alsoRight: ['suspect'], steps: [{ atS, changeA: built.sheet.runA * 0.5, sure: true }], events: [{ code: 'step', atS, sure: false }] }) },
      });
    },
  },
  {
    name: 'engine-fires', about: 'the starter turns the engine for a second, it fires and runs away from the starter: what is left is the spinning starter, until the key is let go',
    make: (dice) => {
      const built = starterMotor(dice, dice.between(90, 170));
      const fromS = dice.between(0.6, 1);
      const firesS = fromS + dice.between(0.7, 1.4);
      const holds = holdsOf([{ fromS, toS: firesS + dice.between(0.3, 0.8) }]);
      return shop(dice, {
        built, holds, load: new CrankedEngine(built, dice.pick([3, 4, 4, 6]), dice.between(0.5, 0.8), firesS).load, peakA: built.sheet.standingA * 0.9, look: { tap: dice.pick(['none', 'battery']), rateHz: dice.pick([1000, 2000, 3300]) },
        rest: { kinds: ['starter', 'motor'], facts: () => ({ events: [{ code: 'slip', atS: firesS, sure: false }, { code: 'step', atS: firesS, sure: false }], steps: [{ atS: firesS, changeA: -built.sheet.runA * 0.6, sure: false }], beat: { periodS: 0.2, depthA: 0, sure: false }, alsoHonest: ['suspect'] }) },
      });
    },
  },
  {
    name: 'solenoid-chatters', about: 'a flat battery: the starter\'s solenoid pulls in, the volts break down, it lets go, and again, five to ten times a second',
    make: (dice) => {
      const plain = starterMotor(dice, 150);
      const built = { ...plain, feed: { ...plain.feed, openV: dice.between(11, 11.8), batteryOhm: dice.between(0.025, 0.04) } };
      const fromS = dice.between(0.6, 1);
      const toS = fromS + dice.between(1.2, 2.2);
      const shutS = dice.between(0.025, 0.05);
      const openS = dice.between(0.07, 0.14);
      const holds = holdsOf([{ fromS, toS }]);
      const breaks: Break[] = [];
      for (let atS = fromS + shutS; atS < toS - openS; atS += shutS + openS) breaks.push({ fromS: atS, toS: atS + openS * dice.between(0.85, 1.15) });
      const open = (timeS: number): boolean => breaks.some((gone) => timeS >= gone.fromS && timeS < gone.toS);
      return shop(dice, {
        built, holds, load: dry(built, () => 1.8), lead: (timeS) => ({ ...SHUT, contact: open(timeS) ? 'open' : 'closed' }), peakA: 500, look: { tap: 'battery', rateHz: dice.pick([1000, 2000, 3300]) },
        rest: { breaks, kinds: ['starter', 'motor', 'solenoid'], splitAllowed: true, levelsJudged: false, facts: () => ({ right: ['intermittent', 'starved', 'suspect', 'stalled', 'locked'], noPeak: true, beat: { periodS: 0.15, depthA: 0, sure: false } }) },
      });
    },
  },
  {
    name: 'cold-crank', about: 'a cold morning: the starter draws 200 to 320 A and the battery stays at 9.4 to 10.3 V; slow, but it turns',
    make: (dice) => {
      const built = starterMotor(dice, dice.between(200, 320));
      const sagOhm = (built.sheet.openV - dice.between(9.7, 10.3)) / built.sheet.runA;
      const cold = { ...built, feed: { ...built.feed, batteryOhm: sagOhm, wireOhm: 0.001 } };
      const fromS = dice.between(0.6, 1);
      const holds = holdsOf([{ fromS, toS: fromS + dice.between(2, 3.5) }]);
      return shop(dice, {
        built: cold, holds, load: new CrankedEngine(cold, 4, dice.between(0.25, 0.4), Infinity).load, peakA: 900, look: { tap: dice.pick(['none', 'battery']), rateHz: dice.pick([1000, 2000, 3300]) },
        rest: { kinds: ['starter', 'motor'], standingA: null, facts: () => ({ alsoRight: ['starved', 'suspect'], beat: { periodS: 0.2, depthA: 0, sure: false } }) },
      });
    },
  },
];

/** A starter with magnets and a planetary gear: 1.0 to 1.4 kW, 500 to 700 A standing (makers' bench-test data). */
function starterMotor(dice: Dice, runA: number): Built {
  return build({ openV: dice.between(12.4, 12.8), runA, standingA: runA * dice.between(3.4, 4.4), noLoadRpm: dice.between(4000, 6000), startS: dice.between(0.02, 0.05), poles: 4, segments: dice.pick([23, 25, 29]), batteryOhm: dice.between(0.004, 0.006), wireOhm: 0.0015 }, dice);
}
