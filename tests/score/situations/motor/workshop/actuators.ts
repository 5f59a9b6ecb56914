import type { Dice } from '../physics/dice.ts';
import type { SituationClass } from '../families/scenes.ts';
import { SHUT } from './commutated.ts';
import { build, Drawing, dry, fan, holdAt, holdsOf, otherLoad, shop } from './kit.ts';
import { soundMotor } from './loggers.ts';

/** Sound drives whose current goes its own ways by design. */
export const ACTUATORS: readonly SituationClass[] = [
  {
    name: 'parking-brake', about: 'an electric parking brake: free travel, then the clamping force builds and the controller switches off at its set current, with the motor still turning; then the release',
    make: (dice: Dice) => {
      // calipers: 3 to 5 A in free travel, switched off at 12 to 18 A, 30 to 40 A standing (makers' data)
      const runA = dice.between(3, 5);
      const built = build({ openV: dice.between(12.2, 14.2), runA, standingA: dice.between(30, 40), noLoadRpm: dice.between(9000, 13_000), startS: dice.between(0.02, 0.04), poles: 2, segments: dice.pick([8, 10, 12]), batteryOhm: 0.006, wireOhm: dice.between(0.02, 0.05) }, dice);
      const fromS = dice.between(0.6, 1);
      const touchS = fromS + dice.between(0.4, 0.6);
      const buildS = dice.between(0.25, 0.45);
      const most = dice.between(3.2, 4);
      const applyS = touchS + buildS;
      const backS = applyS + dice.between(1, 2);
      const holds = holdsOf([{ fromS, toS: applyS }, { fromS: backS, toS: backS + dice.between(0.6, 0.9), polarity: -1 }]);
      const share = (_angle: number, timeS: number): number => (timeS < touchS ? 1 : timeS < backS ? 1 + (most - 1) * Math.min(1, (timeS - touchS) / buildS) : Math.max(1, most * (1 - (timeS - backS) / 0.25)));
      return shop(dice, { built, holds, load: dry(built, share), look: { rateHz: dice.pick([1000, 2000, 3300]), tap: dice.pick(['none', 'battery']) }, rest: { facts: () => ({ mildFault: true, noPeak: true, steps: [{ atS: touchS, changeA: 1, sure: false }, { atS: touchS + buildS, changeA: 1, sure: false }] }) } });
    },
  },
  {
    name: 'power-tailgate', about: 'a power tailgate: its gas springs take over half-way, so the motor has next to nothing to do for a second or two, and more again towards the end',
    make: (dice) => {
      const built = build({ ...soundMotor(dice).sheet, runA: 6, standingA: dice.between(24, 32) }, dice);
      const fromS = dice.between(0.6, 1);
      const lengthS = dice.between(5, 7);
      const least = dice.between(0.1, 0.2);
      const holds = holdsOf([{ fromS, toS: fromS + lengthS, brake: true }]);
      const share = (_angle: number, timeS: number): number => { const way = Math.min(1, Math.max(0, (timeS - fromS) / lengthS)); return least + (1 - least) * (2 * way - 1) ** 2; };
      return shop(dice, { built, holds, load: dry(built, share), look: { rateHz: dice.pick([860, 1000, 2000]) }, rest: { facts: () => ({ mildFault: true, beat: { periodS: 1, depthA: 0, sure: false } }) } });
    },
  },
  {
    name: 'blower-knob', about: 'somebody turns the blower\'s knob from one to four within a press: a resistor less each time, two or three steps up',
    make: (dice) => {
      const runA = dice.between(8, 18);
      const built = build({ openV: dice.between(12.3, 14.2), runA, standingA: runA * dice.between(4, 5.5), noLoadRpm: dice.between(3000, 4200), startS: dice.between(0.05, 0.09), poles: 2, segments: dice.pick([12, 20]), batteryOhm: 0.006, wireOhm: 0.02 }, dice);
      const fromS = dice.between(0.6, 1);
      const turns = [fromS + dice.between(1.8, 2.2), fromS + dice.between(3.8, 4.2)];
      const ohms = [dice.between(0.6, 0.8), dice.between(0.2, 0.3), 0].map((share) => (share * built.sheet.openV) / runA);
      const holds = holdsOf([{ fromS, toS: fromS + 6 }]);
      return shop(dice, {
        built, holds, load: fan(built), lead: (timeS) => ({ ...SHUT, extraOhm: ohms[turns.filter((atS) => timeS >= atS).length]! }), look: { tap: dice.pick(['none', 'battery']) },
        rest: { standingA: null, levelsJudged: false, facts: () => ({ alsoRight: ['suspect'], steps: turns.map((atS) => ({ atS, changeA: runA * 0.3, sure: false })), events: turns.map((atS) => ({ code: 'step' as const, atS, sure: false })) }) },
      });
    },
  },
  {
    name: 'brushless-fan', about: 'a brushless fan: its electronics bring it up over one to three seconds without a peak, six current humps a turn of its field',
    make: (dice) => {
      const openV = dice.between(12.3, 14.3);
      const runA = dice.between(6, 30);
      const rampS = dice.between(1, 3);
      const fromS = dice.between(0.6, 1);
      const holds = holdsOf([{ fromS, toS: fromS + rampS + dice.between(2.5, 4) }]);
      const fieldHz = dice.between(120, 220);
      let turned = 0;
      let before = 0;
      const current = (timeS: number): number => {
        const hold = holdAt(holds, timeS);
        if (hold === null) return 0;
        const speed = Math.min(1, (timeS - hold.fromS) / rampS);
        turned += speed * fieldHz * (timeS - before);
        before = timeS;
        // a fan's power goes with the cube of its speed, the current of electronics on fixed volts with its power
        return (0.15 + runA * speed ** 3) * (1 + 0.06 * Math.cos(2 * Math.PI * 6 * turned));
      };
      return otherLoad(dice, { parts: [new Drawing(openV, (timeS) => { if (holdAt(holds, timeS) === null) before = timeS; return current(timeS); })], holds, openV, peakA: runA * 1.2, rest: { kinds: ['motor', 'unknown'] } });
    },
  },
  {
    name: 'suppressor-peak', about: 'a suppressor\'s capacitor beside the motor fills as the switch makes: one needle of three to eight times the standing current, gone within a millisecond',
    make: (dice) => {
      const built = soundMotor(dice);
      const fromS = dice.between(0.6, 1);
      const holds = holdsOf([{ fromS, toS: fromS + dice.between(1.5, 2.5) }, { fromS: fromS + 3.6, toS: fromS + 5.2 }]);
      const needleA = built.sheet.standingA * dice.between(3, 8);
      const needle = new Drawing(built.feed.openV, (timeS) => { const hold = holdAt(holds, timeS); return hold === null ? 0 : needleA * Math.exp(-(timeS - hold.fromS) / 0.0002); });
      return shop(dice, { built, holds, others: [needle], clamp: { rangeA: built.sheet.standingA * 10 }, rest: { levelsJudged: false, facts: () => ({ noPeak: true, events: [{ code: 'spike', atS: fromS, sure: false }] }) } });
    },
  },
];
