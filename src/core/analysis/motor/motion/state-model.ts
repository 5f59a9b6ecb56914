import { FALLS_TO, type Plateau } from './plateaus.ts';
import type { MotorParameters, Standing } from './motor-parameters.ts';
import type { PressView } from './press-view.ts';
import { LOAD, PRESS } from '../settings.ts';
import { LEVEL_S } from '../time-scales.ts';
import { CLEAR_PART, LITTLE, SMALL_PART } from '../signal/decision-levels.ts';

/**
 * Whether a motor turns or stands on a level, by what either state makes likely (v = R i + k w): a rotor that stands draws the standing current of its own
 * switch-on, does not ripple and holds its level; one that turns may draw anything, ripples as its current does and follows its load. Each cue may be unlike
 * its state for a reason that the model does not hold, so none decides alone.
 */

/** share of levels, ripples and waves that are unlike their state: a chopped supply, hum, a feed that sags by itself */
const OUTLIER = 0.005;
/** deviation of the ln of a standing winding's level over V/R: it warms (by 50 K: -20 %), a battery recovers by some percent */
const WARM_SPREAD = 0.08;
/** mean deviation within a level, of it: a load wanders by a percent, a feed by a tenth of one */
const WANDER = { turning: 0.01, standing: 0.002 } as const;

/** Natural logarithm of how much likelier a motor that stands makes a plateau than one that turns. */
export function standOdds(plateau: Plateau, view: PressView, motor: MotorParameters): number {
  const runA = view.runA ?? motor.runA;
  const level = motor.standing === null ? 0 : levelOdds(plateau.levelA, runA, motor.standing);
  return level + rippleOdds(plateau, view, motor.idleRippleVarianceA2, runA) + wanderOdds(plateau, view.cellNoiseA) + wayOdds(plateau, view, motor.startAs);
}

/** What odds say. That a level is even is not enough by itself. */
export function stateBy(odds: number): 'stands' | 'turns' | 'unclear' {
  return Math.abs(odds) < Math.log(WANDER.turning / WANDER.standing) ? 'unclear' : odds > 0 ? 'stands' : 'turns';
}

/**
 * A level against V/R. One that turns, or several on a wire, may draw anything from half of the run to half as much again as standing. A standing winding lies about V/R, by what
 * it has warmed. Above it the switch-on is as likely to have shown too little, by a quarter: the feed sagged, or clamp and L/R kept from the peak.
 */
export function levelOdds(levelA: number, runA: number | null, { currentA, spread }: Standing): number {
  const widest = Math.log((1.5 * currentA) / Math.min((runA ?? levelA) / 2, levelA));
  const off = Math.log(levelA / currentA);
  const shown = normal(off, Math.hypot(WARM_SPREAD, spread));
  const sagged = 2 * normal(off, Math.hypot(CLEAR_PART, spread));
  return logRatio(off > 0 ? (shown + sagged) / 2 : shown, 1 / widest, 1 / widest);
}

/** The ripple of a turning motor, gone or still there, as a share of its current. Where the run's does not rise out of the clamp's noise a ripple still shows one that turns, and none shows nothing. */
function rippleOdds(plateau: Plateau, view: PressView, idleA2: number, runA: number | null): number {
  const runA2 = (view.plateaus.runRippleVarianceA2 ?? 0) - idleA2;
  const isSeen = runA !== null && runA2 > Math.max(idleA2, (LOAD.aliveShare * runA) ** 2);
  const usualA = (isSeen ? Math.sqrt(runA2) / runA : 4 * LOAD.aliveShare) * plateau.levelA;
  const share = Math.sqrt(Math.max(0, plateau.rippleVarianceA2 - idleA2)) / usualA;
  const readings = Math.max(2, ((plateau.to - plateau.from) * view.envelope.step) / 2);
  const blurA = Math.sqrt(idleA2 * Math.sqrt(2 / readings));
  const odds = logRatio(normal(share, Math.hypot(Math.min(SMALL_PART * usualA, LOAD.aliveShare * plateau.levelA), blurA) / usualA) * 2, 1, 1);
  // one standing winding in twenty ripples as its run did: by the alternator, a charger or the mains
  return isSeen ? Math.max(Math.log(LITTLE), odds) : Math.min(0, odds);
}

/** How evenly a level holds, the clamp's own noise taken out. */
function wanderOdds({ wander, levelA }: Plateau, cellNoiseA: number): number {
  const left = Math.sqrt(Math.max(0, wander ** 2 - (cellNoiseA / levelA) ** 2));
  return logRatio(exponential(left, WANDER.standing), exponential(left, WANDER.turning), 1 / (2 * WANDER.turning));
}

/**
 * How it came to its level. A current that shoots up and then falls to it is a rotor that gains speed (another motor that joins in, a controller that sets a higher one), which
 * takes the charge J w/k, or one that its stop throws back at 0.7 of its speed, which takes (1/2) 0.7² of it to come to rest. Where no start shows that charge any clear fall is speed gained, and a long climb
 * a feed that is brought up. A press begins with a rotor that stands: two to one.
 */
function wayOdds({ from, approach, levelA }: Plateau, { press, envelope }: PressView, startAs: number | null): number {
  if (startAs === null && (from - approach) * envelope.stepS > PRESS.coastS) return Math.log(OUTLIER);
  let beyondAs = 0;
  let k = from - 1;
  for (; k >= 0 && envelope.levelA[k] >= FALLS_TO * levelA; k--) beyondAs += Math.max(0, envelope.levelA[k] - levelA / FALLS_TO) * envelope.stepS;
  if (beyondAs > 0) return k >= 0 && beyondAs > CLEAR_PART * (startAs ?? 0) ? Math.log(OUTLIER) : 0;
  return k * envelope.stepS < LEVEL_S && !press.startsMidway ? Math.LN2 : 0;
}

function normal(off: number, spread: number): number {
  return Math.exp(-((off / spread) ** 2) / 2) / (spread * Math.sqrt(2 * Math.PI));
}

function exponential(value: number, mean: number): number {
  return Math.exp(-value / mean) / mean;
}

/** Logarithm of the ratio of two densities, either of which is now and then that of something else. */
function logRatio(standing: number, turning: number, other: number): number {
  const often = 1 - OUTLIER;
  return Math.log((often * standing + OUTLIER * other) / (often * turning + OUTLIER * other));
}
