import type { Dice } from '../physics/dice.ts';
import { Engine, Geared } from '../physics/mechanism.ts';
import { Motor } from '../physics/motor.ts';
import { Heater, Lamp, Solenoid, Steady } from '../physics/loads.ts';
import { MotorPart, type Part } from '../physics/parts.ts';
import { bounces, Timeline, type Hold } from '../physics/timeline.ts';
import type { Scene } from '../truth/situate.ts';
import type { LoadKind } from '../truth/types.ts';
import { drawClamp, drawHolds, drawLook, drawMotor, VOLTS, type Drawn, type LookWants, type Times } from './draw.ts';
import { motorScene, radiansAfter, stopSpring, type SituationClass } from './scenes.ts';

interface OtherLoad {
  readonly kinds: readonly LoadKind[];
  readonly part: (timeline: Timeline, drawn: Drawn) => Part;
  readonly times?: Times;
  readonly look?: LookWants;
  readonly peakA: (drawn: Drawn) => number;
}

/** A wire that has no motor on it. */
function otherLoad(dice: Dice, load: OtherLoad): Scene {
  const drawn = drawMotor(dice, { runA: [1, 20] });
  const holds = drawHolds(dice, { count: dice.whole(1, 2), lengthS: [1.2, 3], ...load.times });
  const timeline = new Timeline(holds, bounces(dice, holds, 0.2));
  return {
    bench: { feed: { ...drawn.feed, batteryOhm: 0.008, wireOhm: 0.02 }, parts: [load.part(timeline, drawn)], motors: [] },
    look: drawLook(dice, holds, { tap: dice.pick(['battery', 'none']), ...load.look }),
    clamp: drawClamp(dice, drawn.runA, load.peakA(drawn)),
    volts: VOLTS, holds, breaks: [], options: {}, standingA: null, contactOhm: 0, clockStepS: 0, kinds: load.kinds,
    facts: () => ({ right: ['normal'], noPeak: true, alsoHonest: ['unclear'] }),
  };
}

function heater(dice: Dice, grow: number, warmS: number): Scene {
  return otherLoad(dice, { kinds: ['heater'], times: { lengthS: [3, 7], count: 1 }, peakA: (drawn) => drawn.runA * grow, part: (timeline, drawn) => new Heater(drawn.supplyV / drawn.runA / grow, grow, warmS, drawn.supplyV, timeline) });
}

function solenoid(dice: Dice, stuck: boolean): Scene {
  const scene = otherLoad(dice, {
    kinds: ['solenoid'], times: { lengthS: [0.5, 1.5] }, look: { rates: [2000, 5000, 10_000] }, peakA: (drawn) => drawn.runA,
    part: (timeline, drawn) => {
      const ohm = drawn.supplyV / drawn.runA;
      const henry = ohm * dice.between(0.006, 0.014);
      return new Solenoid({ ohm, henryOut: henry, henryIn: henry * dice.between(1.8, 2.6), pullA: drawn.runA * dice.between(0.5, 0.72), travelS: dice.between(0.004, 0.009), stuck }, timeline);
    },
  });
  return { ...scene, facts: () => ({ right: stuck ? ['normal', 'suspect'] : ['normal'], noPeak: true, alsoHonest: ['unclear'], events: stuck ? [] : [{ code: 'plunger', atS: scene.holds[0]!.fromS + 0.02, sure: false }] }) };
}

/** An engine being turned over. `weak`: one cylinder presses less. */
function starter(dice: Dice, weak: number): Scene {
  const runA = dice.between(90, 220);
  const drawn = drawMotor(dice, { runA: [runA, runA], ratio: [0.22, 0.32], startS: [0.02, 0.05], rpm: [3500, 5000], supplyV: dice.between(12.4, 12.8), feedShare: [0.3, 0.4] });
  const feed = { ...drawn.feed, batteryOhm: (drawn.feed.batteryOhm + drawn.feed.wireOhm) * 0.8, wireOhm: (drawn.feed.batteryOhm + drawn.feed.wireOhm) * 0.2 };
  const cylinders = Array.from({ length: dice.pick([3, 4, 4, 6]) }, () => dice.between(0.97, 1.03));
  if (weak < 1) cylinders[1] = weak;
  const loadNm = drawn.motor.kVs * drawn.runA;
  const scene = motorScene(dice, {
    drawn: { ...drawn, feed }, holds: drawHolds(dice, { lengthS: [1.5, 3], brake: false }), look: { rates: [1000, 2000, 5000], tap: dice.pick(['battery', 'battery', 'none']) },
    driven: () => new Engine(loadNm * 0.75, loadNm * dice.between(0.6, 0.9), dice.between(13, 17), cylinders, 1.3),
  });
  return {
    ...scene, kinds: ['starter', 'motor'],
    facts: () => ({ ...(weak < 1 ? { right: ['normal', 'suspect'] } : { right: ['normal'] }), beat: { periodS: 0.3, depthA: 0, sure: false } }),
  };
}

/** Two motors on one switch and one wire; the second one ends early or jams. */
function pair(dice: Dice, ends: 'stops' | 'jams'): Scene {
  const first = drawMotor(dice, { runA: [3, 9], ratio: [0.2, 0.32], startS: [0.012, 0.05], feedShare: [0.03, 0.06], supplyV: dice.between(12.3, 14.3) });
  const second = drawMotor(dice, { runA: [first.runA * 0.6, first.runA * 1.4], ratio: [0.2, 0.32], startS: [0.012, 0.05], feedShare: [0.03, 0.06], supplyV: first.supplyV });
  const holds = drawHolds(dice, { lengthS: [3, 4.5] });
  const afterS = dice.between(1.2, 1.9);
  const atS = holds[0]!.fromS + afterS;
  const shorter: Hold[] = ends === 'stops' ? [{ ...holds[0]!, toS: atS }] : [...holds];
  const other = new MotorPart(new Motor(second.motor, new Geared({ ...second.mechanism, ...(ends === 'jams' ? { stopAt: radiansAfter(second, afterS), stopSpring: stopSpring(second, 0.5) } : {}) })), new Timeline(shorter, []), second.contactOhm);
  const scene = motorScene(dice, { drawn: first, holds, others: () => [other], look: { tap: dice.pick(['battery', 'none']) } });
  const standing = second.supplyV / (second.motor.ohm + second.contactOhm + first.feed.batteryOhm + first.feed.wireOhm);
  const changeA = ends === 'stops' ? -second.runA : standing - second.runA;
  return {
    ...scene, bench: { ...scene.bench, motors: [...scene.bench.motors, other] }, ...(ends === 'stops' ? { judgedMotors: 1 } : {}), standingA: first.standingA + second.standingA, clamp: drawClamp(dice, first.runA + second.runA, first.standingA + second.standingA),
    facts: () => ({ right: ends === 'stops' ? ['normal', 'suspect'] : ['stalled', 'suspect'], steps: [{ atS, changeA, sure: true }] }),
  };
}

function standingLoad(dice: Dice, part: (drawn: Drawn) => Part, share: number): Scene {
  const scene = motorScene(dice, { motor: { runA: [1.5, 20] }, times: { count: 2, lengthS: [1.2, 2.5] }, others: (drawn) => [part(drawn)], clamp: (drawn) => ({ rangeA: drawn.standingA * (2.5 + share), offsetA: 0 }) });
  return { ...scene, problemsAllowed: ['background'], problemsSure: ['background'] };
}

/** What else hangs on a wire, alone or beside a motor. */
export const WIRES: readonly SituationClass[] = [
  { name: 'lamp', about: 'a filament lamp: ten to fifteen times its running current for some tens of milliseconds', make: (dice) => otherLoad(dice, { kinds: ['lamp'], peakA: (drawn) => drawn.runA * 15, part: (timeline, drawn) => new Lamp(drawn.supplyV, drawn.supplyV * drawn.runA, dice.between(2500, 2900), dice.between(0.02, 0.06), timeline) }) },
  { name: 'heater-ptc', about: 'a PTC heater: falls to a half or a fifth over seconds, no ripple', make: (dice) => heater(dice, dice.between(2, 5), dice.between(0.8, 2.5)) },
  { name: 'heater-flat', about: 'a heating wire: one level from the first reading', make: (dice) => heater(dice, 1, 1) },
  { name: 'glow-plug', about: 'a glow plug: falls to a half over two or three seconds', make: (dice) => heater(dice, dice.between(1.6, 2.6), dice.between(1.2, 3)) },
  { name: 'solenoid', about: 'a solenoid whose plunger pulls in', make: (dice) => solenoid(dice, false) },
  { name: 'solenoid-stuck', about: 'a solenoid whose plunger is stuck: no dip', make: (dice) => solenoid(dice, true) },
  {
    name: 'latch', about: 'a door latch: its motor moves 50 to 90 ms, then stalls by design until the controller lets go',
    make: (dice) => {
      const drawn = drawMotor(dice, { runA: [1.5, 4], ratio: [0.25, 0.4], startS: [0.008, 0.015], rpm: [4000, 9000] });
      const moveS = dice.between(0.055, 0.085);
      const lengthS = dice.between(0.25, 0.5);
      const scene = motorScene(dice, { drawn, holds: drawHolds(dice, { count: 3, lengthS: [lengthS, lengthS + 0.01], brake: true }), look: { rates: [1000, 2000, 5000] }, mechanism: () => ({ stopAt: drawn.runRad * (moveS - drawn.startS), stopSpring: stopSpring(drawn, 0.4) }), driven: (motor) => latchDrive(motor, moveS) });
      return { ...scene, kinds: ['latch'], verdict: { right: ['normal'], honest: ['stalled', 'locked', 'suspect'] }, facts: () => ({ right: ['normal', 'stalled'], alsoHonest: ['locked', 'suspect'] }) };
    },
  },
  { name: 'starter', about: 'a starter turns an engine over: a peak, then a hump a compression', make: (dice) => starter(dice, 1) },
  { name: 'starter-weak', about: 'one cylinder presses only a fifth to a half', make: (dice) => starter(dice, dice.between(0.2, 0.5)) },
  { name: 'pair-one-stops', about: 'two motors on one wire, one is done early: a step down of its running current', make: (dice) => pair(dice, 'stops') },
  { name: 'pair-one-jams', about: 'two motors on one wire, one jams: a step up to its standing current', make: (dice) => pair(dice, 'jams') },
  {
    name: 'lamp-joins', about: 'a lamp on the same wire is switched on in the middle of the run',
    make: (dice) => {
      const holds = drawHolds(dice, { lengthS: [3, 4.5] });
      const atS = holds[0]!.fromS + dice.between(1.2, 1.9);
      const watt = { a: 0 };
      const scene = motorScene(dice, {
        motor: { runA: [3, 12], ratio: [0.2, 0.32], startS: [0.012, 0.05] }, holds, clamp: (drawn) => ({ rangeA: drawn.standingA * 4 }),
        others: (drawn) => [new Lamp(drawn.supplyV, drawn.supplyV * (watt.a = drawn.runA * dice.between(0.3, 0.7)), 2750, 0.04, new Timeline([{ fromS: atS, toS: holds[0]!.toS, polarity: 1, brake: false }], []))],
      });
      return { ...scene, facts: () => ({ steps: [{ atS, changeA: watt.a, sure: true }], alsoRight: ['suspect'], events: [{ code: 'step', atS, sure: false }] }) };
    },
  },
  { name: 'steady-beside', about: 'another load draws 0.3 to 2 times the running current all along', make: (dice) => standingLoad(dice, (drawn) => new Steady(drawn.runA * dice.between(0.3, 2)), 2) },
  { name: 'lamp-beside', about: 'a lamp that is lit all along on the same wire: its current gives a little as the volts sag', make: (dice) => standingLoad(dice, (drawn) => new Lamp(drawn.supplyV, drawn.supplyV * drawn.runA * dice.between(0.4, 1.2), 2700, 0.05, null).lit(), 1.2) },
  {
    name: 'engine-running', about: 'the alternator\'s ripple on the volts, another load on the wire shows it between the presses',
    make: (dice) => {
      const drawn = drawMotor(dice, { supplyV: dice.between(13.8, 14.4), runA: [3, 20] });
      const scene = motorScene(dice, { drawn: { ...drawn, feed: { ...drawn.feed, rippleV: dice.between(0.2, 0.6), rippleHz: dice.between(300, 1200) } }, times: { count: 2, lengthS: [1.5, 2.5] }, look: { rates: [4000, 5000, 10_000] }, others: () => [new Heater(drawn.supplyV / drawn.runA / dice.between(0.3, 0.8), 1, 1, drawn.supplyV, null)], clamp: () => ({ rangeA: drawn.standingA * 3 }) });
      return { ...scene, problemsAllowed: ['background'], problemsSure: ['background'] };
    },
  },
];

/** the latch springs back when it is let go, so that each press finds it in its rest */
function latchDrive(drawn: Drawn, moveS: number): Geared {
  const end = drawn.runRad * (moveS - drawn.startS);
  return new Geared({ ...drawn.mechanism, dryNm: drawn.mechanism.dryNm * 0.6, weightNm: drawn.mechanism.dryNm * 0.9, stopAt: end, stopBack: 0, stopSpring: stopSpring(drawn, 0.4) });
}
