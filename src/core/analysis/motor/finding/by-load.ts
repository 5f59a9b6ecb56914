import type { LoadKind } from '../../results.ts';
import type { MotorEvent, PressReading } from '../codes.ts';
import type { Press } from '../presses/presses.ts';
import type { PressView } from '../presses/press-view.ts';
import type { LoadReading } from '../wire/load-kind.ts';
import { findBeat } from '../motion/beat.ts';
import { STALL } from '../settings.ts';
import { findSteps, type StepSeen } from '../motion/steps.ts';
import { findPlunger } from '../wire/plunger.ts';
import { choppedOf, eventsOf } from './press-events.ts';
import type { ExtrasContext } from './press-details.ts';
import type { Motion } from '../types.ts';

/** What stands for a load that is no motor: nothing turns in it, so nothing stalls, ripples or travels. */
export function asLoad(actuation: PressReading, { kind, reason }: LoadReading): PressReading {
  // one level that is there at once is a standing motor's or a heater's, one that comes up slowly may be a coil's
  if ((reason === 'sharp-edge' || reason === 'slow-edge') && actuation.finding === 'locked') return { ...actuation, run: levelOf(actuation), stalls: [], finding: 'unclear' };
  if (kind === 'motor' || kind === 'unknown') return actuation;
  const finding = actuation.finding === 'intermittent' ? 'intermittent' : 'normal';
  if (kind === 'latch' || kind === 'starter') return { ...actuation, finding };
  const { bad_commutation: _bad, beat: _beat, ...plain } = actuation;
  const inrush: PressReading['inrush'] = plain.inrush === null ? null : { ...plain.inrush, fit: null, no_fit: { code: 'no-motor' } };
  return { ...plain, inrush, run: plain.run ?? levelOf(actuation), stalls: [], ripple: null, travel: null, finding };
}

/** A load that came up and stayed at one level was first read as a motor that stood. */
function levelOf({ stalls }: PressReading): PressReading['run'] {
  const [level] = stalls;
  if (level === undefined) return null;
  return { start_s: level.start_s, end_s: level.end_s, median_a: level.level_a, low_a: level.level_a, high_a: level.level_a, spread_a: 0, slope_a_per_s: 0 };
}

/** A stall well below what the switch-on says the motor draws standing is one of several motors that stands: a step as well. */
function partialStalls({ run, stalls, inrush }: PressReading): StepSeen[] {
  if (run === null || inrush?.fit == null) return [];
  const lowA = inrush.fit.low_standstill_a;
  const errorA = (run.high_a - run.low_a) / 2;
  return stalls.filter((stall) => stall.at === 'travel' && stall.at_least !== true && stall.level_a < STALL.partialShare * lowA).map((stall) => {
    const changeA = stall.level_a - run.median_a;
    return { at_s: stall.start_s, change_a: changeA, low_a: changeA - errorA, high_a: changeA + errorA, cell: 0, isJam: false };
  });
}

interface Place {
  readonly press: Press;
  readonly view: PressView;
  readonly before: { actuation: PressReading; press: Press } | undefined;
  readonly kind: LoadKind;
  readonly motion: Motion;
}

/** Adds what happened on the wire during a press: a chopped supply, spikes, a reversal, a plunger that moved. */
export function withWire(actuation: PressReading, { press, view, before, kind, motion }: Place, context: ExtrasContext): PressReading {
  const { wire, baseline, sampling, clamp, trace } = context;
  const chopped = choppedOf(press, wire, baseline);
  const seen: MotorEvent[] = eventsOf(actuation, press, before, context);
  const plunger = kind === 'solenoid' ? findPlunger(view, baseline, sampling, clamp) : null;
  if (plunger !== null) seen.push({ code: 'plunger', atS: trace.timeS[plunger.index], sizeA: null });
  const steps = (kind !== 'motor' && kind !== 'unknown') || (wire.chopping?.part ?? null) !== null ? [] : findSteps(view, motion.running, trace.timeS, baseline.deviationA);
  steps.push(...partialStalls(actuation));
  for (const step of steps) seen.push({ code: 'step', atS: step.at_s, sizeA: step.change_a });
  const beat = kind === 'lamp' || kind === 'heater' || kind === 'solenoid' || kind === 'starter' || actuation.bad_commutation !== undefined || steps.length > 0 ? null : findBeat(view, motion.running);
  const events = seen.toSorted((a, b) => a.atS - b.atS);
  const jammed = steps.some(({ isJam }) => isJam) && actuation.finding === 'normal' && actuation.cut === undefined;
  return { ...actuation, ...(jammed ? { finding: 'suspect' } : {}), ...(steps.length === 0 ? {} : { steps: steps.map(({ cell: _cell, isJam: _isJam, ...step }) => step) }), ...(beat === null ? {} : { beat }), ...(chopped === null ? {} : { chopped }), ...(events.length === 0 ? {} : { events }) };
}
