import type { Dice } from '../physics/dice.ts';
import { Geared } from '../physics/mechanism.ts';
import { Motor } from '../physics/motor.ts';
import { MotorPart } from '../physics/parts.ts';
import { Timeline, type Hold } from '../physics/timeline.ts';
import type { Scene } from '../truth/situate.ts';
import { drawClamp, drawHolds, drawMotor } from './draw.ts';
import { brokenFeed } from './feeds.ts';
import { motorScene, radiansAfter, stopSpring, type SituationClass } from './scenes.ts';
import { againstStop } from './stalls.ts';

const STOP = { runS: [1, 2], heldS: [0.5, 1.5], windTurns: [0.5, 3] } as const;

/** A controller that changes the speed in the middle of a press. */
function speedStep(dice: Dice): Scene {
  const [first, then] = dice.chance(0.5) ? [dice.between(0.55, 0.7), 1] : [1, dice.between(0.55, 0.7)];
  const holds = drawHolds(dice, { lengthS: [4, 6], brake: false });
  const atS = holds[0]!.fromS + dice.between(1.8, 2.6);
  const scene = motorScene(dice, { motor: { load: 'square', startS: [0.03, 0.1], ratio: [0.2, 0.3] }, holds, look: { tap: dice.pick(['battery', 'none']) }, controller: () => ({ chopHz: null, duty: (sinceS) => (sinceS < atS - holds[0]!.fromS ? first : then) }) });
  return { ...scene, facts: () => ({ noPeak: true, alsoRight: ['suspect'], steps: [{ atS, changeA: 0, sure: false }], events: [{ code: 'step', atS, sure: false }] }) };
}

/** A second motor on the wire starts while the first runs. */
function secondJoins(dice: Dice): Scene {
  const first = drawMotor(dice, { runA: [3, 9], ratio: [0.2, 0.32], startS: [0.012, 0.05], feedShare: [0.03, 0.06], supplyV: dice.between(12.3, 14.3) });
  const second = drawMotor(dice, { runA: [first.runA * 0.6, first.runA * 1.4], ratio: [0.2, 0.32], startS: [0.012, 0.05], supplyV: first.supplyV });
  const holds = drawHolds(dice, { lengthS: [3, 4.5] });
  const atS = holds[0]!.fromS + dice.between(1.2, 1.9);
  const late: Hold[] = [{ ...holds[0]!, fromS: atS }];
  const other = new MotorPart(new Motor(second.motor, new Geared(second.mechanism)), new Timeline(late, []), second.contactOhm);
  const scene = motorScene(dice, { drawn: first, holds, others: () => [other], look: { tap: dice.pick(['battery', 'none']) } });
  return {
    ...scene, bench: { ...scene.bench, motors: [...scene.bench.motors, other] }, judgedMotors: 1, standingA: first.standingA + second.standingA, clamp: drawClamp(dice, first.runA + second.runA, first.standingA + second.standingA),
    facts: () => ({ right: ['normal', 'suspect'], steps: [{ atS, changeA: second.runA, sure: true }] }),
  };
}

function gusty(dice: Dice): Scene {
  const [slow, fast] = [dice.between(0.7, 1.4), dice.between(2.1, 3.7)];
  const [deep, shallow] = [dice.between(0.08, 0.2), dice.between(0.05, 0.12)];
  return motorScene(dice, {
    motor: { ratio: [0.2, 0.35], startS: [0.015, 0.08] }, times: { lengthS: [3, 6] },
    driven: (drawn) => {
      const plain = new Geared({ ...drawn.mechanism, uneven: 0 });
      return {
        load: (angle, speed, timeS, out) => {
          plain.load(angle, speed, timeS, out);
          out.frictionNm *= 1 + deep * Math.sin(2 * Math.PI * slow * timeS) + shallow * Math.sin(2 * Math.PI * fast * timeS + 1);
        },
      };
    },
  });
}

/** Two things at once, and recordings of many presses. */
export const MIXED: readonly SituationClass[] = [
  { name: 'gusty-load', about: 'the load wanders by a tenth to a third in no fixed rhythm', make: (dice) => ({ ...gusty(dice), facts: () => ({ mildFault: true, beat: { periodS: 1, depthA: 0, sure: false } }) }) },
  { name: 'many-presses', about: 'ten presses within half a minute', make: (dice) => motorScene(dice, { motor: { startS: [0.012, 0.06] }, times: { count: 10, lengthS: [0.6, 1.6], pauseS: [0.8, 2] }, look: { rates: [500, 1000] } }) },
  { name: 'jogging', about: 'eight taps of 0.3 to 0.5 s', make: (dice) => motorScene(dice, { motor: { startS: [0.01, 0.03] }, times: { count: 8, lengthS: [0.3, 0.5], pauseS: [0.6, 1.2] }, look: { rates: [1000, 2000] } }) },
  {
    name: 'both-ends', about: 'driven to both end stops, one after the other',
    make: (dice) => {
      const drawn = drawMotor(dice, { startS: [0.012, 0.05] });
      const runS = dice.between(0.9, 1.6);
      const fromS = dice.between(0.5, 1);
      const heldS = dice.between(0.5, 1.2);
      const firstEnd = fromS + runS + heldS;
      const holds: Hold[] = [{ fromS, toS: firstEnd, polarity: 1, brake: true }, { fromS: firstEnd + 1.2, toS: firstEnd + 1.2 + 1.6 * runS + heldS, polarity: -1, brake: true }];
      return motorScene(dice, { drawn, holds, look: { clampAt: 'motor' }, mechanism: () => ({ uneven: 0, stopAt: radiansAfter(drawn, runS * 0.9), stopBack: -radiansAfter(drawn, runS * 0.5), stopSpring: stopSpring(drawn, 0.8) }) });
    },
  },
  {
    name: 'lost-then-stall', about: 'the feed opens in the run, and then the end stop is reached',
    make: (dice) => {
      const drawn = drawMotor(dice, { startS: [0.012, 0.05] });
      const hold: Hold = { fromS: 0.8, toS: 0.8 + 3.6, polarity: 1, brake: true };
      const breakS = 0.8 + dice.between(0.8, 1.2);
      return motorScene(dice, { drawn, holds: [hold], breaks: [{ fromS: breakS, toS: breakS + dice.between(0.03, 0.08) }], look: { rates: [1000, 2000, 5000] }, mechanism: () => ({ stopAt: radiansAfter(drawn, 2.2), stopSpring: stopSpring(drawn, 1) }) });
    },
  },
  { name: 'lost-slow-clamp', about: 'the feed opens for 60 to 95 ms behind a clamp of 30 to 80 Hz', make: (dice) => { const scene = brokenFeed(dice, 2, [0.06, 0.095]); return { ...scene, look: { ...scene.look, bandwidthHz: dice.spread(30, 80) } }; } },
  { name: 'lost-reversed', about: 'the feed opens, clamp on the wrong way round', make: (dice) => { const scene = brokenFeed(dice, 2, [0.03, 0.09]); return { ...scene, clamp: { ...scene.clamp, sense: -1 } }; } },
  { name: 'stall-zero-off', about: 'a stall, and the zero is off by 10 to 40 % of the running current', make: (dice) => againstStop(dice, { ...STOP, more: { clamp: (drawn) => ({ offsetA: drawn.runA * dice.between(0.1, 0.4) * dice.pick([1, -1]) }) } }) },
  { name: 'stall-zero-drifts', about: 'a stall, and the zero drifts', make: (dice) => againstStop(dice, { ...STOP, more: { clamp: (drawn) => ({ driftAPerS: drawn.runA * dice.between(0.01, 0.05) * dice.pick([1, -1]) }) } }) },
  { name: 'stall-spiky', about: 'a stall, and single readings that are wrong', make: (dice) => ({ ...againstStop(dice, { ...STOP, more: { clamp: (drawn) => ({ spikesPerS: dice.between(0.5, 2), spikeA: drawn.standingA * 0.8 }) } }), facts: () => ({ noPeak: true, events: [{ code: 'spike', atS: 0, sure: false }] }) }) },
  { name: 'locked-slow-logger', about: 'never turns, 200 readings a second', make: (dice) => motorScene(dice, { times: { lengthS: [0.8, 2] }, look: { rates: [200] }, mechanism: (drawn) => ({ dryNm: drawn.motor.kVs * drawn.standingA * 3 }) }) },
  { name: 'locked-noisy', about: 'never turns, a noisy clamp', make: (dice) => motorScene(dice, { times: { count: 2, lengthS: [0.8, 2] }, clamp: (drawn) => ({ noiseA: drawn.runA * dice.between(0.04, 0.12) }), mechanism: (drawn) => ({ dryNm: drawn.motor.kVs * drawn.standingA * 3 }) }) },
  { name: 'speed-step', about: 'a blower\'s controller changes from one speed to another within the press', make: speedStep },
  { name: 'second-joins', about: 'a second motor on the same wire starts in the middle of the run', make: secondJoins },
  { name: 'narrow-peak', about: 'a start-up of a few milliseconds before a logger of 500 to 2000 readings a second', make: (dice) => motorScene(dice, { motor: { startS: [0.004, 0.009], ratio: [0.12, 0.25] }, times: { count: 2, lengthS: [0.8, 2] }, look: { rates: [500, 1000, 2000] } }) },
  {
    name: 'tired-battery', about: 'a rested battery of 11.2 to 11.8 V that still carries the motor: 10.6 V and more while it runs',
    make: (dice) => ({ ...motorScene(dice, { motor: { supplyV: dice.between(11.2, 11.8), ratio: [0.15, 0.25], feedShare: [0.08, 0.16] }, times: { count: 2 }, look: { tap: 'battery' } }), facts: () => ({ mildFault: true }) }),
  },
  {
    name: 'seized-engine', about: 'a starter that cannot turn the engine',
    make: (dice) => {
      const scene = motorScene(dice, { motor: { runA: [80, 150], ratio: [0.22, 0.3], supplyV: 12.6, feedShare: [0.25, 0.35] }, times: { lengthS: [0.8, 1.8], brake: false }, look: { tap: dice.pick(['battery', 'none']) }, mechanism: (drawn) => ({ dryNm: drawn.motor.kVs * drawn.standingA * 3 }) });
      return { ...scene, kinds: ['starter', 'motor'], facts: () => ({ alsoRight: ['starved'] }) };
    },
  },
  { name: 'engine-running-stall', about: 'a stall while the alternator\'s ripple lies on the volts', make: (dice) => { const scene = againstStop(dice, STOP); return { ...scene, bench: { ...scene.bench, feed: { ...scene.bench.feed, rippleV: dice.between(0.1, 0.4), rippleHz: dice.between(300, 1200) } } }; } },
];
