import { median } from '../../../stats.ts';
import type { LoadKind } from '../../results.ts';
import { NEAR_TOP } from '../motion/plateaus.ts';
import type { PressView } from '../motion/press-view.ts';
import { QUICKEST_ROTOR_S } from '../motor-model.ts';
import { INRUSH, LOAD } from '../settings.ts';
import { climbOf, curveOf, type Curve, type LoadContext } from './load-curve.ts';
import { findDip, switchesOver } from './plunger.ts';
import { staysWarm } from './stays-warm.ts';
import type { Motion } from '../types.ts';
import { CAME_UP, CLEAR_PART, FEWEST, LITTLE, NEARLY_ALL, SMALL_PART } from '../signal/decision-levels.ts';
import { CLAMP_FOLLOWS_S, SWITCH_ON_S } from '../time-scales.ts';

/** Why a load is taken for what it is; the figures are of the press that shows it best. */
export type LoadReason = 'ripple' | 'run-up' | 'no-rotor' | 'filament' | 'warms-up' | 'no-rise' | 'sharp-edge' | 'slow-edge' | 'stays-warm' | 'pulsed' | 'winding' | 'slow-rise' | 'plunger' | 'switches-over' | 'stands-by-design' | 'cranks' | 'mixed' | 'too-little';

export interface LoadReading {
  readonly kind: LoadKind;
  readonly reason: LoadReason;
}

/** Time to half over time to a tenth: that of an exponential, or nearly so; more for a fan, less for what warms up, and least for a filament. */
const evenFall = (NEARLY_ALL * Math.LN2) / Math.LN10;

/** What the current of a trace flows through, by the presses whose switch-on is in it. `unknown` where they do not show it. */
export function loadOf(views: readonly PressView[], motions: readonly Motion[], context: LoadContext): LoadReading {
  const load = votedLoad(views, motions, context);
  return context.chopped && load.kind === 'unknown' ? { kind: 'unknown', reason: 'pulsed' } : load;
}

function votedLoad(views: readonly PressView[], motions: readonly Motion[], context: LoadContext): LoadReading {
  const votes: LoadReading[] = [];
  for (const [v, view] of views.entries()) {
    if (view.press.startsMidway || reachesEnd(view, context)) continue;
    votes.push(judgePress(view, motions[v], context.rippled[v], context));
  }
  if (votes.length === 0) return { kind: 'unknown', reason: 'too-little' };
  if (!votes.some(({ kind }) => kind === 'solenoid') && isLatch(views, context)) return { kind: 'latch', reason: 'stands-by-design' };
  const motor = votes.find(({ kind }) => kind === 'motor');
  if (motor !== undefined) return motor;
  if (votes.every(({ reason }) => reason === 'sharp-edge' || reason === 'slow-edge')) return staysWarm(views, context.sampling) ? { kind: 'unknown', reason: 'stays-warm' } : votes[0];
  if (votes.every(({ reason }) => reason === votes[0].reason)) return votes[0];
  const known = votes.filter(({ kind }) => kind !== 'unknown');
  if (known.length === 0 || known.length * 2 < votes.length) return { kind: 'unknown', reason: 'too-little' };
  return known.every(({ kind }) => kind === known[0].kind) ? known[0] : { kind: 'unknown', reason: 'mixed' };
}

/** A switch-on beyond the end of the sensor's range does not show how it falls. */
function reachesEnd({ peak, press, plateaus }: PressView, { clipA }: LoadContext): boolean {
  return clipA !== null && (peak.peakA > NEARLY_ALL * clipA || plateaus.top.some(({ levelA }) => levelA > NEARLY_ALL * clipA)) && press.endIndex > press.startIndex;
}

/** What has a ripple that is a speed turns, unless its switch-on is no rotor's: what else plays, hums or rectifies has lines too. */
function judgePress(view: PressView, motion: Motion, isRippled: boolean, context: LoadContext): LoadReading {
  const curve = curveOf(view, context);
  if (isRippled && !(view.peak.peakA > LOAD.starterPeakA && waves(view))) return curve.peakA > INRUSH.overRun * curve.endA && !gainsSpeed(curve, context) ? { kind: 'unknown', reason: 'no-rotor' } : { kind: 'motor', reason: 'ripple' };
  return judgeCurve(view, curve, motion, context);
}

/**
 * Whether a switch-on falls as a rotor gains speed: down to half, and on to a tenth, it takes as long as the quickest of them. A capacitor fills, and a coil's
 * contact switches over, sooner; what falls far within a filament's time, quickest at first, is one.
 */
function gainsSpeed({ halfS, tenthS, peakA, endA }: Curve, { sampling: { periodS } }: LoadContext): boolean {
  const quickestHalfS = QUICKEST_ROTOR_S * Math.LN2 - periodS;
  const isFilament = peakA > LOAD.coldRatio * endA && tenthS < LOAD.filamentS && halfS < evenFall * tenthS;
  return halfS > quickestHalfS && tenthS - halfS > quickestHalfS && !isFilament;
}

function judgeCurve(view: PressView, curve: Curve, motion: Motion, context: LoadContext): LoadReading {
  const { clamp, sampling } = context;
  const { riseS, peakA, endA, halfS, tenthS, alive, lastsS } = curve;
  const ratio = peakA / endA;
  const unknown: LoadReading = { kind: 'unknown', reason: 'too-little' };
  if (!(endA > 0) || lastsS < CLAMP_FOLLOWS_S) return unknown;
  if (peakA > LOAD.starterPeakA && ratio > INRUSH.overRun && waves(view)) return { kind: 'starter', reason: 'cranks' };
  const dip = alive ? null : findDip(view, context.baseline, sampling, clamp);
  if (dip?.by === 'plunger') return { kind: 'solenoid', reason: 'plunger' };
  if (!alive && switchesOver(view, context.baseline, sampling, clamp, endA)) return { kind: 'solenoid', reason: 'switches-over' };
  if (alive) return ratio > 1 + SMALL_PART && !context.chopped ? livelyFall(curve, context) : unknown;
  const isSharp = riseS <= Math.max(2 * sampling.periodS, FEWEST * clamp.followS);
  if (comesBack(view)) return motion.turned && ratio > INRUSH.overRun && showsMotor(curve, context) ? { kind: 'motor', reason: 'run-up' } : unknown;
  if (ratio > LOAD.coldRatio && tenthS < LOAD.filamentS && isSharp && halfS >= 2 * sampling.periodS && halfS < evenFall * tenthS) return { kind: 'lamp', reason: 'filament' };
  if (ratio > INRUSH.overRun) return judgeFall(curve, isSharp, motion.turned, context) ?? unknown;
  // one level, whether it comes up slowly or at once, is reached without a rotor that moves
  if (dip?.by === 'rotor') return unknown;
  if (isLevel(view, curve)) return judgeLevel(curve, context);
  return curve.climbS > climbOf(2 * LOAD.slowestWindingS) && curve.climbS > FEWEST * curve.fallS ? { kind: 'unknown', reason: 'slow-edge' } : unknown;
}

/** A current that falls from its peak and never goes quiet. */
function livelyFall(curve: Curve, context: LoadContext): LoadReading {
  return gainsSpeed(curve, context) ? { kind: 'motor', reason: 'run-up' } : { kind: 'unknown', reason: 'no-rotor' };
}

/**
 * A fall to one level: a motor under a steady load gains its speed along an exponential, a fan's gain ends sooner; what warms up is quick at first and
 * slows down as it warms, or waits until it is warm and then falls slowly. A motor that breaks free after it stood falls as quickly as one that starts.
 */
function judgeFall(curve: Curve, isSharp: boolean, turned: boolean, context: LoadContext): LoadReading | null {
  const { halfS, tenthS, tenthSeenS, quiet } = curve;
  const { clamp, sampling } = context;
  if (!Number.isFinite(halfS) || halfS < FEWEST * sampling.periodS) return null;
  const slowing = halfS < evenFall * Math.min(tenthS, tenthSeenS);
  const isQuiet = quiet && clamp.followS === 0;
  // a heavy rotor falls for seconds too, along an exponential; one that the switch-off cuts short shows an exponential's shape at the most
  const waits = isQuiet && 2 * halfS > tenthS && tenthS - halfS > LOAD.warmS;
  if (isSharp && (waits || (slowing && halfS > (isQuiet ? LOAD.filamentS : LOAD.warmS)))) return { kind: 'heater', reason: 'warms-up' };
  return turned && !slowing && Number.isFinite(tenthS) && showsMotor(curve, context) ? { kind: 'motor', reason: 'run-up' } : null;
}

/** Whether noise may hide a commutator behind a switch-on that a rotor could make: a warm filament's is as long, so that one as high and as short is left open. */
function showsMotor(curve: Curve, context: LoadContext): boolean {
  const mayBeFilament = curve.peakA > LOAD.coldRatio * curve.endA && curve.tenthS < LOAD.filamentS;
  return !curve.quiet && !context.chopped && !mayBeFilament && gainsSpeed(curve, context);
}

/** Whether the current climbs again after it has fallen from its switch-on: what only warms up never does. */
function comesBack({ envelope, settled }: PressView): boolean {
  let lowestA = Infinity;
  // the last cells hold the switch-off
  for (let k = settled; k < envelope.cells - 2; k++) {
    lowestA = Math.min(lowestA, envelope.levelA[k]);
    if (envelope.levelA[k] > INRUSH.overRun * lowestA) return true;
  }
  return false;
}

/**
 * One level from the first moment on: a winding takes its L/R to come up, a large coil some ten times that, a resistance is there at once. Between the
 * slowest winding and what is surely a coil it may be either.
 */
function judgeLevel({ climbS, halfClimbS, fallS, lags }: Curve, { sampling: { periodS } }: LoadContext): LoadReading {
  if (climbS > climbOf(LOAD.slowestWindingS) && climbS > FEWEST * fallS) {
    const isCoil = climbS > climbOf(2 * LOAD.slowestWindingS) && climbS < SWITCH_ON_S && Math.abs(halfClimbS / climbS - Math.log(NEARLY_ALL / 0.5) / Math.log(NEARLY_ALL / SMALL_PART)) < SMALL_PART;
    return isCoil ? { kind: 'solenoid', reason: 'slow-rise' } : { kind: 'unknown', reason: 'slow-edge' };
  }
  if (lags) return { kind: 'unknown', reason: 'winding' };
  return climbS + periodS <= climbOf(LOAD.quickestWindingS) ? { kind: 'heater', reason: 'no-rise' } : { kind: 'unknown', reason: 'sharp-edge' };
}

/** Whether the level swings up and down again as an engine is turned over one compression after another: a load that joins in, or goes, changes it once. */
function waves({ envelope }: PressView): boolean {
  const late = envelope.levelA.subarray(Math.floor(CLEAR_PART * envelope.cells));
  if (late.length < 2 * FEWEST) return false;
  const swingA = SMALL_PART * median(late);
  let turns = 0;
  let rises = true;
  let extremeA = late[0];
  for (const levelA of late) {
    if (rises ? levelA > extremeA : levelA < extremeA) extremeA = levelA;
    else if (Math.abs(levelA - extremeA) > swingA) {
      turns++;
      rises = !rises;
      extremeA = levelA;
    }
  }
  // one hump, as of a load that comes and goes, turns twice
  return turns > 2;
}

/** From its first moments to its end at one level. */
function isLevel({ envelope }: PressView, { endA, climbS, bouncesS }: Curve): boolean {
  if (climbS > SWITCH_ON_S) return false;
  for (let k = 1; k * envelope.stepS < climbS && k < envelope.cells; k++) if (envelope.levelA[k] < envelope.levelA[k - 1] - (1 - CAME_UP) * endA) return false;
  for (let k = 2 + Math.ceil((bouncesS + 2 * climbS) / envelope.stepS); k < envelope.cells - 2; k++) if (Math.abs(envelope.levelA[k] - endA) > (1 - CAME_UP) * endA) return false;
  return envelope.cells >= FEWEST;
}

/**
 * A lock drives its bolt across in some tens of milliseconds, then stalls until its module ends the pulse: every press alike, and of the
 * same length to a few percent, which no hand keeps.
 */
function isLatch(views: readonly PressView[], context: LoadContext): boolean {
  const { sampling } = context;
  if (views.length < 2) return false;
  const lengths = views.map(({ press }) => (press.endIndex - press.startIndex) * sampling.periodS);
  if (Math.max(...lengths) > LOAD.latchPulseS || Math.max(...lengths) > (1 + LITTLE) * Math.min(...lengths)) return false;
  return views.every((view) => {
    const { envelope, plateaus, press } = view;
    const stand = plateaus.top.at(-1);
    if (stand === undefined || press.dropouts.length > 0 || press.startsMidway) return false;
    const movesS = stand.from * envelope.stepS;
    if (movesS < LOAD.latchMovesS[0] || movesS > LOAD.latchMovesS[1] || (envelope.cells - stand.to) * envelope.stepS > CLAMP_FOLLOWS_S) return false;
    let risen = press.startIndex;
    while (risen < press.endIndex && context.baseline.deviationA[risen] * press.sign < stand.levelA / 2) risen++;
    if ((risen - press.startIndex) * sampling.periodS > 2 * LOAD.slowestWindingS) return false;
    let lowA = Infinity;
    for (let k = 0; k < stand.from; k++) if (k * envelope.stepS > CLEAR_PART * LOAD.latchMovesS[0]) lowA = Math.min(lowA, envelope.levelA[k]);
    return lowA < NEAR_TOP * stand.levelA;
  });
}
