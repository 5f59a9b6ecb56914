import type { Dice } from '../physics/dice.ts';
import { drawMotor } from './draw.ts';
import { againstStop } from './stalls.ts';
import { motorScene, radiansAfter, stopSpring, type SituationClass } from './scenes.ts';
import type { Scene } from '../truth/situate.ts';

/** A tight spot once a turn of the driven shaft; the beat's depth is what the current really swings. */
function tightSpot(dice: Dice, extra: readonly [number, number], sure: boolean): Scene {
  const drawn = drawMotor(dice, { ratio: [0.18, 0.3], startS: [0.01, 0.03], load: 'dry' });
  const periodS = dice.spread(0.25, 0.9);
  const depth = dice.between(...extra);
  const scene = motorScene(dice, {
    drawn, times: { lengthS: [Math.max(3, periodS * 6), Math.max(5, periodS * 9)] },
    mechanism: () => ({ uneven: 0, spotEvery: drawn.runRad * periodS, spotExtra: depth, spotShare: dice.between(0.2, 0.5) }),
  });
  return { ...scene, facts: () => (sure ? { fault: true, beat: { periodS, depthA: drawn.runA * depth, sure: true } } : { beat: { periodS, depthA: drawn.runA * depth, sure: false } }) };
}

function badSegment(dice: Dice, extraOhms: readonly [number, number], load: 'dry' | 'square'): Scene {
  const drawn = drawMotor(dice, { ratio: [0.2, 0.35], load, rpm: [900, 2600], startS: [0.02, 0.1] });
  const segments = dice.pick([8, 10, 12]);
  const scene = motorScene(dice, { drawn, times: { count: 2, lengthS: [2, 4] }, look: { rates: [5000, 10_000], bandwidthHz: [5000, 50_000] }, spec: () => ({ poles: 2, segments, badSegmentOhm: drawn.motor.ohm * dice.between(...extraOhms) }) });
  return { ...scene, facts: () => ({ fault: true }) };
}

/** Faults of motor and mechanism that neither stop it nor show in its mean level alone. */
export const FAULTS: readonly SituationClass[] = [
  { name: 'tight-spot', about: 'once a turn of the driven shaft the load rises by a half to double', make: (dice) => tightSpot(dice, [0.5, 1], true) },
  { name: 'tight-spot-faint', about: 'near miss: a spot of 2 to 6 % that no bearing is without', make: (dice) => tightSpot(dice, [0.02, 0.06], false) },
  { name: 'burnt-segment', about: 'a coil is lost at one segment: 1.35 to twice the resistance while a brush is on it', make: (dice) => badSegment(dice, [0.35, 1], 'dry') },
  { name: 'burnt-segment-pump', about: 'the same in a pump', make: (dice) => badSegment(dice, [0.35, 1], 'square') },
  {
    name: 'broken-gear', about: 'nothing is driven: the motor spins at a few per cent of its standing current, no limits typed',
    make: (dice) => {
      const drawn = drawMotor(dice, { ratio: [0.2, 0.35], startS: [0.012, 0.05] });
      return { ...motorScene(dice, { drawn, times: { count: 2, lengthS: [1.5, 3] }, mechanism: () => ({ freeFrom: -1e12 }) }), facts: () => ({ right: ['suspect', 'light'] }) };
    },
  },
  {
    name: 'gear-breaks', about: 'the drive lets go in mid-travel: the load is gone from one moment to the next',
    make: (dice) => {
      const drawn = drawMotor(dice, { ratio: [0.22, 0.38], startS: [0.012, 0.04] });
      const afterS = dice.between(1, 1.8);
      const scene = motorScene(dice, { drawn, times: { lengthS: [3, 4.5] }, mechanism: () => ({ freeFrom: radiansAfter(drawn, afterS) }) });
      const idleA = drawn.motor.frictionNm / drawn.motor.kVs;
      const atS = scene.holds[0]!.fromS + afterS + drawn.startS * 0.5;
      return { ...scene, facts: () => ({ right: ['suspect', 'light'], events: [{ code: 'slip', atS, sure: false }], steps: [{ atS, changeA: idleA - drawn.runA, sure: false }] }) };
    },
  },
  {
    name: 'clutch-slips', about: 'at the stop the clutch gives way tooth after tooth and the motor turns on; one drive in twenty is too weak for its clutch and stalls',
    make: (dice) => {
      const afterS = dice.between(1, 2);
      const scene = againstStop(dice, {
        motor: { ratio: [0.18, 0.28] }, runS: [afterS, afterS], heldS: [0.8, 2], windTurns: [1, 3],
        more: { mechanism: (drawn) => ({ stopSpring: stopSpring(drawn, 2), clutchNm: drawn.motor.kVs * drawn.standingA * dice.between(0.45, 0.6), clutchTooth: (drawn.runRad * 0.5) / dice.between(6, 25) }) },
      });
      // the driven part is against its stop from here on
      const atS = scene.holds[0]!.fromS + afterS;
      return { ...scene, facts: () => ({ alsoRight: ['suspect'], events: [{ code: 'slip', atS, sure: false }], steps: [{ atS, changeA: 1, sure: false }], beat: { periodS: 0.1, depthA: 0, sure: false } }) };
    },
  },
  {
    name: 'winch-lowers', about: 'a load pulls the motor along: hardly any current, healthy',
    make: (dice) => {
      const drawn = drawMotor(dice, { runA: [10, 60], ratio: [0.15, 0.25], startS: [0.03, 0.1], supplyV: 12.6 });
      const scene = motorScene(dice, { drawn, times: { lengthS: [2.5, 4] }, mechanism: () => ({ weightNm: -drawn.mechanism.dryNm * dice.between(0.7, 0.97), uneven: 0 }) });
      return { ...scene, facts: () => ({ right: ['normal', 'suspect', 'light'], events: [{ code: 'slip', atS: 0, sure: false }] }) };
    },
  },
  {
    name: 'winch-both', about: 'lifts hard, lowers with hardly any current; clamp on the motor wire',
    make: (dice) => {
      const drawn = drawMotor(dice, { runA: [10, 60], ratio: [0.25, 0.35], startS: [0.03, 0.1] });
      // less than the friction: a winch that is let go holds its load
      const weight = drawn.mechanism.dryNm * dice.between(0.3, 0.46);
      const scene = motorScene(dice, { drawn, times: { count: 2, lengthS: [2, 3], alternate: true, pauseS: [1, 2] }, look: { clampAt: 'motor' }, mechanism: () => ({ dryNm: drawn.mechanism.dryNm - weight, weightNm: weight, uneven: 0 }) });
      return { ...scene, facts: () => ({ right: ['normal', 'suspect'] }) };
    },
  },
  {
    name: 'one-way-hard', about: 'one direction drags at more than 0.72 of the standing current, the other is free',
    make: (dice) => {
      const drawn = drawMotor(dice, { ratio: [0.75, 0.82], startS: [0.012, 0.04] });
      const weight = drawn.mechanism.dryNm * 0.45;
      const scene = motorScene(dice, { drawn, times: { count: 4, lengthS: [1.2, 2], alternate: true }, look: { clampAt: 'motor' }, mechanism: () => ({ dryNm: drawn.mechanism.dryNm - weight, weightNm: weight, uneven: 0 }) });
      return { ...scene, facts: (press) => (press % 2 === 0 ? { fault: true } : { alsoRight: ['suspect'] }) };
    },
  },
];
