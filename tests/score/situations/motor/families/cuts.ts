import type { Dice } from '../physics/dice.ts';
import type { Hold } from '../physics/timeline.ts';
import type { Scene } from '../truth/situate.ts';
import { drawMotor } from './draw.ts';
import { motorScene, type SituationClass } from './scenes.ts';
import { againstStop } from './stalls.ts';

/** Reversed without a pause: the rocker is pushed through from one side to the other. */
function pushedThrough(dice: Dice, cause: 'hand' | 'pinch'): Scene {
  const drawn = drawMotor(dice, { ratio: [0.2, 0.35], startS: [0.012, 0.06] });
  const fromS = dice.between(0.6, 1.2);
  const turnS = fromS + dice.between(1.2, 2);
  const gapS = dice.between(0.004, 0.03);
  const holds: Hold[] = [
    { fromS, toS: turnS, polarity: 1, brake: false },
    { fromS: turnS + gapS, toS: turnS + gapS + dice.between(1, 2), polarity: -1, brake: true },
  ];
  // a pinch: the load climbs for the last 80 to 150 ms before the controller turns back
  const climb = { stopAt: drawn.runRad * (turnS - fromS - dice.between(0.08, 0.15)), stopSpring: (drawn.motor.kVs * drawn.standingA) / (drawn.runRad * 0.3) };
  const scene = motorScene(dice, { drawn, holds, look: { clampAt: 'motor', rates: [1000, 2000, 5000] }, ...(cause === 'pinch' ? { mechanism: () => climb } : {}) });
  return { ...scene, facts: (press) => ({ noPeak: press === 1, events: [{ code: 'reversal', atS: turnS, sure: press === 0 }], ...(cause === 'pinch' ? { alsoRight: ['suspect'] } : {}) }) };
}

function cutPlain(dice: Dice, window: (holds: readonly Hold[], endS: number) => readonly [number, number], count = 1): Scene {
  const scene = motorScene(dice, { motor: { startS: [0.015, 0.08] }, times: { count, lengthS: [1.6, 3] } });
  return { ...scene, window: window(scene.holds, scene.look.durationS) };
}

/** Recordings that begin or end inside a press, and reversals. */
export const CUTS: readonly SituationClass[] = [
  { name: 'cut-start', about: 'the recording begins in the middle of a run', make: (dice) => cutPlain(dice, ([hold], endS) => [hold!.fromS + dice.between(0.5, 0.9), endS]) },
  { name: 'cut-end', about: 'the recording ends in the middle of a run', make: (dice) => cutPlain(dice, ([hold]) => [0, hold!.toS - dice.between(0.3, 0.8)]) },
  { name: 'cut-both', about: 'nothing but the middle of a run', make: (dice) => ({ ...cutPlain(dice, ([hold]) => [hold!.fromS + 0.5, hold!.toS - dice.between(0.2, 0.6)]), levelsJudged: false }) },
  { name: 'cut-start-then-whole', about: 'begins inside a press; two whole presses follow', make: (dice) => cutPlain(dice, ([hold], endS) => [hold!.fromS + dice.between(0.5, 0.9), endS], 3) },
  { name: 'whole-then-cut', about: 'two whole presses, and the recording ends inside the third', make: (dice) => cutPlain(dice, (holds) => [0, holds[2]!.toS - dice.between(0.4, 0.9)], 3) },
  {
    name: 'middle-of-stall', about: '0.1 to 0.6 s out of the middle of a stall: nothing but one level',
    make: (dice) => {
      const scene = againstStop(dice, { runS: [0.5, 1], heldS: [1.4, 2], windTurns: [0.5, 2] });
      const fromS = scene.holds[0]!.toS - dice.between(0.75, 0.9);
      return { ...scene, look: { ...scene.look, rateHz: dice.pick([1000, 2000, 5000]) }, window: [fromS, fromS + dice.between(0.1, 0.6)], levelsJudged: false };
    },
  },
  {
    name: 'cut-into-stall', about: 'runs, stalls, and the recording ends during the stall',
    make: (dice) => {
      const scene = againstStop(dice, { runS: [1, 2], heldS: [1.2, 2], windTurns: [0.5, 2] });
      return { ...scene, window: [0, scene.holds[0]!.toS - dice.between(0.2, 0.6)], verdict: { right: ['unclear', 'stalled'], honest: ['suspect'] } };
    },
  },
  { name: 'few-readings', about: 'a handful of readings inside a run', make: (dice) => ({ ...cutPlain(dice, ([hold]) => { const atS = hold!.fromS + 0.8; return [atS, atS + dice.between(0.006, 0.03)]; }), levelsJudged: false }) },
  { name: 'pushed-through', about: 'reversed without a pause by hand: two presses and an event', make: (dice) => pushedThrough(dice, 'hand') },
  { name: 'pinch-guard', about: 'the load climbs and the controller sends it back', make: (dice) => pushedThrough(dice, 'pinch') },
];
