import type { Dice } from '../physics/dice.ts';
import type { Break } from '../physics/timeline.ts';
import type { SituationClass } from '../families/scenes.ts';
import { OFF, ON } from './drive.ts';
import { inTurn, oneMotor, pressed, wander } from './kit.ts';
import { batteryV, rigOf, slide, stopped, wheel, type Rig } from './rig.ts';

/** a small geared motor of a body: doors, steps, spreaders */
function geared(dice: Dice, cells: 12 | 'either', runA: readonly [number, number]): Rig {
  return rigOf({ openV: batteryV(dice, cells), runA: dice.between(...runA), timesStanding: dice.between(3.6, 5), rpm: dice.between(2400, 4200), startS: dice.between(0.02, 0.05), segments: dice.pick([8, 10, 12]) }, dice);
}

/** Faults of motors, of what they drive, and of what feeds them. */
export const WEAR: readonly SituationClass[] = [
  {
    name: 'coiled-cable-breaks', about: 'a tail lift\'s coiled cable is broken inside and opens each time the platform bounces, two or three times a second, for a twentieth of a second',
    make: (dice) => {
      const rig = geared(dice, 'either', [4, 12]);
      const fromS = dice.between(0.7, 1.3);
      const everyS = dice.between(0.32, 0.55);
      const firstS = fromS + dice.between(0.6, 1);
      const breaks: Break[] = Array.from({ length: dice.whole(3, 6) }, (_, index) => { const atS = firstS + everyS * (index + dice.between(-0.06, 0.06)); return { fromS: atS, toS: atS + dice.between(0.025, 0.085) }; });
      const holds = pressed([{ fromS, forS: breaks.at(-1)!.toS - fromS + dice.between(0.7, 1.5) }]);
      return oneMotor(dice, { rig, holds, leastHz: 500, meanwhile: (timeS) => (breaks.some((gone) => timeS >= gone.fromS && timeS < gone.toS) ? OFF : ON), look: { tap: dice.pick(['none', 'battery']) }, rest: { breaks, facts: () => ({ beat: { periodS: everyS, depthA: 0, sure: false } }) } });
    },
  },
  {
    name: 'trailer-earth', about: 'a trailer\'s earth pin is green: 5.5 to 7.8 V are left for its motor, more and less as the plug shakes',
    make: (dice) => {
      const rig = rigOf({ openV: batteryV(dice, 12), runA: dice.between(4, 9), timesStanding: dice.between(6, 8), rpm: dice.between(2600, 4200), startS: dice.between(0.015, 0.04), segments: dice.pick([8, 10, 12]) }, dice);
      const pinOhm = (rig.plate.openV - dice.between(5.8, 7.4)) / rig.plate.runA;
      const holds = pressed(inTurn(dice, 2, [1.6, 2.8], [1.2, 2]));
      const shake = wander(dice, 0.15, holds.at(-1)!.toS);
      const ohm = (timeS: number): number => pinOhm * (1 + 0.04 * Math.max(-2, Math.min(2, shake(timeS))));
      return oneMotor(dice, { rig, holds, meanwhile: (timeS) => ({ ...ON, ohm: ohm(timeS) }), look: { tap: 'motor' }, rest: { standingA: rig.plate.openV / (rig.plate.openV / rig.standingA + pinOhm), levelsJudged: false, verdict: { right: ['starved'], honest: ['suspect'] }, facts: () => ({ right: ['starved', 'normal', 'suspect', 'unclear'] }) } });
    },
  },
  {
    name: 'string-wraps', about: 'a pump\'s wheel picks up a piece of string: turn by turn it winds itself in, until it stands',
    make: (dice) => {
      const rig = rigOf({ openV: batteryV(dice, 12), runA: dice.between(3, 8), timesStanding: dice.between(4, 5.5), rpm: dice.between(2800, 4600), startS: dice.between(0.02, 0.05), segments: dice.pick([8, 10, 12]) }, dice);
      const fromS = dice.between(0.7, 1.3);
      const catchS = fromS + dice.between(0.9, 1.8);
      const turns = dice.between(12, 36);
      const holds = pressed([{ fromS, forS: catchS - fromS + dice.between(2.6, 4) }]);
      const plain = wheel(rig);
      let caughtAt: number | null = null;
      return oneMotor(dice, {
        rig, holds,
        machine: (angle, speed, timeS) => {
          if (timeS < catchS) return plain(angle, speed, timeS);
          caughtAt ??= angle;
          const { dragNm } = plain(angle, speed, timeS);
          const woundNm = rig.spec.kVs * rig.standingA * 1.15 * ((angle - caughtAt) / (2 * Math.PI * turns)) ** 3;
          return { pullNm: 0, dragNm: dragNm + woundNm, stickNm: woundNm };
        },
      });
    },
  },
  {
    name: 'obstacle-reverses', about: 'a powered door meets a bag, stands against it for a quarter to half a second, and its controller sends it back without a pause',
    make: (dice) => {
      const rig = geared(dice, 'either', [4, 9]);
      const fromS = dice.between(0.7, 1.3);
      const runS = dice.between(1, 1.8);
      const standsS = dice.between(0.3, 0.5);
      const backS = fromS + runS + standsS + dice.between(0.01, 0.03);
      const holds = pressed([{ fromS, forS: runS + standsS, shorted: true }, { fromS: backS, forS: dice.between(1, 1.6), way: -1 }]);
      return oneMotor(dice, {
        rig, holds, machine: stopped(rig, slide(rig), rig.runRad * (runS - 0.1), dice.between(0.7, 1.6)), look: { clampAt: 'motor' },
        rest: { facts: (press) => ({ noPeak: press === 1, events: [{ code: 'reversal', atS: backS, sure: press === 0 }] }) },
      });
    },
  },
  {
    name: 'wet-salt', about: 'a spreader\'s auger in wet salt: it turns, in lumps, and takes a tenth to two fifths more than the limits that were typed',
    make: (dice) => {
      const rig = geared(dice, 'either', [12, 26]);
      const holds = pressed(inTurn(dice, dice.whole(1, 2), [2.5, 4.5], [1.2, 2]));
      const lumps = wander(dice, 0.12, holds.at(-1)!.toS);
      const highA = rig.plate.runA / dice.between(1.1, 1.4);
      return oneMotor(dice, { rig, holds, machine: slide(rig, (_angle, timeS) => Math.max(0.5, 1 + 0.12 * lumps(timeS))), rest: { options: { runLimitsA: [highA * dice.between(0.4, 0.6), highA] } } });
    },
  },
  {
    name: 'bent-auger', about: 'a grain auger is bent and rubs over a quarter of each turn, which doubles its load there',
    make: (dice) => {
      const rig = geared(dice, 'either', [8, 18]);
      const turnS = dice.between(0.5, 1.1);
      const turnRad = rig.runRad * turnS;
      const more = dice.between(0.7, 1);
      const holds = pressed([{ fromS: dice.between(0.7, 1.3), forS: dice.between(6.5, 8.5) * turnS }]);
      const rubs = (angle: number): number => { const place = angle / turnRad - Math.floor(angle / turnRad); return place < 0.25 ? 0.5 - 0.5 * Math.cos(8 * Math.PI * place) : 0; };
      const plain = slide(rig, (angle) => 0.8 + more * rubs(angle));
      const passedS: number[] = [];
      return oneMotor(dice, {
        rig, holds, machine: (angle, speed, timeS) => { if (Math.floor(angle / turnRad) > passedS.length) passedS.push(timeS); return plain(angle, speed, timeS); },
        rest: { facts: () => ({ fault: true, beat: { periodS: (passedS.at(-1)! - passedS[0]!) / (passedS.length - 1), depthA: rig.plate.runA * more, sure: true } }) },
      });
    },
  },
  {
    name: 'dies-between-presses', about: 'the motor runs once; then a brush hangs and it takes nothing any more, with all the volts at its plug',
    make: (dice) => {
      const rig = geared(dice, 'either', [3, 14]);
      const holds = pressed(inTurn(dice, dice.whole(3, 4), [1, 2.2], [1, 2]));
      return oneMotor(dice, {
        rig, holds, meanwhile: (_timeS, hold) => (hold === holds[0] ? ON : { ...ON, state: 'unplugged' }), look: { tap: 'motor' },
        rest: { verdict: { right: ['dead'], honest: ['suspect'] }, facts: (press) => (press === 0 ? {} : { optional: true, right: ['dead', 'unclear', 'unpowered'], noPeak: true }) },
      });
    },
  },
];
