import { CutOut } from '../physics/parts.ts';
import type { Dice } from '../physics/dice.ts';
import type { Hold } from '../physics/timeline.ts';
import { drawMotor, type Drawn, type Wants } from './draw.ts';
import { motorScene, radiansAfter, stopSpring, type MotorSceneWants, type SituationClass } from './scenes.ts';
import type { Scene } from '../truth/situate.ts';

interface StopPlan {
  readonly motor?: Wants;
  /** free run before the stop, s */
  readonly runS: readonly [number, number];
  /** how long the switch is held once the stop is reached, s */
  readonly heldS: readonly [number, number];
  /** turns of wind-up until it stalls */
  readonly windTurns: readonly [number, number];
  readonly more?: MotorSceneWants;
}

/** Drives for a while, then runs against something and is held there. */
export function againstStop(dice: Dice, plan: StopPlan): Scene {
  const drawn = drawMotor(dice, { startS: [0.012, 0.06], ...plan.motor });
  const runS = dice.between(...plan.runS);
  const windTurns = dice.spread(...plan.windTurns);
  const windS = (2 * windTurns * 2 * Math.PI) / drawn.runRad;
  const fromS = dice.between(0.5, 1.2);
  const hold: Hold = { fromS, toS: fromS + runS + windS + 2 * drawn.startS + dice.between(...plan.heldS), polarity: 1, brake: dice.chance(0.5) };
  return motorScene(dice, { drawn, holds: [hold], ...plan.more, mechanism: (motor) => ({ stopAt: radiansAfter(motor, runS), stopSpring: stopSpring(motor, windTurns), ...plan.more?.mechanism?.(motor) }) });
}

function stuck(drawn: Drawn): { dryNm: number } {
  return { dryNm: drawn.motor.kVs * drawn.standingA * 3 };
}

const STOP = { runS: [1, 3], heldS: [0.4, 2], windTurns: [0.5, 4] } as const;

/** Motors that stall under power, and near misses. */
export const STALLS: readonly SituationClass[] = [
  { name: 'end-stop', about: 'runs to its end stop and is held there for 0.4 to 2 s', make: (dice) => againstStop(dice, STOP) },
  { name: 'end-stop-soft', about: 'a soft stop: many turns of wind-up before it stalls', make: (dice) => againstStop(dice, { ...STOP, windTurns: [8, 25], heldS: [0.6, 2] }) },
  { name: 'jam-early', about: 'jams hard within half a second of starting', make: (dice) => againstStop(dice, { ...STOP, motor: { startS: [0.012, 0.035] }, runS: [0.25, 0.5], windTurns: [0.2, 1] }) },
  { name: 'stall-low-rise', about: 'a loaded motor: standing draws only 1.8 to 2.2 times what running does', make: (dice) => againstStop(dice, { ...STOP, motor: { ratio: [0.45, 0.55] } }) },
  { name: 'stop-touched', about: 'near miss: let go as the stop is reached', make: (dice) => againstStop(dice, { ...STOP, heldS: [-0.05, 0.02], windTurns: [0.5, 2] }) },
  { name: 'stall-long', about: 'held against the stop for 5 to 9 s, the winding warms', make: (dice) => againstStop(dice, { ...STOP, heldS: [5, 9] }) },
  { name: 'locked', about: 'never turns', make: (dice) => motorScene(dice, { times: { lengthS: [0.6, 2.5] }, mechanism: stuck }) },
  { name: 'locked-three', about: 'never turns, tried three times', make: (dice) => motorScene(dice, { times: { count: 3, lengthS: [0.4, 1.2] }, mechanism: stuck }) },
  {
    name: 'locked-play', about: 'takes up half a turn of play, then never turns',
    make: (dice) => motorScene(dice, { motor: { startS: [0.012, 0.05] }, times: { lengthS: [0.6, 2] }, mechanism: (drawn) => ({ stopAt: 2 * Math.PI * dice.between(0.1, 0.4), stopSpring: stopSpring(drawn, 0.2) }) }),
  },
  {
    name: 'one-of-three', about: 'two good presses, then one against the stop',
    make: (dice) => {
      const drawn = drawMotor(dice, { startS: [0.012, 0.05] });
      const fromS = dice.between(0.5, 1);
      const lengthS = dice.between(1, 1.6);
      const holds: Hold[] = [0, 1, 2].map((press) => ({ fromS: fromS + press * (lengthS + 1.2), toS: fromS + press * (lengthS + 1.2) + lengthS, polarity: 1, brake: true }));
      return motorScene(dice, { drawn, holds, mechanism: () => ({ stopAt: drawn.runRad * (2.35 * lengthS), stopSpring: stopSpring(drawn, 1) }) });
    },
  },
  {
    name: 'frees-itself', about: 'locked at first, breaks free after 0.3 to 0.9 s and then runs',
    make: (dice) => {
      const freeS = dice.between(0.3, 0.9);
      const scene = motorScene(dice, {
        motor: { startS: [0.012, 0.06] }, times: { lengthS: [2, 3.5] },
        driven: (drawn) => ({
          load: (_angle, speed, timeS, out) => {
            const held = timeS < scene.holds[0]!.fromS + freeS;
            out.activeNm = 0;
            out.frictionNm = drawn.mechanism.dryNm + drawn.mechanism.viscous * Math.abs(speed);
            out.stickNm = held ? drawn.motor.kVs * drawn.standingA * 3 : out.frictionNm;
          },
        }),
      });
      return { ...scene, facts: () => ({ right: ['stalled', 'locked', 'suspect'] }) };
    },
  },
  {
    name: 'jam-and-on', about: 'jams in mid-travel for 0.3 to 0.8 s, then goes on',
    make: (dice) => {
      const jamS = dice.between(1, 1.8);
      const forS = dice.between(0.3, 0.8);
      const scene = motorScene(dice, {
        motor: { startS: [0.012, 0.06] }, times: { lengthS: [3.2, 4.5] },
        driven: (drawn) => ({
          load: (_angle, speed, timeS, out) => {
            const since = timeS - scene.holds[0]!.fromS;
            const held = since >= jamS && since < jamS + forS;
            out.activeNm = 0;
            out.frictionNm = held ? drawn.motor.kVs * drawn.standingA * 3 : drawn.mechanism.dryNm + drawn.mechanism.viscous * Math.abs(speed);
            out.stickNm = out.frictionNm;
          },
        }),
      });
      return { ...scene, facts: () => ({ alsoRight: ['suspect'] }) };
    },
  },
  {
    name: 'stall-ptc', about: 'held against the stop until a PTC in the motor chokes the current',
    make: (dice) => {
      const scene = againstStop(dice, {
        ...STOP, heldS: [3, 5], motor: { runA: [2, 8], ratio: [0.18, 0.3] },
        more: { look: { tap: dice.pick(['motor', 'battery', 'none']) }, cutout: (drawn) => new CutOut({ kind: 'ptc', holdA: drawn.runA * 1.6, tripS: dice.between(0.5, 1.2), resetS: 1, coldOhm: (0.04 * drawn.supplyV) / drawn.standingA, hotOhm: drawn.supplyV / 0.4 }) },
      });
      return { ...scene, facts: () => ({ alsoHonest: ['suspect'], events: [{ code: 'cut-out', atS: scene.holds[0]!.toS - 2, sure: false }] }) };
    },
  },
  {
    name: 'stall-bimetal', about: 'held against the stop; a bimetal cut-out opens and closes again',
    make: (dice) => {
      const scene = againstStop(dice, {
        ...STOP, heldS: [4, 6], motor: { runA: [3, 10], ratio: [0.18, 0.3] },
        more: { look: { tap: 'motor' }, cutout: (drawn) => new CutOut({ kind: 'bimetal', holdA: drawn.runA * 1.5, tripS: dice.between(0.6, 1.5), resetS: dice.between(1, 2.5), coldOhm: 0, hotOhm: 0 }) },
      });
      return { ...scene, splitAllowed: true, facts: () => ({ alsoRight: ['intermittent'], events: [{ code: 'cut-out', atS: scene.holds[0]!.toS - 2, sure: false }] }) };
    },
  },
];
