import type { SituationClass } from '../families/scenes.ts';
import type { Hold } from '../physics/timeline.ts';
import type { Dice } from '../physics/dice.ts';
import { SHUT } from './commutated.ts';
import { build, dry, holdsOf, midway, shop, type Built } from './kit.ts';
import { soundMotor } from './loggers.ts';

/** A wiper motor: 2 to 3 A unloaded on the bench (Ford Focus 2006), 3 to 6 A on glass. */
function wiper(dice: Dice): Built {
  const runA = dice.between(3, 6);
  return build({ openV: dice.between(12.3, 14.2), runA, standingA: runA * dice.between(4.5, 6), noLoadRpm: dice.between(2600, 3400), startS: dice.between(0.02, 0.05), poles: 2, segments: dice.pick([12, 13]), batteryOhm: 0.008, wireOhm: dice.between(0.03, 0.08) }, dice);
}

/** Odd mechanisms and odd hands. */
export const MECHANISMS: readonly SituationClass[] = [
  {
    name: 'crawls', about: 'a mechanism so stiff that the motor only crawls, at a tenth of its speed: it turns all the time',
    make: (dice) => {
      const plain = soundMotor(dice);
      const ratio = dice.between(0.86, 0.92);
      // a load that grows with speed keeps the crawl steady
      const built = build({ ...plain.sheet, runA: plain.sheet.standingA * ratio }, dice);
      const fromS = dice.between(0.6, 1);
      const holds = holdsOf([{ fromS, toS: fromS + dice.between(2, 3.5) }]);
      return shop(dice, { built, holds, load: (_angle, speed) => { const movingNm = built.loadNm * (0.5 + (0.5 * Math.abs(speed)) / built.runRad); return { activeNm: 0, movingNm, restNm: 0.55 * built.loadNm }; } });
    },
  },
  {
    name: 'judders', about: 'a dry slide judders: it sticks for a moment and lets go again, three to seven times a second, all along',
    make: (dice) => {
      const built = soundMotor(dice);
      const everyS = dice.between(0.15, 0.3);
      const stickShare = dice.between(0.2, 0.35);
      const fromS = dice.between(0.6, 1);
      const holds = holdsOf([{ fromS, toS: fromS + dice.between(2, 3.5) }]);
      const stick = dice.between(2.2, 2.9);
      return shop(dice, { built, holds, load: dry(built, (_angle, timeS) => (((timeS - fromS) / everyS) % 1 < stickShare ? stick : 0.7)), rest: { facts: () => ({ fault: true, beat: { periodS: everyS, depthA: 0, sure: false }, steps: Array.from({ length: 40 }, (_, index) => ({ atS: fromS + index * 0.1, changeA: index % 2 === 0 ? 1 : -1, sure: false })) }) } });
    },
  },
  {
    name: 'wiper-interval', about: 'a wiper at intervals: its park switch ends each sweep and brakes it; two to four seconds of pause',
    make: (dice) => {
      const built = wiper(dice);
      const sweepS = dice.between(1.1, 1.5);
      let atS = dice.between(0.6, 1);
      const holds = holdsOf(Array.from({ length: 4 }, () => { const fromS = atS; atS += sweepS + dice.between(2, 4); return { fromS, toS: fromS + sweepS, brake: true }; }));
      const swing = dice.between(0.2, 0.45);
      const turn = built.runRad * sweepS;
      return shop(dice, { built, holds, load: dry(built, (angle) => 1 + swing * Math.sin((4 * Math.PI * angle) / turn)), look: { rateHz: dice.pick([860, 1000, 2000]) }, rest: { facts: () => ({ mildFault: true, beat: { periodS: sweepS / 2, depthA: 0, sure: false } }) } });
    },
  },
  {
    name: 'wiper-changes-speed', about: 'a wiper is switched from slow to fast while it runs: the third brush takes over within a few milliseconds',
    make: (dice) => {
      const { built, fromS, atS } = midway(dice, wiper, [0.6, 1], [1.5, 2.2]);
      const overS = dice.between(0.002, 0.006);
      const holds = holdsOf([{ fromS, toS: atS + dice.between(1.5, 2.5) }]);
      return shop(dice, { built, holds, lead: (timeS) => ({ ...SHUT, contact: timeS > atS && timeS < atS + overS ? 'open' : 'closed', fieldShare: timeS > atS ? 0.68 : 1 }), rest: { breaks: [{ fromS: atS, toS: atS + overS }], facts: () => ({ alsoRight: ['suspect'], steps: [{ atS, changeA: built.sheet.runA * 0.3, sure: false }], events: [{ code: 'step', atS, sure: false }] }) } });
    },
  },
  {
    name: 'taps', about: 'three taps of 90 to 200 ms: the motor turns each time, and each tap is little more than a start-up',
    make: (dice) => {
      const built = soundMotor(dice);
      let atS = dice.between(0.6, 1);
      const holds = holdsOf([0, 1, 2].map(() => { const fromS = atS; const toS = fromS + dice.between(0.09, 0.2); atS = toS + dice.between(0.8, 1.5); return { fromS, toS }; }));
      return shop(dice, { built, holds, look: { rateHz: dice.pick([1000, 2000, 3300]) } });
    },
  },
  {
    name: 'long-wait', about: 'forty seconds of nothing, and one press of half a second near the end',
    make: (dice) => {
      const built = soundMotor(dice);
      const fromS = dice.between(36, 40);
      const holds = holdsOf([{ fromS, toS: fromS + dice.between(0.45, 0.9) }]);
      return shop(dice, { built, holds, look: { rateHz: dice.pick([860, 1000]) } });
    },
  },
  {
    name: 'nut-drops-off', about: 'a spindle\'s nut comes to its end, drops off the thread, and the motor spins free; a sound start and a sound end in one press',
    make: (dice) => {
      const { built, fromS, atS } = midway(dice, soundMotor, [0.6, 1], [1.2, 2]);
      const holds: Hold[] = holdsOf([{ fromS, toS: atS + dice.between(1.2, 2) }]);
      return shop(dice, { built, holds, load: dry(built, (_angle, timeS) => (timeS < atS ? 1 : 0.02)), rest: { facts: () => ({ right: ['suspect', 'light'], events: [{ code: 'slip', atS, sure: false }, { code: 'step', atS, sure: false }], steps: [{ atS, changeA: -0.8 * built.sheet.runA, sure: false }] }) } });
    },
  },
];
