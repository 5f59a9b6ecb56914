import type { Beat } from '../../results.ts';
import type { MotorEvent, PressReading } from '../codes.ts';
import type { Press } from '../presses/presses.ts';
import type { PressView } from '../motion/press-view.ts';
import type { LoadReading } from '../wire/load-kind.ts';
import type { Wire } from '../wire/wire.ts';
import { findLostLoad, type LostLoad } from '../motion/lost-load.ts';
import { jammedMotion } from '../motion/jam.ts';
import { findBeat } from '../motion/beat.ts';
import { FASTEST_TURN_HZ } from '../motor-model.ts';
import { NEAR_TOP } from '../motion/plateaus.ts';
import type { Sampling } from '../sensor/sampling.ts';
import { STALL, SUSPECT } from '../settings.ts';
import { findSteps, type StepSeen } from '../motion/steps.ts';
import { findTakenUp } from '../motion/taken-up.ts';
import { findPlunger } from '../wire/plunger.ts';
import { choppedOf, eventsOf } from './press-events.ts';
import type { PressContext } from './press-details.ts';
import type { Motion } from '../types.ts';

/**
 * What is read of a load that is no motor: nothing turns in it, so nothing stalls, ripples or travels. `level` is its current where it came up and stayed
 * at one level, which was first read as a motor that stood; `stand` is the stall of a latch, whose motor stalls in every press, by design.
 */
export function asLoad(actuation: PressReading, { kind, reason }: LoadReading, level: () => PressReading['run'], stand: () => PressReading['stalls'], runLimitsA?: readonly [number, number]): PressReading {
  // one level that is there at once is a standing motor's or a heater's, one that comes up slowly may be a coil's, and the mean of pulses any load's
  const isOneLevel = actuation.finding === 'locked' || (actuation.finding === 'stalled' && actuation.run === null);
  if ((reason === 'pulsed' || ((reason === 'sharp-edge' || reason === 'slow-edge') && !isAboveLimits(actuation, runLimitsA))) && isOneLevel) return { ...actuation, run: level(), stalls: [], finding: 'unclear' };
  if (reason === 'no-rotor') return withoutFit(actuation);
  if (kind === 'motor' || kind === 'unknown') return actuation;
  const finding = actuation.finding === 'intermittent' ? 'intermittent' : 'normal';
  if (kind === 'latch') return { ...actuation, stalls: stand(), finding };
  if (kind === 'starter') return { ...actuation, finding };
  const { bad_commutation: _bad, beat: _beat, ...plain } = withoutFit(actuation);
  return { ...plain, run: plain.run ?? level(), stalls: [], ripple: null, travel: null, finding };
}

/** Whether a level is so far above the range typed for what works on this wire that, whatever it is, it does not work. */
function isAboveLimits({ stalls }: PressReading, limitsA: readonly [number, number] | undefined): boolean {
  return limitsA !== undefined && stalls.some(({ level_a: levelA }) => levelA > STALL.overRun * limitsA[1]);
}

/** A switch-on that is no motor's tells no standing current. */
function withoutFit(actuation: PressReading): PressReading {
  return actuation.inrush === null ? actuation : { ...actuation, inrush: { ...actuation.inrush, fit: null, no_fit: { code: 'no-motor' } } };
}

/** A stall well below what the switch-on says the motor draws standing is one of several motors stalling: a step as well. */
function partialStalls({ run, stalls, inrush }: PressReading): StepSeen[] {
  if (run === null || inrush?.fit == null) return [];
  const lowA = inrush.fit.low_standstill_a;
  const errorA = (run.high_a - run.low_a) / 2;
  return stalls.filter((stall) => stall.at === 'travel' && stall.at_least !== true && stall.level_a < NEAR_TOP * lowA).map((stall) => {
    const changeA = stall.level_a - run.median_a;
    return { at_s: stall.start_s, change_a: changeA, low_a: changeA - errorA, high_a: changeA + errorA, cell: 0, isJam: false, stands: false };
  });
}

/** A motor that drives nothing has no load that could recur: what beats there is its own rotation, folded down by the logger. */
function spinsFree({ run, inrush }: PressReading): boolean {
  return run !== null && inrush !== null && run.median_a < SUSPECT.freeShare * inrush.peak_a;
}

interface Place {
  readonly press: Press;
  readonly view: PressView;
  readonly before: { actuation: PressReading; press: Press } | undefined;
  readonly load: LoadReading;
  readonly motion: Motion;
  /** the figures of a press by what its motor did */
  readonly measure: (motion: Motion) => Pick<PressReading, 'run' | 'stalls'>;
}

/** What a motor's current does in the midst of its run. */
interface InRun {
  readonly steps: readonly StepSeen[];
  readonly slip: LostLoad | null;
  readonly beat: Beat | null;
}

type Question = (actuation: PressReading, place: Place, wire: Wire, sampling: Sampling) => boolean;

/** Only what turns, or may turn, can jam, let go of its load or meet a tight spot once a turn. */
const mayTurn: Question = (_actuation, { load: { kind } }) => kind === 'motor' || kind === 'unknown';

/** Pulses that hold a place make steps of their own, and so does a clamp that passes no direct current. */
const stepsByItself: Question = (_actuation, _place, { coupling, chopping }) => coupling !== null || (chopping !== null && chopping.part !== null);

const isMotor: Question = ({ inrush }, { load: { kind } }) => kind === 'motor' || inrush?.fit != null;

/** What swings without a load that recurs: such a clamp, what is no motor, a chopped supply or the rotor's own turns folded by the logger, a lost coil, a rotor that drives nothing. */
const swingsByItself: Question = (actuation, { load: { reason } }, { coupling, chopping }, { rateHz }) =>
  coupling !== null || reason === 'no-rotor' || chopping !== null || rateHz < 2 * FASTEST_TURN_HZ || actuation.bad_commutation !== undefined || spinsFree(actuation);

function inRunOf(actuation: PressReading, place: Place, { wire, trace, baseline, sampling }: PressContext): InRun {
  const { view, motion } = place;
  const asks = (question: Question): boolean => question(actuation, place, wire, sampling);
  if (!asks(mayTurn)) return { steps: [], slip: null, beat: null };
  const sudden = asks(stepsByItself) ? [] : findSteps(view, motion.running, trace.timeS, baseline.deviationA);
  const takenUp = sudden.length > 0 || asks(stepsByItself) || !asks(isMotor) ? null : findTakenUp(view, motion.running, trace.timeS);
  const steps = [...sudden, ...(takenUp === null ? [] : [takenUp]), ...partialStalls(actuation)];
  // a step leaves two levels: neither one that was lost nor one that recurs can be named from it
  if (steps.length > 0) return { steps, slip: null, beat: null };
  const slip = asks(isMotor) && wire.chopping === null ? findLostLoad(view, motion.running) : null;
  return { steps, slip, beat: asks(swingsByItself) ? null : findBeat(view, motion.running) };
}

/**
 * One of several motors that jams stands while the others go on: the press is no longer sound, and what its level left open is answered. It stands for sure where the wire then draws
 * more of the switch-on than one motor at work ever does; up to there one that is loaded harder looks the same.
 */
function withJam(actuation: PressReading, { steps }: InRun, { press, motion, view, measure }: Place, { clipA }: PressContext): PressReading {
  const jam = steps.find(({ isJam }) => isJam);
  if (jam === undefined || actuation.cut !== undefined) return actuation;
  const jammed = jammedMotion(motion, view, jam);
  const stands = jam.stands && press.fromRest && clipA === null && jammed.stalls.some(({ levelA }) => levelA > SUSPECT.hardShare * view.peak.peakA);
  if (actuation.finding !== 'normal' && !(actuation.finding === 'unclear' && stands)) return actuation;
  return { ...actuation, ...(stands ? measure(jammed) : {}), finding: 'suspect' };
}

/** Adds what happened on the wire during a press: a chopped supply, spikes, a reversal, a plunger that moved, what the run met. */
export function withWire(actuation: PressReading, place: Place, context: PressContext): PressReading {
  const inRun = inRunOf(actuation, place, context);
  const steps = inRun.steps.map(({ cell: _cell, isJam: _isJam, stands: _stands, ...step }) => step);
  const chopped = choppedOf(place.press, context.wire, context.baseline);
  return { ...withJam(actuation, inRun, place, context), ...whatIsThere({ steps, beat: inRun.beat, chopped, events: allEvents(actuation, inRun, place, context) }) };
}

function allEvents(actuation: PressReading, { steps, slip }: InRun, { press, view, before, load }: Place, context: PressContext): MotorEvent[] {
  const { timeS } = context.trace;
  const plunger = load.kind === 'solenoid' ? findPlunger(view, context.baseline, context.sampling, context.clamp) : null;
  const events = eventsOf(actuation, press, before, context);
  if (plunger !== null) events.push({ code: 'plunger', atS: timeS[plunger.index], sizeA: null });
  for (const step of steps) events.push({ code: 'step', atS: step.at_s, sizeA: step.change_a });
  if (slip !== null) events.push({ code: 'slip', atS: timeS[slip.index], sizeA: slip.afterA });
  return events.toSorted((a, b) => a.atS - b.atS);
}

type There<Fields> = { [Name in keyof Fields]?: NonNullable<Fields[Name]> };

/** The fields that say something: a press carries none that is null or an empty list. */
function whatIsThere<Fields extends object>(fields: Fields): There<Fields> {
  return Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== null && !(Array.isArray(value) && value.length === 0))) as There<Fields>;
}
