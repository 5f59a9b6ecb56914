import type { Dice } from '../physics/dice.ts';
import { drawMotor, type Wants } from './draw.ts';
import { motorScene, type MotorSceneWants, type SituationClass } from './scenes.ts';
import { againstStop } from './stalls.ts';
import type { Scene } from '../truth/situate.ts';

/** A run whose level lies at `place` of a typed range: 0 = the lower limit, 1 = the upper. */
function withLimits(dice: Dice, place: readonly [number, number], motor: Wants = {}, more: MotorSceneWants = {}): Scene {
  const drawn = drawMotor(dice, { ratio: [0.18, 0.35], ...motor });
  const scene = motorScene(dice, { drawn, times: { count: dice.whole(1, 2), lengthS: [1.5, 3] }, ...more });
  const high = drawn.runA * dice.between(0.9, 1.1);
  const width = high * dice.between(0.3, 0.6);
  // the level is the motor's own; the typed range is laid so that it falls where it is wanted
  const lowA = drawn.runA - width * dice.between(...place);
  const low = Math.max(drawn.runA * 0.02, lowA);
  return { ...scene, options: { runLimitsA: [low, low + width] } };
}

/** Typed limits: what they allow and what they do not. */
export const LIMITS: readonly SituationClass[] = [
  { name: 'in-limits', about: 'well inside the typed range', make: (dice) => withLimits(dice, [0.25, 0.75]) },
  { name: 'near-upper', about: 'near miss: inside, 4 to 8 % below the upper limit', make: (dice) => withLimits(dice, [0.82, 0.9]) },
  { name: 'near-lower', about: 'near miss: inside, close above the lower limit', make: (dice) => withLimits(dice, [0.1, 0.18]) },
  { name: 'over-limits', about: 'heavy: 15 to 80 % of the range above it', make: (dice) => withLimits(dice, [1.3, 1.8]) },
  { name: 'under-limits', about: 'light: below the lower limit', make: (dice) => withLimits(dice, [-1.2, -0.4]) },
  { name: 'heavy-in-limits', about: 'near miss: a loaded motor, more than half its standing current, and the typed range says so', make: (dice) => withLimits(dice, [0.3, 0.7], { ratio: [0.48, 0.62] }) },
  { name: 'heavy-swinging', about: 'heavy with a level that swings along the travel', make: (dice) => withLimits(dice, [1.5, 2], {}, { mechanism: (drawn) => ({ uneven: 0.12, unevenLength: drawn.runRad * 0.8 }) }) },
  {
    name: 'limits-and-stall', about: 'inside the typed range, then the end stop',
    make: (dice) => {
      const scene = againstStop(dice, { runS: [1.2, 2.5], heldS: [0.4, 1.5], windTurns: [0.5, 3] });
      return { ...scene, options: { runLimitsA: [scene.standingA! * 0.1, scene.standingA! * 0.5] }, facts: () => ({ alsoHonest: ['heavy', 'light'] }) };
    },
  },
  {
    name: 'drags-untyped', about: 'no limits, and the motor runs at 0.72 to 0.82 of its standing current',
    make: (dice) => motorScene(dice, { motor: { ratio: [0.74, 0.84], startS: [0.012, 0.05] }, times: { count: 2, lengthS: [1.5, 3] } }),
  },
];
