import type { Dice } from '../physics/dice.ts';
import { Geared, type MechanismSpec } from '../physics/mechanism.ts';
import { Motor, type Mechanism, type MotorSpec } from '../physics/motor.ts';
import { MotorPart, type Controller, type CutOut, type Part } from '../physics/parts.ts';
import { bounces, inOrder, Timeline, type Break, type Hold } from '../physics/timeline.ts';
import type { ClampSpec } from '../sensor/clamp.ts';
import type { Scene } from '../truth/situate.ts';
import { drawClamp, drawHolds, drawLook, drawMotor, VOLTS, type Drawn, type LookWants, type Times, type Wants } from './draw.ts';

/** One class of situations: `make` draws one from the dice. */
export interface SituationClass {
  readonly name: string;
  readonly about: string;
  readonly make: (dice: Dice) => Scene;
}

export interface MotorSceneWants {
  readonly motor?: Wants;
  readonly drawn?: Drawn;
  readonly times?: Times;
  readonly holds?: readonly Hold[];
  readonly look?: LookWants;
  readonly clamp?: (drawn: Drawn) => Partial<ClampSpec>;
  readonly spec?: (drawn: Drawn) => Partial<MotorSpec>;
  /** changes of the mechanism; may use the figures that were drawn */
  readonly mechanism?: (drawn: Drawn) => Partial<MechanismSpec>;
  /** a mechanism of another kind altogether */
  readonly driven?: (drawn: Drawn) => Mechanism;
  readonly controller?: (drawn: Drawn) => Controller;
  readonly cutout?: (drawn: Drawn) => CutOut;
  readonly breaks?: readonly Break[];
  readonly others?: (drawn: Drawn) => readonly Part[];
}

/** A single motor, its switch and its feed: what most families vary one thing of. */
export function motorScene(dice: Dice, wants: MotorSceneWants): Scene {
  const drawn = wants.drawn ?? drawMotor(dice, wants.motor);
  const holds = wants.holds ?? drawHolds(dice, wants.times);
  const breaks = wants.breaks ?? [];
  const timeline = new Timeline(holds, inOrder([...breaks, ...bounces(dice, holds)]));
  const mechanism = wants.driven?.(drawn) ?? new Geared({ ...drawn.mechanism, ...wants.mechanism?.(drawn) });
  const motor = new Motor({ ...drawn.motor, ...wants.spec?.(drawn) }, mechanism);
  const part = new MotorPart(motor, timeline, drawn.contactOhm, wants.controller?.(drawn) ?? null, wants.cutout?.(drawn) ?? null);
  return {
    bench: { feed: drawn.feed, parts: [part, ...(wants.others?.(drawn) ?? [])], motors: [part] },
    look: drawLook(dice, holds, wants.look),
    clamp: drawClamp(dice, drawn.runA, drawn.standingA, wants.clamp?.(drawn)),
    volts: VOLTS, holds, breaks, options: {}, standingA: drawn.standingA, contactOhm: drawn.contactOhm, clockStepS: 0, kinds: ['motor'],
  };
}

/** The spring of an end stop that holds after `turns` of wind-up under the full pull of the motor. */
export function stopSpring(drawn: Drawn, turns: number): number {
  return (drawn.motor.kVs * drawn.standingA) / (turns * 2 * Math.PI);
}

/** Motor radians turned after so many seconds of a usual run. */
export function radiansAfter(drawn: Drawn, seconds: number): number {
  return drawn.runRad * Math.max(0.02, seconds - drawn.startS);
}
