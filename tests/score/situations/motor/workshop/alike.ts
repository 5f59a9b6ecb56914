import type { SituationClass } from '../families/scenes.ts';
import { SHUT } from './commutated.ts';
import { build, Drawing, dry, fan, holdAt, holdsOf, otherLoad, shop } from './kit.ts';
import { soundMotor } from './loggers.ts';

/** Pairs that look alike: a fault and something sound beside it. */
export const ALIKE: readonly SituationClass[] = [
  {
    name: 'led-pulses-beside', about: 'tail lamps with LEDs dimmed by pulses hang on the same wire all along: 150 to 300 a second, a tenth to a quarter of the time on',
    make: (dice) => {
      const built = soundMotor(dice);
      const hz = dice.between(150, 300);
      const duty = dice.between(0.1, 0.25);
      const pulseA = built.sheet.runA * dice.between(0.2, 0.6);
      const fromS = dice.between(0.8, 1.2);
      const holds = holdsOf([{ fromS, toS: fromS + dice.between(1.5, 2.5) }, { fromS: fromS + 3.6, toS: fromS + 5.2 }]);
      return shop(dice, { built, holds, others: [new Drawing(built.feed.openV, (timeS) => ((timeS * hz) % 1 < duty ? pulseA : 0))], look: { rateHz: dice.pick([2000, 3300, 7000]), tap: dice.pick(['none', 'battery']) }, rest: { levelsJudged: false, problemsAllowed: ['background'], facts: () => ({ noPeak: true }) } });
    },
  },
  {
    name: 'one-lead-tap', about: 'the volts are taken between one of the motor\'s leads and earth: 12 V one way, next to nothing the other way, and it runs well both ways',
    make: (dice) => {
      const built = soundMotor(dice);
      const fromS = dice.between(0.6, 1);
      const holds = holdsOf([0, 1, 2, 3].map((press) => ({ fromS: fromS + press * 3, toS: fromS + press * 3 + 1.8, polarity: press % 2 === 0 ? 1 : -1, brake: true } as const)));
      const earthOhm = dice.between(0.005, 0.02);
      return shop(dice, {
        built, holds, look: { tap: 'motor', clampAt: dice.pick(['motor', 'feed']) },
        rest: { spoil: (columns) => ({ ...columns, voltageV: columns.voltageV?.map((value, index) => (value < -1 ? Math.abs(columns.currentA[index]!) * earthOhm : value)) ?? null }) },
      });
    },
  },
  {
    name: 'clamp-off-firm-feed', about: 'the clamp sits round a wire without current while the motor runs on a firm feed: the volts at the motor tell it by tenths of a volt and by the dip of the start',
    make: (dice) => {
      const runA = dice.between(5, 12);
      const built = build({ ...soundMotor(dice).sheet, runA, standingA: runA * dice.between(4, 5), batteryOhm: 0.008, wireOhm: dice.between(0.02, 0.04) }, dice);
      const fromS = dice.between(0.6, 1);
      const holds = holdsOf([{ fromS, toS: fromS + dice.between(1.5, 2.2) }, { fromS: fromS + 3.4, toS: fromS + 5 }]);
      return shop(dice, { built, holds, look: { tap: 'motor' }, clamp: { sense: 0 }, rest: { levelsJudged: false, problemsAllowed: ['clamp-off'], verdict: { right: ['unclear'], honest: ['suspect'] }, facts: () => ({ optional: true, right: ['unclear', 'suspect'] }) } });
    },
  },
  {
    name: 'blower-tapped', about: 'a heavy blower is held on for 0.35 to 0.7 s only: it is still gaining speed when it is let go, and its current still falling',
    make: (dice) => {
      const runA = dice.between(8, 20);
      const built = build({ openV: dice.between(12.3, 14.2), runA, standingA: runA * dice.between(4, 5.5), noLoadRpm: dice.between(3000, 4200), startS: dice.between(0.3, 0.5), poles: 2, segments: dice.pick([12, 20]), batteryOhm: 0.006, wireOhm: 0.02 }, dice);
      const fromS = dice.between(0.6, 1);
      const holds = holdsOf([{ fromS, toS: fromS + dice.between(0.35, 0.7) }]);
      return shop(dice, { built, holds, load: fan(built), rest: { facts: () => ({ right: ['normal'], noPeak: true, alsoHonest: ['unclear'] }), verdict: { right: ['normal', 'unclear'], honest: [] } } });
    },
  },
  {
    name: 'locked-on-bench-supply', about: 'a seized motor on a bench supply that limits its current: one flat level from beginning to end, and it never turns',
    make: (dice) => {
      const built = soundMotor(dice);
      const mostA = built.sheet.runA * dice.between(1.4, 2.4);
      const fromS = dice.between(0.6, 1.2);
      const holds = holdsOf([{ fromS, toS: fromS + dice.between(1.2, 2.5) }]);
      // where the volts are taken at the motor they break down with the supply's limit: starved is as true as locked
      return shop(dice, { built, holds, load: dry(built, () => 40), lead: () => ({ ...SHUT, mostA }), look: { tap: dice.pick(['motor', 'none']) }, rest: { facts: () => ({ noPeak: true, alsoRight: ['starved'] }) } });
    },
  },
  {
    name: 'amplifier', about: 'an audio amplifier plays: its capacitors fill with one peak, then the current goes with the bass, anywhere between a little and ten times that',
    make: (dice) => {
      const fromS = dice.between(0.6, 1.1);
      const holds = holdsOf([{ fromS, toS: fromS + dice.between(3, 5) }]);
      const openV = dice.between(12.3, 14.2);
      const idleA = dice.between(0.6, 1.2);
      const loudA = dice.between(4, 10);
      const beatS = 60 / dice.between(90, 130);
      const phases = [dice.between(0, 6), dice.between(0, 6)];
      const current = (timeS: number): number => {
        const hold = holdAt(holds, timeS);
        if (hold === null) return 0;
        const since = timeS - hold.fromS;
        const kick = Math.exp(-(since % beatS) / 0.09);
        const tones = 0.5 + 0.3 * Math.sin(2 * Math.PI * 3.1 * since + phases[0]!) + 0.2 * Math.sin(2 * Math.PI * 7.7 * since + phases[1]!);
        return idleA + 25 * Math.exp(-since / 0.004) + (since < 0.8 ? 0 : loudA * (0.7 * kick + 0.3 * tones) * (1 - 0.6 * Math.cos(2 * Math.PI * 110 * since)));
      };
      return otherLoad(dice, { parts: [new Drawing(openV, current)], holds, openV, peakA: 30, rest: { kinds: ['unknown'], levelsJudged: false, facts: () => ({ right: ['normal'], noPeak: true, alsoHonest: ['unclear'], beat: { periodS: beatS, depthA: 0, sure: false }, chopped: { hz: null, duty: 0.5, meanA: 0, sure: false }, events: [{ code: 'step', atS: fromS, sure: false }], steps: Array.from({ length: 60 }, (_, index) => ({ atS: fromS + index * 0.1, changeA: index % 2 === 0 ? 1 : -1, sure: false })) }), problemsAllowed: ['chopped'] } });
    },
  },
];
