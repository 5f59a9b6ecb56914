import type { Beat, LoadKind } from '../../results.ts';
import type { MotorEvent, PressReading } from '../codes.ts';
import type { Press } from '../presses/presses.ts';
import type { PressView } from '../motion/press-view.ts';
import type { LoadReading } from '../wire/load-kind.ts';
import { findLostLoad, type LostLoad } from '../motion/lost-load.ts';
import { findBeat } from '../motion/beat.ts';
import { NEAR_TOP } from '../motion/plateaus.ts';
import { SUSPECT } from '../settings.ts';
import { findSteps, type StepSeen } from '../motion/steps.ts';
import { findPlunger } from '../wire/plunger.ts';
import { choppedOf, eventsOf } from './press-events.ts';
import type { ExtrasContext } from './press-details.ts';
import type { Motion } from '../types.ts';

/**
 * What stands for a load that is no motor: nothing turns in it, so nothing stalls, ripples or travels. `level` is its current where it came up and stayed
 * at one level, which was first read as a motor that stood.
 */
export function asLoad(actuation: PressReading, { kind, reason }: LoadReading, level: () => PressReading['run']): PressReading {
  // one level that is there at once is a standing motor's or a heater's, one that comes up slowly may be a coil's
  if ((reason === 'sharp-edge' || reason === 'slow-edge') && actuation.finding === 'locked') return { ...actuation, run: level(), stalls: [], finding: 'unclear' };
  if (kind === 'motor' || kind === 'unknown') return actuation;
  const finding = actuation.finding === 'intermittent' ? 'intermittent' : 'normal';
  if (kind === 'latch' || kind === 'starter') return { ...actuation, finding };
  const { bad_commutation: _bad, beat: _beat, ...plain } = actuation;
  const inrush: PressReading['inrush'] = plain.inrush === null ? null : { ...plain.inrush, fit: null, no_fit: { code: 'no-motor' } };
  return { ...plain, inrush, run: plain.run ?? level(), stalls: [], ripple: null, travel: null, finding };
}

/** A stall well below what the switch-on says the motor draws standing is one of several motors that stands: a step as well. */
function partialStalls({ run, stalls, inrush }: PressReading): StepSeen[] {
  if (run === null || inrush?.fit == null) return [];
  const lowA = inrush.fit.low_standstill_a;
  const errorA = (run.high_a - run.low_a) / 2;
  return stalls.filter((stall) => stall.at === 'travel' && stall.at_least !== true && stall.level_a < NEAR_TOP * lowA).map((stall) => {
    const changeA = stall.level_a - run.median_a;
    return { at_s: stall.start_s, change_a: changeA, low_a: changeA - errorA, high_a: changeA + errorA, cell: 0, isJam: false };
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
  readonly kind: LoadKind;
  readonly motion: Motion;
}

/** What a motor's current does in the midst of its run. */
interface InRun {
  readonly steps: readonly StepSeen[];
  readonly slip: LostLoad | null;
  readonly beat: Beat | null;
}

/** Only what turns, or may turn, can jam, let go of its load or meet a tight spot once a turn. */
function inRunOf(actuation: PressReading, { view, kind, motion }: Place, { wire, trace, baseline }: ExtrasContext): InRun {
  if (kind !== 'motor' && kind !== 'unknown') return { steps: [], slip: null, beat: null };
  const { chopping, coupling } = wire;
  // pulses that hold a place make steps of their own, and so does a clamp that passes no direct current
  const ownSteps = coupling !== null || (chopping !== null && chopping.part !== null);
  const steps = [...(ownSteps ? [] : findSteps(view, motion.running, trace.timeS, baseline.deviationA)), ...partialStalls(actuation)];
  // a step leaves two levels: neither one that was lost nor one that recurs can be told from it
  if (steps.length > 0) return { steps, slip: null, beat: null };
  const isMotor = kind === 'motor' || actuation.inrush?.fit != null;
  const swings = coupling !== null || chopping !== null || actuation.bad_commutation !== undefined || spinsFree(actuation);
  return { steps, slip: isMotor && chopping === null ? findLostLoad(view, motion.running) : null, beat: swings ? null : findBeat(view, motion.running) };
}

/** Adds what happened on the wire during a press: a chopped supply, spikes, a reversal, a plunger that moved, what the run met. */
export function withWire(actuation: PressReading, place: Place, context: ExtrasContext): PressReading {
  const { press, view, before, kind } = place;
  const { wire, baseline, sampling, clamp, trace } = context;
  const chopped = choppedOf(press, wire, baseline);
  const plunger = kind === 'solenoid' ? findPlunger(view, baseline, sampling, clamp) : null;
  const { steps, slip, beat } = inRunOf(actuation, place, context);
  const seen: MotorEvent[] = [
    ...eventsOf(actuation, press, before, context),
    ...(plunger === null ? [] : [{ code: 'plunger' as const, atS: trace.timeS[plunger.index], sizeA: null }]),
    ...steps.map((step) => ({ code: 'step' as const, atS: step.at_s, sizeA: step.change_a })),
    ...(slip === null ? [] : [{ code: 'slip' as const, atS: trace.timeS[slip.index], sizeA: slip.afterA }]),
  ];
  const events = seen.toSorted((a, b) => a.atS - b.atS);
  const jammed = steps.some(({ isJam }) => isJam) && actuation.finding === 'normal' && actuation.cut === undefined;
  return {
    ...actuation,
    ...(jammed ? { finding: 'suspect' } : {}),
    ...(steps.length === 0 ? {} : { steps: steps.map(({ cell: _cell, isJam: _isJam, ...step }) => step) }),
    ...(beat === null ? {} : { beat }),
    ...(chopped === null ? {} : { chopped }),
    ...(events.length === 0 ? {} : { events }),
  };
}
