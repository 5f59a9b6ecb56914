import type { Dice } from '../physics/dice.ts';
import type { Break } from '../physics/timeline.ts';
import type { SituationClass } from '../families/scenes.ts';
import { SHUT } from './commutated.ts';
import { build, Drawing, dry, fan, holdsOf, midway, shop, type Built } from './kit.ts';
import { soundMotor } from './loggers.ts';

/** Relays, fuses, limit switches and what else hangs on the feed. */
export const CONTACTS: readonly SituationClass[] = [
  {
    name: 'relay-chatters', about: 'the relay\'s coil has a bad earth: its contact opens for 15 to 60 ms again and again all through the press, in no rhythm',
    make: (dice) => {
      const built = soundMotor(dice);
      const fromS = dice.between(0.6, 1);
      const toS = fromS + dice.between(2, 3);
      const holds = holdsOf([{ fromS, toS }]);
      const breaks: Break[] = [];
      for (let atS = fromS + dice.between(0.3, 0.5); atS < toS - 0.1;) {
        const openS = dice.between(0.015, 0.06);
        breaks.push({ fromS: atS, toS: atS + openS });
        atS += openS + dice.spread(0.05, 0.4);
      }
      return shop(dice, { built, holds, lead: (timeS) => ({ ...SHUT, contact: breaks.some((gone) => timeS >= gone.fromS && timeS < gone.toS) ? 'open' : 'closed' }), look: { rateHz: dice.pick([1000, 2000, 3300]), tap: dice.pick(['none', 'battery']) }, rest: { breaks } });
    },
  },
  {
    name: 'fuse-blows', about: 'the mechanism jams, the motor stalls, and after half a second to two seconds its fuse opens while the switch is still held',
    make: (dice) => {
      const built = soundMotor(dice);
      const fromS = dice.between(0.6, 1);
      const jamS = fromS + dice.between(0.8, 1.5);
      const blowsS = jamS + dice.between(0.5, 2);
      const holds = holdsOf([{ fromS, toS: blowsS + dice.between(0.6, 1.2) }]);
      return shop(dice, {
        built, holds, load: dry(built, (_angle, timeS) => (timeS < jamS ? 1 : 30)), lead: (timeS) => ({ ...SHUT, contact: timeS < blowsS ? 'closed' : 'open' }), look: { tap: dice.pick(['none', 'battery']) },
        // nothing flows once it is open: that is no stall any more, and may be reported as the end of the press
        rest: { facts: () => ({ events: [{ code: 'cut-out', atS: blowsS, sure: false }], steps: [{ atS: blowsS, changeA: -built.sheet.standingA, sure: false }] }) },
      });
    },
  },
  {
    name: 'limit-switch', about: 'an actuator runs to its built-in limit switch, which opens; the hand stays on the button for a second or two. Then back',
    make: (dice) => {
      const built = soundMotor(dice);
      const fromS = dice.between(0.6, 1);
      const runS = dice.between(1.2, 2);
      const heldS = dice.between(0.8, 2);
      const backS = fromS + runS + heldS + dice.between(0.8, 1.5);
      const end = built.runRad * runS * 0.97;
      const holds = holdsOf([{ fromS, toS: fromS + runS + heldS }, { fromS: backS, toS: backS + runS * 0.8, polarity: -1 }]);
      return shop(dice, {
        built, holds, lead: (timeS, _sinceS, motor) => ({ ...SHUT, contact: motor.angle > end && timeS < backS ? 'open' : 'closed' }), look: { tap: dice.pick(['none', 'battery']) },
        rest: { facts: () => ({ right: ['normal'] }) },
      });
    },
  },
  {
    name: 'injectors-beside', about: 'the engine idles, and its injectors and coils draw pulses of 2 to 5 ms from the same wire all along, 20 to 45 a second',
    make: (dice) => {
      const built = soundMotor(dice);
      const hz = dice.between(20, 45);
      const pulseS = dice.between(0.002, 0.005);
      const pulseA = built.sheet.runA * dice.between(0.3, 0.8);
      const fromS = dice.between(0.8, 1.2);
      const holds = holdsOf([{ fromS, toS: fromS + dice.between(1.5, 2.5) }, { fromS: fromS + 3.6, toS: fromS + 5.2 }]);
      const pulses = new Drawing(built.feed.openV, (timeS) => { const within = ((timeS * hz) % 1) / hz; return within < pulseS ? (pulseA * within) / pulseS : 0; });
      return shop(dice, { built, holds, others: [pulses], look: { rateHz: dice.pick([2000, 3300, 7000]), tap: dice.pick(['none', 'battery']) }, rest: { levelsJudged: false, problemsAllowed: ['background'], facts: () => ({ noPeak: true }) } });
    },
  },
  {
    name: 'lamp-joins-and-stays', about: 'somebody switches a work lamp on while the motor runs, and it stays on after the release',
    make: (dice) => {
      const { built, fromS, atS } = midway(dice, soundMotor, [0.6, 1], [1, 1.6]);
      const lampA = built.sheet.runA * dice.between(0.4, 0.8);
      const holds = holdsOf([{ fromS, toS: atS + dice.between(1.2, 2) }]);
      const lamp = new Drawing(built.feed.openV, (timeS) => (timeS < atS ? 0 : lampA * (1 + 9 * Math.exp(-(timeS - atS) / 0.025))));
      return shop(dice, { built, holds, others: [lamp], afterS: dice.between(1, 1.6), peakA: built.sheet.standingA + 10 * lampA, rest: { levelsJudged: false, facts: () => ({ alsoRight: ['suspect'], alsoHonest: ['unclear'], steps: [{ atS, changeA: lampA, sure: true }], events: [{ code: 'step', atS, sure: false }] }) } });
    },
  },
  {
    name: 'load-goes-between', about: 'a lamp burns on the same wire at first and is switched off between two presses',
    make: (dice) => {
      const built = soundMotor(dice);
      const lampA = built.sheet.runA * dice.between(0.4, 1.5);
      const fromS = dice.between(0.8, 1.2);
      const offS = fromS + 2.2 + dice.between(0.4, 0.8);
      const holds = holdsOf([{ fromS, toS: fromS + 2.2 }, { fromS: offS + 1, toS: offS + 3 }]);
      return shop(dice, { built, holds, others: [new Drawing(built.feed.openV, (timeS) => (timeS < offS ? lampA : 0))], rest: { levelsJudged: false, problemsAllowed: ['background'] } });
    },
  },
  {
    name: 'second-fan-follows', about: 'two fans on one feed: the second starts 0.5 to 1.5 s after the first and runs on a second longer',
    make: (dice) => seatOrFans(dice, 'fans'),
  },
  {
    name: 'memory-seat', about: 'a memory seat: two motors on one feed, one after the other with an overlap; each stops at its own place',
    make: (dice) => seatOrFans(dice, 'seat'),
  },
];

function seatOrFans(dice: Dice, what: 'seat' | 'fans'): ReturnType<typeof shop> {
  const make = (): Built => {
    const runA = what === 'seat' ? dice.between(2.5, 5) : dice.between(6, 12);
    return build({ openV: 13, runA, standingA: runA * dice.between(3.5, 5), noLoadRpm: dice.between(2400, 4200), startS: what === 'seat' ? dice.between(0.015, 0.04) : dice.between(0.05, 0.08), poles: 2, segments: dice.pick([8, 10, 12]), batteryOhm: 0.006, wireOhm: 0.02 }, dice);
  };
  const [first, second] = [make(), make()];
  const fromS = dice.between(0.6, 1);
  const joinS = fromS + dice.between(0.7, 1.5) + (what === 'fans' ? 0.4 : 0);
  const offS = joinS + dice.between(1, 1.8);
  const toS = offS + dice.between(0.9, 1.5);
  const holds = holdsOf([{ fromS, toS }]);
  const load = what === 'seat' ? dry : fan;
  const other = shop(dice, { built: second, holds: holdsOf([{ fromS: joinS, toS }]), load: load(second) }).bench.motors[0]!;
  const scene = shop(dice, { built: first, holds: holdsOf([{ fromS, toS: offS }]), load: load(first), others: [other as never], peakA: first.sheet.standingA + second.sheet.standingA, look: { tap: dice.pick(['none', 'battery']), durationS: toS + 0.8 } });
  const steps = [{ atS: joinS, changeA: second.sheet.runA, sure: true }, { atS: offS, changeA: -first.sheet.runA, sure: true }];
  // which of the two is judged changes along the way, so none is held to stand
  return { ...scene, holds, bench: { ...scene.bench, motors: [scene.bench.motors[0]!, other] }, judgedMotors: 0, standingA: null, levelsJudged: false, facts: () => ({ right: ['normal', 'suspect'], steps, events: steps.map((step) => ({ code: 'step' as const, atS: step.atS, sure: false })) }) };
}
