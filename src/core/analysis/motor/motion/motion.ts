import { mean, median } from '../../../stats.ts';
import { NEAR_TOP, type Plateau } from './plateaus.ts';
import type { MotorParameters } from './motor-parameters.ts';
import { cellAt, type PressView } from './press-view.ts';
import { runningRanges } from './running.ts';
import { judgePlateau, judgeSingleLevel, standsAbove } from './standing.ts';
import { SUSPECT } from '../settings.ts';
import { LEVEL_S, MAINS_PERIOD_S } from '../time-scales.ts';
import type { IndexRange, Motion, StallRange } from '../types.ts';
import { clearOf } from '../signal/decision-levels.ts';

/** What the motor did in each press. Where no switch-on shows what it draws standing, those in which it surely stood do, for the others. */
export function judgeMotions(views: readonly PressView[], common: MotorParameters, runLimitsA: readonly [number, number] | undefined): Motion[] {
  const judged = views.map((view) => judgeMotion(view, common, runLimitsA));
  const standsA = judged.flatMap(({ certain, stalls }) => (certain ? stalls.map(({ levelA }) => levelA) : []));
  if (common.standing !== null || standsA.length === 0 || judged.every(({ certain }) => certain)) return judged;
  const known = { ...common, standing: { currentA: median(standsA), spread: 0 } };
  return views.map((view) => judgeMotion(view, known, runLimitsA));
}

/** Decides which plateaus of a press are stalls, and what is left as running. */
function judgeMotion(view: PressView, common: MotorParameters, runLimitsA: readonly [number, number] | undefined): Motion {
  const { press, envelope, plateaus } = view;
  const single = plateaus.top.length === 0 || (view.runA === null ? !didTurn(view, plateaus.top) : !plateaus.top.some((plateau) => standsAbove(plateau, view, common, view.runA)));
  let standing: Plateau[] = [];
  let turned = true;
  let certain = true;
  if (single) {
    const judged = judgeSingleLevel(view, common, runLimitsA);
    turned = judged !== 'locked';
    certain = judged !== 'unclear';
    if (!turned) standing = [...plateaus.top];
  } else {
    const judged = plateaus.top.map((plateau) => judgePlateau(plateau, view, common));
    standing = plateaus.top.filter((_plateau, p) => judged[p] === 'stands');
    turned = standing.length < plateaus.top.length || didTurn(view, standing);
    certain = !judged.includes('unclear');
  }
  const stalls = standing.map((plateau) => toStall(plateau, view));
  const inrushSeen = !press.startsMidway && turned && !stalls.some((stall) => stall.at === 'start');
  const settled = Math.min(view.settled, standing[0]?.approach ?? envelope.cells);
  return {
    stalls,
    running: turned ? runningRanges(view, settled, stalls) : [],
    inrushEnd: inrushSeen ? Math.min(press.endIndex, Math.max(envelope.startIndex + settled * envelope.step, view.peak.index + 1)) : null,
    turned,
    certain,
  };
}

/** What the motor did in a press that looked like a standing motor's, once its ripple shows that it turned. */
export function turningMotion(view: PressView): Motion {
  const { press, envelope } = view;
  const settled = Math.min(view.settled, envelope.cells);
  const inrushEnd = press.startsMidway ? null : Math.min(press.endIndex, Math.max(envelope.startIndex + settled * envelope.step, view.peak.index + 1));
  return { stalls: [], running: runningRanges(view, settled, []), inrushEnd, turned: true, certain: true };
}

/**
 * A motor that ran at a level does not stand at it in another press the same way: where one press says the one and another the other, the trace does not tell.
 */
export function withoutContradictions(views: readonly PressView[], motions: readonly Motion[]): Motion[] {
  const ran = motions.flatMap(({ turned, certain, stalls }, m) => (turned && certain && stalls.length === 0 ? [{ sign: views[m].press.sign, levelA: usualLevel(views[m]) }] : []));
  return motions.map((motion, m) => {
    const contradicts = ({ levelA }: StallRange): boolean => ran.some((run) => run.sign === views[m].press.sign && levelA > NEAR_TOP * run.levelA && run.levelA > NEAR_TOP * levelA);
    return motion.certain && motion.stalls.some(contradicts) ? { ...turningMotion(views[m]), certain: false } : motion;
  });
}

/**
 * A press that begins on a level and then runs: the rotor stuck at first, or its supply limits the current while it gains speed. A level that would have given it more
 * speed than it has shows a rotor that stood, and so does one that falls as a standing winding warms; a motor that stands, or comes to rest, in another press is stalled at that level. Where neither shows, not enough is recorded to tell.
 */
export function withoutLimitedStarts(views: readonly PressView[], motions: readonly Motion[]): Motion[] {
  const isShown = motions.map(({ turned, stalls, running }, m) => {
    const [first] = stalls;
    return first?.at === 'start' && turned && (turnedShare(views[m], first, running[0]) < SUSPECT.freeShare || warms(views[m], first));
  });
  const standsA = motions.flatMap(({ stalls }, m) => stalls.filter(({ at }, s) => at === 'travel' || (s === 0 && isShown[m])).map(({ levelA }) => levelA));
  return motions.map((motion, m) => {
    const first = motion.stalls[0];
    if (!motion.turned || first?.at !== 'start' || first.endIndex >= views[m].press.endIndex) return motion;
    const isStand = standsA.some((levelA) => first.levelA > NEAR_TOP * levelA && levelA > NEAR_TOP * first.levelA);
    return isStand ? motion : { ...motion, stalls: motion.stalls.slice(1), certain: motion.stalls.length > 1 };
  });
}

/**
 * The run as a share of the standing current that the motor must have if it gained speed all along its first level, whatever limits that: what flows beyond the load gives speed,
 * J dw/dt = k (i - run), and at the end k w = R (standing - run), so that the charge of the whole start is tau (standing - run), and that of the fall after the level
 * tau (level - run) (tau = R J/k², the motor's own at full volts). Infinity where no run or no fall is seen.
 */
export function turnedShare({ envelope }: PressView, { startIndex, endIndex, levelA }: IndexRange & { readonly levelA: number }, run: IndexRange | undefined): number {
  if (run === undefined) return Infinity;
  const [from, to] = [cellAt(envelope, endIndex), cellAt(envelope, run.startIndex)];
  const runA = median(envelope.levelA.subarray(to, Math.max(to + 1, cellAt(envelope, run.endIndex))));
  const beyondA = levelA - runA;
  let fallAs = 0;
  for (let k = from; k < to; k++) fallAs += Math.max(0, envelope.levelA[k] - runA) * envelope.stepS;
  const levelAs = beyondA * (endIndex - startIndex) * (envelope.stepS / envelope.step);
  return fallAs > 0 && beyondA > 0 ? runA / (runA + beyondA * (1 + levelAs / fallAs)) : Infinity;
}

/** Whether a level falls from its second quarter to its third by more than the clamp's noise makes of it. */
function warms({ envelope, cellNoiseA }: PressView, { startIndex, endIndex }: StallRange): boolean {
  const from = cellAt(envelope, startIndex);
  const quarter = (cellAt(envelope, endIndex) - from) >> 2;
  if (quarter < 1) return false;
  const [second, third] = [1, 2].map((part) => mean(envelope.levelA.subarray(from + part * quarter, from + (part + 1) * quarter)));
  const independent = Math.max(1, (quarter * envelope.stepS) / MAINS_PERIOD_S);
  return second - third > clearOf() * cellNoiseA * Math.sqrt(2 / independent);
}

/** Level of the later half of a press, A. */
function usualLevel({ envelope }: PressView): number {
  return median(envelope.levelA.subarray(envelope.cells >> 1));
}

/** How a latch stalls once its bolt is across: at its last level, until the pulse ends. */
export function latchStand(view: PressView): StallRange[] {
  const stand = view.plateaus.top.at(-1);
  return stand === undefined ? [] : [{ ...toStall(stand, view), startIndex: view.envelope.startIndex + stand.from * view.envelope.step, at: 'travel' }];
}

/** A press that begins on a plateau and stays there never turned; a dip before the first plateau is a motor that got going. */
function didTurn(view: PressView, standing: readonly Plateau[]): boolean {
  if (standing.length !== 1) return true;
  if (!stoodFromStart(standing[0], view)) return true;
  const lowA = 0.8 * standing[0].levelA;
  for (let k = standing[0].to; k < view.envelope.cells - 4; k++) if (view.envelope.levelA[k] < lowA) return true;
  return false;
}

/**
 * Whether the motor has hardly moved before it stood. Its speed is as far from full as its current from the standing current
 * (e = V - R i), so the area between the two, over the standing current, is travel in seconds of full speed. What is less than a level takes is play
 * taken up and a stop pressed in, some turns of a motor.
 */
function stoodFromStart(plateau: Plateau, view: PressView): boolean {
  const { envelope, press } = view;
  // the winding's rise comes first; a rotor that its stop throws back has its highest current later
  let from = 0;
  while (!press.startsMidway && from < plateau.from && envelope.levelA[from + 1] >= envelope.levelA[from]) from++;
  let travelS = 0;
  for (let k = from; k < plateau.from; k++) travelS += Math.max(0, 1 - envelope.levelA[k] / plateau.levelA) * envelope.stepS;
  return travelS < LEVEL_S;
}

function toStall(plateau: Plateau, view: PressView): StallRange {
  const { envelope, press } = view;
  const atStart = !press.startsMidway && stoodFromStart(plateau, view);
  const startIndex = atStart ? press.startIndex : envelope.startIndex + plateau.from * envelope.step;
  const approachIndex = Math.min(startIndex, envelope.startIndex + plateau.approach * envelope.step);
  const endIndex = plateau.to >= envelope.cells ? press.endIndex : envelope.startIndex + plateau.to * envelope.step;
  return { startIndex, approachIndex, endIndex, levelA: plateau.levelA, at: atStart ? 'start' : 'travel' };
}
