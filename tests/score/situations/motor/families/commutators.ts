import type { Dice } from '../physics/dice.ts';
import type { Scene } from '../truth/situate.ts';
import { drawMotor } from './draw.ts';
import { motorScene, type SituationClass } from './scenes.ts';

/** A motor whose commutation lies at `share` of the logger's rate, seen by a fast clamp. */
function placed(dice: Dice, share: readonly [number, number], rates: readonly number[]): Scene {
  const rateHz = dice.pick(rates);
  const drawn = drawMotor(dice, { ratio: [0.18, 0.35], rippleDepth: [0.012, 0.03], startS: [0.012, 0.06] });
  const segments = dice.pick([7, 8, 10, 12]);
  const ripples = segments % 2 === 0 ? segments : 2 * segments;
  // the same motor wound for another speed: k, loads and inertia go with it
  const wantedRad = (2 * Math.PI * rateHz * dice.between(...share)) / ripples;
  const by = wantedRad / drawn.runRad;
  const spec = { ...drawn.motor, poles: 2, segments, kVs: drawn.motor.kVs / by, inertia: drawn.motor.inertia / (by * by), frictionNm: drawn.motor.frictionNm / by, coggingNm: 0, henry: Math.min(drawn.motor.henry, drawn.motor.ohm / (4 * rateHz)) };
  const mechanism = { ...drawn.mechanism, dryNm: drawn.mechanism.dryNm / by, viscous: drawn.mechanism.viscous / (by * by), square: drawn.mechanism.square / by ** 3, uneven: 0 };
  const sized = { ...drawn, motor: spec, mechanism, runRad: wantedRad, noLoadRad: drawn.noLoadRad * by };
  return motorScene(dice, { drawn: sized, times: { count: dice.whole(1, 2), lengthS: [1.5, 3] }, look: { rates: [rateHz], bandwidthHz: [20_000, 100_000] } });
}

/** Commutators: where their line lies in the spectrum, and what else lies there. */
export const COMMUTATORS: readonly SituationClass[] = [
  { name: 'ripple-plain', about: 'the commutation at 5 to 30 % of the rate: easy to read', make: (dice) => placed(dice, [0.05, 0.3], [2000, 4000, 5000, 10_000]) },
  { name: 'ripple-folded', about: 'the commutation beyond half the rate: what shows is folded and no speed', make: (dice) => placed(dice, [0.6, 1.7], [500, 1000]) },
  {
    name: 'ripple-uneven', about: 'segments differ: lines once a turn beside the commutation',
    make: (dice) => {
      const scene = motorScene(dice, { motor: { rippleDepth: [0.008, 0.02] }, spec: () => ({ turnDepth: dice.between(0.006, 0.02) }), times: { lengthS: [2, 3.5] }, look: { rates: [4000, 5000, 10_000] } });
      return { ...scene, facts: () => ({ mildFault: true }) };
    },
  },
  {
    name: 'worn-brushes', about: 'rough contact: the resistance jumps by 10 to 35 % from one commutation to the next',
    make: (dice) => ({ ...motorScene(dice, { spec: () => ({ brushRough: dice.between(0.1, 0.35) }), times: { count: 2 } }), facts: () => ({ mildFault: true }) }),
  },
  { name: 'ripple-speeds-up', about: 'grease frees itself and the ripple\'s frequency climbs through the run', make: (dice) => motorScene(dice, { motor: { ratio: [0.2, 0.3], rippleDepth: [0.01, 0.03] }, times: { lengthS: [3, 5] }, look: { rates: [4000, 5000, 10_000] }, mechanism: (drawn) => ({ greaseRatio: dice.between(1.3, 1.7), greaseLength: drawn.runRad * dice.between(0.8, 1.5) }) }) },
  { name: 'ripple-no-trace', about: 'so smooth a motor behind so slow a clamp that no line is left: no speed may be reported', make: (dice) => motorScene(dice, { motor: { rippleDepth: [0.0005, 0.001], rpm: [3500, 6600] }, spec: () => ({ turnDepth: 0, rippleSecond: 0, brushSwing: 0.001, brushRough: 0 }), look: { bandwidthHz: [30, 100] }, times: { lengthS: [1.5, 3] } }) },
];
