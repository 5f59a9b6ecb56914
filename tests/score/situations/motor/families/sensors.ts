import type { Dice } from '../physics/dice.ts';
import type { ClampSpec } from '../sensor/clamp.ts';
import type { Scene } from '../truth/situate.ts';
import type { Drawn } from './draw.ts';
import { motorScene, type MotorSceneWants, type SituationClass } from './scenes.ts';
import { againstStop } from './stalls.ts';

function healthy(dice: Dice, clamp: (drawn: Drawn) => Partial<ClampSpec>, more: MotorSceneWants = {}): Scene {
  return motorScene(dice, { motor: { runA: [1, 25], startS: [0.015, 0.08] }, times: { count: dice.whole(1, 3), lengthS: [1.2, 2.5] }, ...more, clamp });
}

function stall(dice: Dice, clamp: (drawn: Drawn) => Partial<ClampSpec>, more: MotorSceneWants = {}): Scene {
  return againstStop(dice, { motor: { runA: [1, 25] }, runS: [1, 2], heldS: [0.5, 1.5], windTurns: [0.5, 3], more: { ...more, clamp } });
}

/** The same healthy run and the same stall behind clamps that have one fault each. */
export const SENSORS: readonly SituationClass[] = [
  { name: 'slow-clamp', about: 'a clamp of 20 to 80 Hz: the peak is blunt, no ripple', make: (dice) => healthy(dice, () => ({}), { look: { bandwidthHz: [20, 80] } }) },
  { name: 'slow-clamp-stall', about: 'the same, with a stall', make: (dice) => stall(dice, () => ({}), { look: { bandwidthHz: [20, 80] } }) },
  { name: 'noisy-clamp', about: 'noise of 4 to 12 % of the running current', make: (dice) => healthy(dice, (drawn) => ({ noiseA: drawn.runA * dice.between(0.04, 0.12) })) },
  { name: 'noisy-stall', about: 'the same, with a stall', make: (dice) => stall(dice, (drawn) => ({ noiseA: drawn.runA * dice.between(0.04, 0.12) })) },
  { name: 'coarse-steps', about: 'a converter of 8 bits over a range three to six times too wide', make: (dice) => healthy(dice, (drawn) => ({ lsbA: (drawn.standingA * dice.between(3, 6) * 2) / 256, rangeA: drawn.standingA * 6, noiseA: drawn.runA * 0.002 })) },
  { name: 'zero-off', about: 'the zero is off by 10 to 40 % of the running current', make: (dice) => healthy(dice, (drawn) => ({ offsetA: drawn.runA * dice.between(0.1, 0.4) * dice.pick([1, -1]) })) },
  {
    name: 'gain-off', about: 'the clamp reads 1 to 4 % (standard uncertainty) wrong, and that is typed in',
    make: (dice) => {
      const uncertainty = dice.between(0.01, 0.04);
      return { ...healthy(dice, () => ({ gain: 1 + uncertainty * dice.normal() })), options: { gainUncertaintyPercent: 100 * uncertainty } };
    },
  },
  { name: 'zero-drifts', about: 'the zero drifts by 1 to 5 % of the running current a second', make: (dice) => healthy(dice, (drawn) => ({ driftAPerS: drawn.runA * dice.between(0.01, 0.05) * dice.pick([1, -1]) })) },
  {
    name: 'passes-no-dc', about: 'a clamp with a high-pass of 0.05 to 0.5 Hz: levels sink while pressed, swing under zero after',
    make: (dice) => ({ ...healthy(dice, () => ({ highPassHz: dice.spread(0.08, 0.5) }), { times: { count: 2, lengthS: [2.5, 4] } }), problemsSure: ['ac-coupled'], facts: () => ({ alsoRight: ['unclear'], alsoHonest: ['suspect'] }), verdict: { right: ['unclear', 'normal'], honest: ['suspect'] } }),
  },
  {
    name: 'passes-no-dc-stall', about: 'the same clamp at a stall',
    make: (dice) => ({ ...stall(dice, () => ({ highPassHz: dice.spread(0.08, 0.5) })), problemsSure: ['ac-coupled'], facts: () => ({ alsoRight: ['unclear', 'suspect'] }), verdict: { right: ['unclear', 'stalled'], honest: ['suspect'] } }),
  },
  { name: 'tips-clipped', about: 'the range ends at 60 to 85 % of the start-up peak', make: (dice) => healthy(dice, (drawn) => ({ rangeA: drawn.standingA * dice.between(0.55, 0.75) })) },
  { name: 'stall-clipped', about: 'the standing current is beyond the range', make: (dice) => stall(dice, (drawn) => ({ rangeA: drawn.standingA * dice.between(0.6, 0.85) })) },
  { name: 'all-clipped', about: 'even the running current is beyond the range', make: (dice) => ({ ...healthy(dice, (drawn) => ({ rangeA: drawn.runA * dice.between(0.6, 0.85) })), levelsJudged: false, verdict: { right: ['unclear'], honest: ['suspect'] }, facts: () => ({ right: ['unclear', 'suspect', 'normal'] }) }) },
  {
    name: 'spiky', about: 'single readings that are wrong, up to the standing current',
    make: (dice) => ({ ...healthy(dice, (drawn) => ({ spikesPerS: dice.between(0.5, 3), spikeA: drawn.standingA * dice.between(0.6, 1.2) })), facts: () => ({ events: [{ code: 'spike', atS: 0, sure: false }], noPeak: true }) }),
  },
  { name: 'mains-hum', about: '50 or 60 Hz of 3 to 10 % of the running current', make: (dice) => healthy(dice, (drawn) => ({ humA: drawn.runA * dice.between(0.03, 0.1), humHz: dice.pick([50, 60]) })) },
  { name: 'sampler-tone', about: 'a tone of the sampler\'s own at a simple share of its rate', make: (dice) => healthy(dice, (drawn) => ({ toneA: drawn.runA * dice.between(0.01, 0.05), toneShare: dice.pick([1 / 3, 1 / 4, 1 / 5, 1 / 8, 1 / 10, 1 / 16]) })) },
  { name: 'clamp-reversed', about: 'the clamp is on the wrong way round', make: (dice) => healthy(dice, () => ({ sense: -1 })) },
  { name: 'reversed-stall', about: 'the same, with a stall', make: (dice) => stall(dice, () => ({ sense: -1 })) },
  { name: 'slow-logger', about: '200 readings a second', make: (dice) => healthy(dice, () => ({}), { look: { rates: [200] } }) },
  { name: 'slow-logger-stall', about: '200 readings a second, a stall', make: (dice) => stall(dice, () => ({}), { look: { rates: [200] } }) },
  { name: 'coarse-clock', about: 'stamps in whole milliseconds at 1.5 to 4 readings each', make: (dice) => ({ ...healthy(dice, () => ({}), { look: { rates: [1500, 2000, 4000] } }), clockStepS: 0.001 }) },
  { name: 'jittery-logger', about: 'readings wander by a fifth of the period', make: (dice) => { const scene = healthy(dice, () => ({})); return { ...scene, look: { ...scene.look, jitter: dice.between(0.1, 0.2) } }; } },
  {
    name: 'lost-stretch', about: 'the logger lost 50 to 250 ms in the middle of the run',
    make: (dice) => {
      const scene = healthy(dice, () => ({}), { times: { lengthS: [2, 3] } });
      const startS = scene.holds[0]!.fromS + dice.between(0.7, 1.2);
      return { ...scene, gap: { startS, endS: startS + dice.between(0.05, 0.25) } };
    },
  },
];
