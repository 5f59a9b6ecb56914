import type { Commutation, Ripple } from '../../results.ts';
import type { InrushReading, PressReading } from '../codes.ts';
import type { ActuationOptions } from '../../options.ts';
import type { Trace } from '../../../trace.ts';
import type { Baseline } from '../sensor/baseline.ts';
import { clampSpeed, type ClampSpeed } from '../presses/clamp-speed.ts';
import { fuseLoad, pressI2t, wireShare } from '../quantities/fuse-and-wire.ts';
import { cutOutAfter, type LeadPlace } from '../sensor/feed-voltage.ts';
import { badCommutation } from '../commutator/folding.ts';
import { clippedAt, markClipped } from '../sensor/full-scale.ts';
import { withFit } from '../quantities/inrush/inrush-curve.ts';
import { peakBand } from '../quantities/inrush/peak-band.ts';
import type { PressView } from '../motion/press-view.ts';
import type { Press } from '../presses/presses.ts';
import type { Wire } from '../wire/wire.ts';
import type { Sampling } from '../sensor/sampling.ts';
import { LITTLE, TRIFLE } from '../signal/decision-levels.ts';
import { timeAtSpeed, travelOf } from '../quantities/travel.ts';
import type { Motion } from '../types.ts';

/** What the trace as a whole says about its sensor, for the figures of single presses. */
export interface PressContext {
  /** readings as they were written */
  readonly recordedA: Float32Array;
  readonly wire: Wire;
  /** what is read: without spikes and chopping */
  readonly trace: Trace;
  readonly baseline: Baseline;
  readonly sampling: Sampling;
  readonly options: ActuationOptions;
  readonly clamp: ClampSpeed;
  readonly place: LeadPlace;
  /** the reading at which the sensor clips, A; null when it does not */
  readonly clipA: number | null;
}

export function pressContext(known: Omit<PressContext, 'clamp' | 'clipA'>, presses: readonly Press[]): PressContext {
  const { baseline, sampling, options, recordedA } = known;
  return { ...known, clamp: clampSpeed(presses, baseline, sampling, options), clipA: clippedAt(recordedA, baseline, options) };
}

/** Adds to a press what is worked out from its figures: bounds of a clipped or slowed peak, the fit, travel, fuse, wire. */
export function withDetails(plain: PressReading, view: PressView, motion: Motion, context: PressContext): PressReading {
  const { options, baseline, sampling } = context;
  const inrushRange = motion.inrushEnd === null ? null : { startIndex: view.press.startIndex, endIndex: motion.inrushEnd };
  const marked = context.clipA === null ? plain : withoutHidden(markClipped(plain, { inrush: inrushRange, running: motion.running, stalls: motion.stalls }, context.recordedA, context.clipA));
  const opened = context.place !== 'motor' || context.trace.voltageV === null ? marked : markCutOuts(marked, motion, context.trace.voltageV, context);
  const fitted = opened.inrush === null ? opened : { ...opened, inrush: withBand(withFit(opened.inrush, opened.run, view, motion, context), opened, view, context) };
  const notch = context.wire.chopping !== null ? null : badCommutation(view.press, motion.running, fitted.ripple, options.commutationsPerRevolution, { baseline, sampling });
  const bad = notch !== null && isOfRotor(notch, fitted.ripple) ? notch : null;
  const turned = bad === null ? fitted : { ...fitted, ripple: rippleByTurns(fitted.ripple, bad) };
  const travel = travelOf(turned, options.commutationsPerRevolution, atSpeed(turned, view.press, context));
  const fuse = options.fuseRatingA === undefined ? null : fuseLoad(turned, options.fuseRatingA, pressI2t(view.press, context.trace.timeS, baseline));
  // at the battery the lead sees nothing of the wire
  const wire = options.wire === undefined || context.place !== 'motor' ? null : wireShare(turned, options.wire);
  return {
    ...turned,
    travel,
    ...(bad === null ? {} : { bad_commutation: bad }),
    ...(fuse === null ? {} : { fuse }),
    ...(wire === null ? {} : { wire }),
  };
}

/** Stalls that the motor's own cut-out ended, as the voltage at the motor shows. */
function markCutOuts(actuation: PressReading, motion: Motion, voltageV: Float32Array, { baseline, sampling }: PressContext): PressReading {
  const stalls = actuation.stalls.map((stall, s) => (cutOutAfter(motion.stalls[s], voltageV, baseline.deviationA, sampling.rateHz) ? { ...stall, cut_out: true as const } : stall));
  return { ...actuation, stalls };
}

/** By the standing current of the press itself: its stall, or what the switch-on says. */
function atSpeed({ run, stalls, inrush }: PressReading, press: Press, { trace, baseline }: PressContext): number | null {
  if (run === null || run.at_least === true || inrush?.peak_at_least === true) return null;
  const stall = stalls.find((one) => one.at_least !== true);
  const standingA = stall?.level_a ?? inrush?.fit?.standstill_a;
  return standingA === undefined ? null : timeAtSpeed(press, run.median_a, standingA, trace.timeS, baseline.deviationA);
}

/** The ripple comes a whole number of times in a turn: what recurs otherwise, as the waves of a charger, is not the rotor's. */
function isOfRotor({ revolutions_per_s: turnHz }: Commutation, ripple: Ripple | null): boolean {
  return ripple === null || Math.abs(ripple.frequency_hz - Math.round(ripple.frequency_hz / turnHz) * turnHz) <= TRIFLE * ripple.frequency_hz;
}

/** A bad segment makes a comb of lines once a turn that can pass for the ripple: with the turns followed, the ripple is found by them. */
function rippleByTurns(ripple: Ripple | null, bad: Commutation): Ripple | null {
  if (ripple === null || bad.ripples_per_revolution === null) return ripple;
  const times = (bad.revolutions_per_s * bad.ripples_per_revolution) / ripple.frequency_hz;
  if (Math.abs(times - 1) < LITTLE) return ripple;
  return {
    frequency_hz: ripple.frequency_hz * times,
    low_hz: ripple.low_hz * times,
    high_hz: ripple.high_hz * times,
    revolutions_per_s: ripple.revolutions_per_s === null ? null : bad.revolutions_per_s,
    count: Math.round(ripple.count * times),
  };
}

/** With the band in which a peak that is narrow against the time between readings lies. */
function withBand(inrush: InrushReading, { run }: PressReading, view: PressView, { baseline, sampling }: PressContext): InrushReading {
  const band = peakBand(inrush, run?.median_a ?? null, view, baseline, sampling);
  return band === null ? inrush : { ...inrush, low_peak_a: band.lowA, high_peak_a: band.highA, narrow_peak: true };
}

/** A press at the end of the range from beginning to end shows neither a fall nor a ripple: running and standing look the same. */
function withoutHidden(actuation: PressReading): PressReading {
  const { run, stalls } = actuation;
  if (run !== null || stalls.length === 0 || stalls.some((stall) => stall.at_least !== true)) return actuation;
  const [first, last] = [stalls[0], stalls[stalls.length - 1]];
  const level: PressReading['run'] = { start_s: first.start_s, end_s: last.end_s, median_a: first.level_a, low_a: first.level_a, high_a: first.level_a, spread_a: 0, slope_a_per_s: 0, at_least: true };
  return { ...actuation, run: level, stalls: [], finding: 'unclear' };
}
