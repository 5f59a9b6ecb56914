import type { Dice } from '../physics/dice.ts';
import type { Controller } from '../physics/parts.ts';
import type { Scene } from '../truth/situate.ts';
import { drawMotor, type Drawn } from './draw.ts';
import { motorScene, type SituationClass } from './scenes.ts';

/** duty rises over `rampS` from one that just moves the load */
function soft(fromDuty: number, rampS: number, toDuty: number): Controller {
  return { chopHz: null, duty: (sinceS) => Math.min(toDuty, fromDuty + (toDuty - fromDuty) * (sinceS / rampS)) };
}

/** the share of the volts at which the standing motor pulls a third more than its load holds */
function moving(drawn: Drawn): number {
  return (1.35 * drawn.runA) / drawn.standingA;
}

/** duty is taken back while the motor's current is above the limit, and given again slowly */
function limited(limitA: number): Controller {
  let duty = 0.1;
  let since = 0;
  return {
    chopHz: null,
    duty: (sinceS, currentA, _speed, stepS) => {
      if (sinceS < since) duty = 0.1;
      since = sinceS;
      duty += stepS * 25 * Math.max(-1, Math.min(0.5, (limitA - currentA) / limitA));
      duty = Math.max(0.03, Math.min(1, duty));
      return duty;
    },
  };
}

/** A motor run at part speed by true chopping; `clampAt` decides whether the clamp sees pulses or the saw-tooth behind the diode. */
function chopped(dice: Dice, hz: readonly [number, number], clampAt: 'motor' | 'feed', stepS: number): Scene {
  const duty = dice.between(0.3, 0.8);
  const chopHz = dice.spread(...hz);
  // the load of a fan or pump at part speed; the drive is sized so that it turns well at that duty
  const drawn = drawMotor(dice, { load: 'square', ratio: [0.15, 0.25], startS: [0.03, 0.12], runA: [2, 15] });
  const slow = { ...drawn, motor: { ...drawn.motor, henry: clampAt === 'motor' ? ((drawn.supplyV / drawn.standingA) * dice.between(0.5, 2)) / chopHz : drawn.motor.henry } };
  const scene = motorScene(dice, { drawn: slow, times: { lengthS: hz[0] > 1000 ? [0.7, 1.1] : [1.5, 2.5], brake: false }, look: { rates: hz[0] > 1000 ? [2000, 5000, 10_000] : [5000, 10_000, 20_000], clampAt, tap: dice.pick(['battery', 'none']), bandwidthHz: [20_000, 100_000] }, controller: () => ({ chopHz, duty: () => duty }) });
  const plain = hz[0] < 1000;
  return {
    ...scene, look: { ...scene.look, stepS }, breaks: [], problemsAllowed: ['chopped'],
    facts: () => ({ right: ['normal', 'suspect'], noPeak: true, chopped: { hz: plain ? chopHz : null, duty, meanA: 0, sure: plain && clampAt === 'feed' } }),
    levelsJudged: false,
  };
}

function ramp(dice: Dice, make: (drawn: Drawn) => Controller): Scene {
  const scene = motorScene(dice, { motor: { startS: [0.015, 0.06], ratio: [0.18, 0.32] }, times: { count: dice.whole(1, 2), lengthS: [2.5, 4] }, look: { tap: dice.pick(['battery', 'none']) }, controller: make });
  return { ...scene, standingA: null, facts: () => ({ noPeak: true, alsoHonest: ['suspect'] }) };
}

/** A position servo: full on to its place, then held there by short pulses, fifty a second. */
function servo(dice: Dice): Scene {
  const driveS = dice.between(0.5, 1.2);
  const holdDuty = dice.between(0.08, 0.25);
  const scene = motorScene(dice, {
    motor: { runA: [0.3, 1.5], ratio: [0.2, 0.35], startS: [0.01, 0.03], supplyV: dice.between(5.5, 7.4) }, times: { lengthS: [1.8, 3], brake: false }, look: { rates: [1000, 2000, 5000], tap: 'none' },
    controller: () => ({ chopHz: 50, duty: (sinceS) => (sinceS < driveS ? 1 : Math.max(holdDuty, 1 - (sinceS - driveS) * 4)) }),
  });
  return { ...scene, levelsJudged: false, facts: () => ({ right: ['normal', 'suspect', 'unclear'], noPeak: true, chopped: { hz: null, duty: holdDuty, meanA: 0, sure: false }, events: [{ code: 'step', atS: scene.holds[0]!.fromS + driveS, sure: false }], steps: [{ atS: scene.holds[0]!.fromS + driveS, changeA: 0, sure: false }] }) };
}

/** Drives behind a controller. */
export const CONTROL: readonly SituationClass[] = [
  { name: 'soft-start', about: 'the controller takes 0.3 to 1.2 s to full volts: no peak to speak of', make: (dice) => ramp(dice, (drawn) => soft(moving(drawn), dice.between(0.3, 1.2), 1)) },
  { name: 'current-limit', about: 'the controller holds the start to 1.3 to 2 times the running current', make: (dice) => ramp(dice, (drawn) => limited(drawn.runA * dice.between(1.5, 2.2))) },
  { name: 'part-speed', about: 'a controller at 20 kHz with its own filter: half speed, smooth feed', make: (dice) => ramp(dice, (drawn) => soft(moving(drawn), 0.1, dice.between(0.55, 0.85))) },
  { name: 'chopped-feed', about: 'chopped at 100 to 400 Hz, clamp before the freewheel diode: pulses', make: (dice) => chopped(dice, [100, 400], 'feed', 0.00004) },
  { name: 'chopped-motor', about: 'chopped at 100 to 400 Hz, clamp on the motor\'s wire: a saw-tooth', make: (dice) => chopped(dice, [100, 400], 'motor', 0.00004) },
  { name: 'servo', about: 'a position servo: drives, then holds its place with pulses, fifty a second', make: servo },
  { name: 'chopped-20k', about: 'chopped near 20 kHz, clamp on the feed: what is read of it is folded down', make: (dice) => chopped(dice, [19_000, 21_000], 'feed', 0.0000025) },
];
