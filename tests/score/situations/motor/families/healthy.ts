import { drawMotor } from './draw.ts';
import { motorScene, type SituationClass } from './scenes.ts';

/** Motors that run and stop as they should, and those that look odd though nothing is wrong. */
export const HEALTHY: readonly SituationClass[] = [
  { name: 'plain-run', about: 'one press, any motor, load, feed and logger', make: (dice) => motorScene(dice, {}) },
  { name: 'plain-three', about: 'three presses the same way', make: (dice) => motorScene(dice, { times: { count: 3, lengthS: [0.8, 2] } }) },
  { name: 'to-and-fro', about: 'both directions, clamp on the motor wire', make: (dice) => motorScene(dice, { times: { count: 4, lengthS: [0.7, 1.8], alternate: true }, look: { clampAt: 'motor' } }) },
  { name: 'to-and-fro-feed', about: 'both directions, clamp on the feed: no sign to go by', make: (dice) => motorScene(dice, { times: { count: 4, lengthS: [0.7, 1.8], alternate: true }, look: { tap: dice.pick(['battery', 'none']) } }) },
  {
    name: 'slow-starter', about: 'near miss of a stall: heavy rotor, 0.25 to 0.9 s to come to speed',
    make: (dice) => motorScene(dice, { motor: { startS: [0.08, 0.3] }, times: { lengthS: [3, 5] } }),
  },
  { name: 'short-press', about: 'held for 0.3 to 0.7 s only', make: (dice) => motorScene(dice, { motor: { startS: [0.01, 0.04] }, times: { count: 2, lengthS: [0.3, 0.7] } }) },
  { name: 'blower', about: 'fan load, slow to start, coasts long', make: (dice) => motorScene(dice, { motor: { load: 'square', startS: [0.15, 0.4], runA: [3, 25] }, times: { lengthS: [4, 7], brake: false } }) },
  { name: 'pump', about: 'pump load at an even speed', make: (dice) => motorScene(dice, { motor: { load: 'square', startS: [0.01, 0.05], runA: [2, 12], rpm: [2500, 6600] }, times: { lengthS: [2, 5], brake: false } }) },
  {
    name: 'cold-grease', about: 'drags at first and works itself free along the way',
    make: (dice) => motorScene(dice, { motor: { ratio: [0.16, 0.28] }, times: { lengthS: [3, 6] }, mechanism: (drawn) => ({ greaseRatio: dice.between(1.3, 1.8), greaseLength: drawn.runRad * dice.between(0.4, 1.2) }) }),
  },
  {
    name: 'uneven-load', about: 'the load changes along the travel by a tenth to a quarter',
    make: (dice) => motorScene(dice, { motor: { ratio: [0.2, 0.35] }, times: { lengthS: [3, 6] }, mechanism: (drawn) => ({ uneven: dice.between(0.1, 0.25), unevenLength: drawn.runRad * dice.between(2.2, 6) }) }),
  },
  {
    name: 'wiper', about: 'the load swings with every half sweep; healthy, though it looks like a beat',
    make: (dice) => ({
      ...motorScene(dice, { motor: { runA: [2, 7], rpm: [2200, 4000], ratio: [0.16, 0.3] }, times: { lengthS: [4, 8] }, mechanism: (drawn) => ({ uneven: dice.between(0.15, 0.35), unevenLength: drawn.runRad * dice.between(0.5, 0.75) }) }),
      facts: () => ({ mildFault: true, beat: { periodS: 0.62, depthA: 0, sure: false } }),
    }),
  },
  {
    name: 'window-up-down', about: 'a window: up takes two to three times as much as down, and that is healthy',
    make: (dice) => {
      const drawn = drawMotor(dice, { runA: [5, 8], ratio: [0.24, 0.32], supplyV: dice.between(12.2, 14.2) });
      const weight = drawn.mechanism.dryNm * dice.between(0.25, 0.36);
      return {
        ...motorScene(dice, { drawn, times: { count: 2, lengthS: [2, 3.5], alternate: true }, look: { clampAt: 'motor' }, mechanism: () => ({ dryNm: drawn.mechanism.dryNm - weight, weightNm: weight }) }),
        facts: () => ({ mildFault: true }),
      };
    },
  },
  { name: 'long-pump', about: 'a long press of tens of seconds', make: (dice) => motorScene(dice, { motor: { load: 'square', startS: [0.02, 0.1] }, times: { lengthS: [15, 25] }, look: { rates: [500, 1000, 2000] } }) },
  { name: 'tiny-motor', about: 'a mirror motor of a few tenths of an ampere near the noise', make: (dice) => motorScene(dice, { motor: { runA: [0.2, 0.5], ratio: [0.25, 0.45] }, clamp: (drawn) => ({ noiseA: drawn.runA * dice.between(0.02, 0.08), offsetA: drawn.runA * dice.between(-0.1, 0.1) }) }) },
  { name: 'big-motor', about: 'a winch or lift motor of 30 to 100 A', make: (dice) => motorScene(dice, { motor: { runA: [30, 100], ratio: [0.15, 0.35], startS: [0.03, 0.15] } }) },
];
