import type { Dice } from '../physics/dice.ts';
import type { SituationClass } from '../families/scenes.ts';
import { SHUT } from './commutated.ts';
import { build, fan, holdsOf, shop, type Built } from './kit.ts';

/** A seat, roof or window motor of 2 to 7 A that would stand at 12 to 28 A (data sheets of window and seat motors). */
function bodyMotor(dice: Dice, openV: number): Built {
  const runA = dice.between(2, 7);
  return build({ openV, runA, standingA: runA * dice.between(3.2, 5.5), noLoadRpm: dice.between(2400, 4800), startS: dice.between(0.015, 0.05), poles: 2, segments: dice.pick([8, 10, 12]), batteryOhm: dice.between(0.006, 0.015), wireOhm: dice.between(0.04, 0.12) }, dice);
}

/** What feeds the motor in a workshop: supplies, chargers, an alternator, a battery that other circuits pull down. */
export const SUPPLIES: readonly SituationClass[] = [
  {
    name: 'bench-supply', about: 'fed from a bench supply that limits the start to 1.2 to 1.8 times the running current: a flat top that is no standing rotor',
    make: (dice) => {
      const built = bodyMotor(dice, dice.between(12, 13.8));
      const mostA = built.sheet.runA * dice.between(1.4, 2);
      const fromS = dice.between(0.6, 1.2);
      const holds = holdsOf([{ fromS, toS: fromS + dice.between(1.8, 3) }]);
      return shop(dice, { built, holds, lead: () => ({ ...SHUT, mostA }), look: { tap: dice.pick(['motor', 'none']) }, rest: { facts: () => ({ noPeak: true }) } });
    },
  },
  {
    name: 'crank-beside', about: 'somebody starts the engine while the motor runs: the battery sags to 9.3 to 10.4 V for half a second to a second, none of it under the clamp',
    make: (dice) => {
      const built = bodyMotor(dice, dice.between(12.4, 12.8));
      const fromS = dice.between(0.6, 1);
      const atS = fromS + dice.between(1, 1.6);
      const forS = dice.between(0.5, 1);
      const holds = holdsOf([{ fromS, toS: atS + forS + dice.between(0.8, 1.4) }]);
      const crankA = (built.sheet.openV - dice.between(9.5, 10.4)) / built.sheet.batteryOhm;
      const scene = shop(dice, { built, holds, look: { tap: dice.pick(['battery', 'none']) } });
      return {
        ...scene, levelsJudged: false,
        bench: { ...scene.bench, elsewhereA: (timeS) => (timeS > atS && timeS < atS + forS ? crankA * (0.9 + 0.1 * Math.cos(2 * Math.PI * 9 * (timeS - atS))) : 0) },
        // volts of code D (ISO 16750-2: 9 to 10.5 V): all three words are right
        facts: () => ({ alsoRight: ['suspect', 'starved'], steps: [{ atS, changeA: -built.sheet.runA * 0.2, sure: false }, { atS: atS + forS, changeA: built.sheet.runA * 0.2, sure: false }] }),
      };
    },
  },
  {
    name: 'charger-feeds', about: 'an old unsmoothed charger hangs on the battery: 100 or 120 Hz of 0.4 to 1.2 V lie on the volts and on the current',
    make: (dice) => {
      const plain = bodyMotor(dice, dice.between(13.2, 14.4));
      const built = { ...plain, feed: { ...plain.feed, rippleV: dice.between(0.4, 1.2), rippleHz: dice.pick([100, 120]) } };
      const fromS = dice.between(0.6, 1);
      const holds = holdsOf([{ fromS, toS: fromS + dice.between(1.8, 2.6) }, { fromS: fromS + 4, toS: fromS + 6 }]);
      return shop(dice, { built, holds, load: fan(built) });
    },
  },
  {
    name: 'alternator-takes-over', about: 'the engine is running and its regulator cuts in during the run: the volts climb from 12.5 to over 14 within a second or two',
    make: (dice) => {
      const built = bodyMotor(dice, dice.between(12.3, 12.7));
      const fromS = dice.between(0.6, 1);
      const atS = fromS + dice.between(0.8, 1.4);
      const tauS = dice.between(0.3, 0.8);
      const chargeA = dice.between(1.5, 1.9) / built.sheet.batteryOhm;
      const holds = holdsOf([{ fromS, toS: atS + dice.between(2.5, 3.5) }]);
      const scene = shop(dice, { built, holds });
      return {
        ...scene, levelsJudged: false, bench: { ...scene.bench, elsewhereA: (timeS) => (timeS < atS ? 0 : -chargeA * (1 - Math.exp(-(timeS - atS) / tauS))) },
        facts: () => ({ steps: [{ atS, changeA: built.sheet.runA * 0.12, sure: false }] }),
      };
    },
  },
];
