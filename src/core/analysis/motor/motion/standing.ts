import { standsAtEnd } from '../sensor/full-scale.ts';
import { NEAR_TOP, type Plateau } from './plateaus.ts';
import type { MotorParameters } from './motor-parameters.ts';
import type { PressView } from './press-view.ts';
import { levelOdds, standOdds, stateBy } from './state-model.ts';
import { median } from '../../../stats.ts';
import { INRUSH, LOAD, STALL } from '../settings.ts';
import { clearOf, LITTLE, MOST_OF, SMALL_PART } from '../signal/decision-levels.ts';
import { LEVEL_S, SWITCH_ON_S } from '../time-scales.ts';

/** Only one level in the whole press: either it ran throughout or it never turned. */
export function judgeSingleLevel(view: PressView, common: MotorParameters, runLimitsA: readonly [number, number] | undefined): 'ran' | 'locked' | 'unclear' {
  const top = view.plateaus.top[0];
  if (top === undefined) return 'ran';
  const levelA = view.runA === null ? top.levelA : Math.min(top.levelA, view.runA);
  const settledA = view.runA === null ? Math.max(soonAfter(view), top.levelA) : levelA;
  const fall = view.press.startsMidway ? 1 : (view.peak.peakA - clearOf(SWITCH_ON_S * view.envelope.step / view.envelope.stepS) * view.noiseA) / settledA;
  const peaked = fall > INRUSH.overRun;
  // a motor thrown back by its stop overshoots too, but far above the level at which it runs elsewhere
  const isAtStanding = common.standing === null ? null : levelOdds(levelA, common.runA, common.standing) > 0;
  const standsHigh = common.lowestRunA !== null && levelA > 2 * common.lowestRunA && isAtStanding === true;
  const isKnownStand = common.standsA !== null && levelA > NEAR_TOP * common.standsA;
  if (peaked && !standsHigh) return 'ran';
  const rippleA2 = top.rippleVarianceA2 - common.idleRippleVarianceA2;
  if (isAlive(top, common)) return 'ran';
  if (!view.press.startsMidway && comesUpSlowly(view, top.levelA)) return 'unclear';
  // whatever falls at once from its switch-on by more than a resistive load does (1.03 to 1.07, open data: starts) has gained speed, if little; unless another press shows that this motor stalls at this level
  if (fall > 1 + SMALL_PART && !isKnownStand) return standsHigh || (common.runA === null && rippleA2 < Math.max(2 * common.idleRippleVarianceA2, (LOAD.aliveShare * levelA) ** 2)) ? 'unclear' : 'ran';
  if (!view.press.startsMidway && fallsOn(view)) return 'unclear';
  // and by less, but more than a winding warms meanwhile, where no other press shows either state, it may have turned slowly all along
  if (fall > 1 + LITTLE && common.runA === null && !isKnownStand) return 'unclear';
  if (isAtStanding ?? (common.runA !== null && levelA > STALL.overRun * common.runA)) return 'locked';
  if (common.runA !== null) return 'ran';
  if (runLimitsA !== undefined) return levelA > STALL.overRun * runLimitsA[1] ? 'locked' : 'ran';
  return view.press.startsMidway ? 'unclear' : 'locked';
}

/** A level that ripples with four times the power that tells a commutator from the idle clamp, and some more, turns whatever the other presses say. */
function isAlive({ levelA, rippleVarianceA2 }: Plateau, { idleRippleVarianceA2 }: MotorParameters): boolean {
  return rippleVarianceA2 - idleRippleVarianceA2 > 4 * Math.max(idleRippleVarianceA2, 4 * (LOAD.aliveShare * levelA) ** 2);
}

/**
 * Level soon after the switch-on, A, for as long again: a rotor that turns has lost most of its switch-on by then, a winding has hardly warmed. Later a
 * standing winding warms up and its current falls as well.
 */
function soonAfter({ envelope, peak }: PressView): number {
  const from = Math.min(envelope.cells - 1, Math.round((peak.index - envelope.startIndex) / envelope.step + SWITCH_ON_S / envelope.stepS));
  return median(envelope.levelA.subarray(from, Math.max(from + 1, Math.round(from + SWITCH_ON_S / envelope.stepS))));
}

/** A winding that stands loses a quarter of its current only by 85 K (copper, 0.39 % for a kelvin): what falls further may be a heavy rotor that gains speed for seconds. */
function fallsOn(view: PressView): boolean {
  const { levelA, cells } = view.envelope;
  return median(levelA.subarray(Math.floor(MOST_OF * cells))) < MOST_OF * soonAfter(view);
}

/** A winding comes up within its L/R, and a slow clamp with it: what climbs on for longer is fed softly, and shows no switch-on. */
function comesUpSlowly({ envelope }: PressView, levelA: number): boolean {
  const last = Math.min(envelope.cells, Math.ceil((2 * LEVEL_S) / envelope.stepS));
  const topA = envelope.levelA.subarray(0, last).reduce((highestA, cellA) => Math.max(highestA, cellA), 0);
  return envelope.cells > last && topA < NEAR_TOP * levelA && envelope.levelA[last - 1] === topA;
}

/**
 * Whether a plateau is far enough over the running level to be a stall; one at the end of the sensor's range need only be distinct from the run. Where
 * other presses show at which level this motor stalls, their run counts: a rotor pressed back into its stop shows none of its own.
 */
export function standsAbove(plateau: Plateau, view: PressView, common: MotorParameters, runA: number | null): boolean {
  const isKnownStand = common.standsA !== null && plateau.levelA > NEAR_TOP * common.standsA;
  const atEnd = plateau.from > view.settled && standsAtEnd(plateau, view.envelope, view.peak.peakA, common.idleRippleVarianceA2);
  return plateau.levelA >= (atEnd ? 1 / NEAR_TOP : STALL.overRun) * Math.min(runA ?? Infinity, isKnownStand ? (common.lowestRunA ?? Infinity) : Infinity);
}

/** Whether a high plateau is a standing motor. */
export function judgePlateau(plateau: Plateau, view: PressView, motor: MotorParameters): 'stands' | 'turns' | 'unclear' {
  const runA = view.runA ?? motor.runA;
  if (runA !== null && !standsAbove(plateau, view, motor, runA)) return 'turns';
  return stateBy(standOdds(plateau, view, motor));
}
