import { standsAtEnd } from '../sensor/full-scale.ts';
import { FALLS_TO, NEAR_TOP, type Plateau } from './plateaus.ts';
import type { PressView, TraceLevels } from './press-view.ts';
import { median } from '../../../stats.ts';
import { INRUSH, LOAD, PRESS, STALL } from '../settings.ts';
import { CAME_UP, clearOf } from '../signal/decision-levels.ts';
import { SWITCH_ON_S } from '../time-scales.ts';

/** of the level; so much ripple that the idle clamp does not show is a turning commutator, whatever the other presses say. Scored */
const ALIVE_SHARE = 0.015;

/** Only one level in the whole press: either it ran throughout or it never turned. */
export function judgeSingleLevel(view: PressView, common: TraceLevels, runLimitsA: readonly [number, number] | undefined): 'ran' | 'locked' | 'unclear' {
  const top = view.plateaus.top[0];
  if (top === undefined) return 'ran';
  const levelA = view.runA === null ? top.levelA : Math.min(top.levelA, view.runA);
  const settledA = view.runA === null ? Math.max(soonAfter(view), top.levelA) : levelA;
  const fall = view.press.startsMidway ? 1 : (view.peak.peakA - clearOf(SWITCH_ON_S * view.envelope.step / view.envelope.stepS) * view.noiseA) / settledA;
  const peaked = fall > INRUSH.overRun;
  // a motor thrown back by its stop overshoots too, but far above the level at which it runs elsewhere
  const standsHigh = common.lowestRunA !== null && levelA > 2 * common.lowestRunA && common.peakA !== null && levelA > STALL.overPeak * common.peakA;
  const isKnownStand = common.standsA !== null && levelA > NEAR_TOP * common.standsA;
  if (peaked && !standsHigh) return 'ran';
  const rippleA2 = top.rippleVarianceA2 - common.idleRippleVarianceA2;
  if (isAlive(top, common)) return 'ran';
  if (!view.press.startsMidway && comesUpSlowly(view, top.levelA)) return 'unclear';
  // whatever falls at once from its switch-on has gained speed, if little; unless another press shows that this motor stalls at this level
  if (fall > INRUSH.fallsAtOnce && !isKnownStand) return standsHigh || (common.runA === null && rippleA2 < Math.max(2 * common.idleRippleVarianceA2, (LOAD.aliveShare * levelA) ** 2)) ? 'unclear' : 'ran';
  if (common.runA !== null && common.runA < levelA / STALL.overRun && (common.peakA === null || levelA > STALL.overPeak * common.peakA)) return 'locked';
  if (common.peakA !== null && levelA > STALL.overPeak * common.peakA) return 'locked';
  if (common.runA !== null) return 'ran';
  if (runLimitsA !== undefined) return levelA > STALL.overRun * runLimitsA[1] ? 'locked' : 'ran';
  return view.press.startsMidway ? 'unclear' : 'locked';
}

/** A level that ripples so much turns. */
function isAlive({ levelA, rippleVarianceA2 }: Plateau, { idleRippleVarianceA2 }: TraceLevels): boolean {
  return rippleVarianceA2 - idleRippleVarianceA2 > Math.max(4 * idleRippleVarianceA2, (ALIVE_SHARE * levelA) ** 2);
}

/**
 * Level soon after the switch-on, A, for as long again: a rotor that turns has lost most of its switch-on by then, a winding has hardly warmed. Later a
 * standing winding warms up and its current falls as well.
 */
function soonAfter({ envelope, peak }: PressView): number {
  const from = Math.min(envelope.cells - 1, Math.round((peak.index - envelope.startIndex) / envelope.step + SWITCH_ON_S / envelope.stepS));
  return median(envelope.levelA.subarray(from, Math.max(from + 1, Math.round(from + SWITCH_ON_S / envelope.stepS))));
}

/** A winding comes up within its L/R: what climbs for longer is fed softly, and shows no switch-on. */
function comesUpSlowly({ envelope }: PressView, levelA: number): boolean {
  const last = Math.min(envelope.cells, Math.ceil(STALL.risesWithinS / envelope.stepS));
  for (let k = 0; k < last; k++) if (envelope.levelA[k] > NEAR_TOP * levelA) return false;
  return envelope.cells > last;
}

/**
 * Whether a plateau is far enough over the running level to be a stall; one at the end of the sensor's range need only be distinct from the run. Where
 * other presses show at which level this motor stalls, their run counts: a rotor pressed back into its stop shows none of its own.
 */
export function standsAbove(plateau: Plateau, view: PressView, common: TraceLevels, runA: number | null): boolean {
  const isKnownStand = common.standsA !== null && plateau.levelA > NEAR_TOP * common.standsA;
  const atEnd = plateau.from > view.settled && standsAtEnd(plateau, view.envelope, view.peak.peakA, common.idleRippleVarianceA2);
  return plateau.levelA >= (atEnd ? 1 / NEAR_TOP : STALL.overRun) * Math.min(runA ?? Infinity, isKnownStand ? (common.lowestRunA ?? Infinity) : Infinity);
}

/**
 * Whether a high plateau is a standing motor. Every cue adds or takes weight; no single one decides, because each fails somewhere: a slow
 * clamp lowers the switch-on peak, a noisy one hides the ripple, a mechanism can be heavy and even.
 */
export function judgePlateau(plateau: Plateau, view: PressView, common: TraceLevels): 'stands' | 'turns' | 'unclear' {
  const runA = view.runA ?? common.runA;
  if (runA !== null && !standsAbove(plateau, view, common, runA)) return 'turns';
  const peakA = view.press.fromRest && !view.press.startsMidway ? view.peak.peakA : common.peakA;
  if (peakA !== null && plateau.levelA < STALL.overPeak * peakA) return 'turns';
  if (fallsToIt(plateau, view)) return 'turns';
  const ripple = rippleWeight(plateau, view, common, runA ?? 0);
  if (peakA !== null && plateau.levelA > STALL.overSoftStart * peakA) {
    // a switch-on that stays far below what flows later was no full one (a soft start, a current limit), or the clamp is slow
    if (ripple < 0 || (ripple === 0 && (plateau.from - plateau.approach) * view.envelope.stepS > PRESS.coastS)) return 'turns';
    if (ripple === 0 && peakA < INRUSH.overRun * (runA ?? 0)) return 'unclear';
  }
  let weight = 0;
  if (peakA === null) weight += 0.5;
  else if (plateau.levelA > CAME_UP * peakA) weight += 2;
  else if (plateau.levelA > NEAR_TOP * peakA) weight += 1;
  if (runA !== null && plateau.levelA > 2 * runA) weight += 0.5;
  // no turning motor draws more than at its switch-on from rest; what ripples there are the last bars of a rotor pressed into its stop
  weight += peakA !== null && plateau.levelA > peakA ? Math.max(ripple, -RIPPLE_HINT) : ripple;
  const noiseShare = Math.sqrt(common.idleRippleVarianceA2 / 16) / plateau.levelA;
  if (plateau.wander < 0.01 + noiseShare) weight += 1;
  else if (plateau.wander > 0.025 + noiseShare) weight -= 1.5;
  return weight >= 1.5 ? 'stands' : 'turns';
}

/**
 * A current that shoots up and then falls to its level is a rotor that gains speed: another motor that joins in, or a controller that sets a higher one.
 * One that comes to rest brings its current up to what its winding lets through and no further (i = (V - k w)/R).
 */
function fallsToIt({ from, levelA }: Plateau, { envelope }: PressView): boolean {
  let topA = 0;
  for (let k = from - 1; k >= 0; k--) {
    if (envelope.levelA[k] < FALLS_TO * levelA) return topA > INRUSH.overRun * levelA;
    topA = Math.max(topA, envelope.levelA[k]);
  }
  return false;
}

/** weight of a ripple that hardly rises out of the clamp's noise, or that a high current speaks against. Scored */
const RIPPLE_HINT = 0.75;

/** The ripple of a turning motor, gone or still there; says little where neither the run's nor its own rises out of the clamp's noise. */
function rippleWeight(plateau: Plateau, view: PressView, common: TraceLevels, runA: number): number {
  const idleA2 = common.idleRippleVarianceA2;
  const aliveA2 = (view.plateaus.runRippleVarianceA2 ?? 0) - idleA2;
  if (aliveA2 < (LOAD.aliveShare * runA) ** 2 || aliveA2 < idleA2) return isAlive(plateau, common) ? -2 : 0;
  const left = (plateau.rippleVarianceA2 - idleA2) / aliveA2;
  const strength = aliveA2 > 4 * idleA2 ? 2 : RIPPLE_HINT;
  if (left < STALL.rippleLeft ** 2) return strength;
  return left > 0.6 ? -strength : 0;
}
