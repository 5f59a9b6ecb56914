import type { Dice } from '../physics/dice.ts';
import type { SituationClass } from '../families/scenes.ts';
import { SHUT } from './commutated.ts';
import { build, fan, holdsOf, shop, type Built } from './kit.ts';

/** An engine's cooling fan of 200 to 500 W (makers' data: 16 to 40 A at 13 V). */
function coolingFan(dice: Dice): Built {
  const runA = dice.between(14, 36);
  return build({ openV: dice.between(12.5, 14.3), runA, standingA: runA * dice.between(3.5, 5), noLoadRpm: dice.between(2600, 3600), startS: dice.between(0.15, 0.35), poles: 4, segments: dice.pick([20, 21, 23]), batteryOhm: 0.006, wireOhm: dice.between(0.01, 0.03) }, dice);
}

/** A cabin blower: 4 to 20 A. */
function blower(dice: Dice): Built {
  const runA = dice.between(4, 20);
  return build({ openV: dice.between(12.3, 14.3), runA, standingA: runA * dice.between(4, 6), noLoadRpm: dice.between(3000, 4500), startS: dice.between(0.2, 0.45), poles: 2, segments: dice.pick([10, 12, 20]), batteryOhm: 0.008, wireOhm: dice.between(0.02, 0.06) }, dice);
}

export const FANS: readonly SituationClass[] = [
  {
    name: 'fan-slow-ramp', about: 'a cooling fan\'s controller brings it up over four to eight seconds: no start-up peak at all, and nothing wrong',
    make: (dice) => {
      const built = coolingFan(dice);
      const rampS = dice.between(4, 8);
      const fromS = dice.between(0.6, 1);
      const holds = holdsOf([{ fromS, toS: fromS + rampS + dice.between(3, 5) }]);
      return shop(dice, { built, holds, load: fan(built), lead: (_timeS, sinceS) => ({ ...SHUT, duty: Math.min(1, 0.15 + (0.85 * sinceS) / rampS) }), look: { tap: dice.pick(['none', 'battery']), rateHz: dice.pick([860, 1000, 2000]) }, rest: { standingA: null, facts: () => ({ noPeak: true }) } });
    },
  },
  {
    name: 'restarted-while-turning', about: 'a blower is switched on again while it still turns: the second start draws far less than the first',
    make: (dice) => {
      const built = blower(dice);
      const fromS = dice.between(0.6, 1);
      const offS = fromS + dice.between(2.5, 4);
      const againS = offS + dice.between(0.5, 0.9);
      const holds = holdsOf([{ fromS, toS: offS }, { fromS: againS, toS: againS + dice.between(2, 3) }]);
      return shop(dice, { built, holds, load: fan(built) });
    },
  },
  {
    name: 'turned-by-the-wind', about: 'the wind turns the fan before it is switched on: volts at the motor without a current, and a small start',
    make: (dice) => {
      const built = coolingFan(dice);
      const windRad = built.runRad * dice.between(0.15, 0.4);
      const fromS = dice.between(0.8, 1.2);
      const holds = holdsOf([{ fromS, toS: fromS + dice.between(3, 4) }]);
      const plain = fan(built);
      const scene = shop(dice, {
        built, holds, look: { tap: 'motor' },
        load: (angle, speed, timeS) => {
          const drag = plain(angle, speed, timeS);
          // the wind drives as long as it is faster than the wheel
          return speed < windRad ? { activeNm: -built.spec.frictionNm - built.loadNm * (1 - speed / windRad), movingNm: 0, restNm: 0 } : drag;
        },
      });
      const motor = scene.bench.motors[0]!.motor as { speed: number };
      motor.speed = windRad;
      return scene;
    },
  },
];
