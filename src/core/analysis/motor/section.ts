import type { Trace } from '../../trace.ts';
import type { GapFields, LimitCrossing, Ripple } from '../results.ts';
import type { MotorProblem, PressReading } from './codes.ts';
import type { ActuationOptions } from '../options.ts';
import { findBaseline, type Baseline } from './sensor/baseline.ts';
import { withoutBeside } from './sensor/beside.ts';
import { bandwidthOf } from './presses/clamp-speed.ts';
import { feedUp, feedVoltage, placeOfLead, type FeedVoltage, type LeadPlace } from './sensor/feed-voltage.ts';
import { findingOf } from './finding/finding.ts';
import { pressContext, withDetails, type PressContext } from './finding/press-details.ts';
import { findLimitCrossings } from './quantities/limit-crossings.ts';
import { withoutClippedStarts } from './sensor/full-scale.ts';
import { inrushFields } from './quantities/inrush/inrush.ts';
import { withoutTurningStarts } from './quantities/inrush/inrush-curve.ts';
import { judgeMotions, latchStand, turningMotion, withoutContradictions, withoutLimitedStarts } from './motion/motion.ts';
import { motorParameters } from './motion/motor-parameters.ts';
import { viewPress, type PressView } from './motion/press-view.ts';
import { recordingProblems } from './finding/plausibility.ts';
import { withoutSags } from './wire/feed-sags.ts';
import { findPresses, type Presses } from './presses/presses.ts';
import { readingProblems } from './finding/reading-problems.ts';
import { readRipples, type RippleReading } from './ripple/ripple.ts';
import { runFields } from './motion/run.ts';
import { describeSampling, type Sampling } from './sensor/sampling.ts';
import { envelopeBetween } from './signal/envelope.ts';
import { asLoad, withWire } from './finding/by-load.ts';
import { wireProblems } from './finding/wire-problems.ts';
import { isSamplersOwn } from './sensor/sampler-tone.ts';
import { unseenLoads } from './wire/clamp-off.ts';
import { voltsElsewhere } from './wire/volts-elsewhere.ts';
import { isZeroedUnderCurrent } from './wire/zero-under-current.ts';
import { loadOf, type LoadReading } from './wire/load-kind.ts';
import { withBudget } from './quantities/press-budget.ts';
import { withSensor } from './quantities/sensor-bounds.ts';
import { usualVolts } from './wire/voltage-channel.ts';
import { readWire, type Wire } from './wire/wire.ts';
import { pairingOf } from './quantities/supply/supply-cells.ts';
import { supplyFields } from './quantities/supply/supply.ts';
import { warmingOf } from './quantities/supply/warming.ts';
import { median } from '../../stats.ts';
import type { IndexRange, Motion, StallRange } from './types.ts';
import { SUSPECT } from './settings.ts';
import { MAINS_PERIOD_S } from './time-scales.ts';
import { SMALL_PART } from './signal/decision-levels.ts';

/** Everything one stretch of a recording shows. */
export interface Section {
  readonly samples: number;
  readonly startS: number;
  readonly endS: number;
  readonly rateHz: number;
  readonly gaps: readonly GapFields[];
  readonly place: LeadPlace;
  readonly hasVoltage: boolean;
  readonly topV: number;
  readonly deadPresses: number;
  readonly certain: boolean;
  readonly load: LoadReading;
  /** stretches in which the volts show a load that the clamp does not */
  readonly unseenLoads: number;
  readonly isUnusable: boolean;
  readonly backgroundA: number;
  readonly baseline: { readonly current_a: number; readonly noise_a: number };
  readonly actuations: readonly PressReading[];
  readonly flags: readonly LimitCrossing[];
  readonly problems: readonly MotorProblem[];
}

/**
 * Reads one stretch that fits in memory. Where the clamp was zeroed with current flowing, the level of the pauses is nothing: it is read again with that taken off, and the
 * answer counts where a motor then shows by itself. Linear in the number of samples.
 */
export function readSection(recorded: Trace, options: ActuationOptions): Section {
  const asRead = readOnce(recorded, options);
  const { pausesAtA } = asRead;
  if (pausesAtA === null) return asRead;
  // the range ends elsewhere then
  const { fullScaleA: _end, ...others } = options;
  const again = readOnce({ ...recorded, currentA: recorded.currentA.map((readingA) => readingA - pausesAtA) }, others);
  if (again.pausesAtA !== null || again.load.kind !== 'motor') return asRead;
  return {
    ...again,
    baseline: { ...again.baseline, current_a: again.baseline.current_a + pausesAtA },
    problems: [...again.problems, { code: 'zeroed-under-current', restsAtA: pausesAtA }],
  };
}

function readOnce(recorded: Trace, options: ActuationOptions): Section & { readonly pausesAtA: number | null } {
  const sampling = describeSampling(recorded.timeS, recorded.gaps);
  const wire = readWire(recorded, sampling);
  const { trace } = wire;
  const baseline = withoutBeside(findBaseline(trace.timeS, trace.currentA, sampling), sampling);
  const lead = placeOfLead(trace.voltageV, baseline.idle);
  const feed = lead.place === 'motor' && trace.voltageV !== null ? feedVoltage(trace.voltageV, lead.topV) : null;
  const found = findPresses(trace, baseline, sampling, feed, wire.coupling?.idleA);
  const presses = { ...found, presses: found.presses.map((press) => withoutSags(press, trace.voltageV, lead.place)) };
  const views = presses.presses.map((press) => viewPress(press, baseline, sampling));
  const common = motorParameters(views, idleRippleVariance(baseline, sampling));
  const context = pressContext({ recordedA: recorded.currentA, trace, baseline, sampling, wire, place: lead.place, options }, presses.presses);
  const judged = withoutContradictions(views, judgeMotions(views, common, options.runLimitsA));
  const seen = context.clipA === null ? judged : judged.map((motion) => withoutClippedStarts(motion, trace.currentA, context.clipA ?? Infinity));
  const known = { baseline, sampling, highestA: highestOf(views, seen), perRevolution: options.commutationsPerRevolution, cornerHz: bandwidthOf(context.clamp) };
  const ripplesIn = (moved: readonly Motion[]): RippleReading[] =>
    speedsOnly(readRipples(presses.presses, moved.map((motion, m) => (motion.turned ? motion.running : middleOf(presses.presses[m]))), known), wire, sampling);
  const first = ripplesIn(seen);
  // a ripple is a motor that turns, however level its current; its speed is then that of its run, not of the middle of the press
  const turning = seen.map((motion, m) => first[m].ripple !== null && (!motion.turned ? drawsLikeARun(views[m], common.runA) : !motion.certain && motion.stalls.length === 0));
  const turned = seen.map((motion, m) => (turning[m] ? turningMotion(views[m]) : motion));
  // the end of the range holds a level as flat as a supply does
  const motions = context.clipA === null ? withoutLimitedStarts(views, turned) : turned;
  const ripples = turning.includes(true) ? ripplesIn(motions) : first;
  const load = loadOf(views, motions, { baseline, sampling, clamp: context.clamp, clipA: context.clipA, idleRippleVarianceA2: common.idleRippleVarianceA2, rippled: first.map(({ ripple }) => ripple !== null), chopped: wire.chopping !== null && wire.chopping.part === null });
  const zeroedUnderCurrent = isZeroedUnderCurrent(views, common.idleRippleVarianceA2, context.clipA, { baseline, sampling });
  const read = withoutTurningStarts(views.map((view, v) => toActuation(view, motions[v], ripples[v].ripple, lead, context)));
  const elsewhere = voltsElsewhere(read, lead.place, lead.topV);
  const made = read.map((one) => (elsewhere.has(one) ? withoutVolts(one) : one));
  // what looks like a press is then a pause between two
  const actuations = zeroedUnderCurrent ? [] : made.map((actuation, a) => {
    const press = presses.presses[a];
    const level = (): PressReading['run'] => withSensor(runFields(press, motions[a].stalls, trace.timeS, baseline), options, baseline);
    const before = a > 0 ? { actuation: made[a - 1], press: presses.presses[a - 1] } : undefined;
    const stand = (): PressReading['stalls'] => latchStand(views[a]).map((stall) => stallFields(stall, trace.timeS));
    const measure = ({ running, stalls }: Motion): Pick<PressReading, 'run' | 'stalls'> => ({ run: withSensor(runFields(press, running, trace.timeS, baseline), options, baseline), stalls: stalls.map((stall) => stallFields(stall, trace.timeS)) });
    const whole = withWire(asLoad(actuation, load, level, stand, options.runLimitsA), { press, view: views[a], motion: motions[a], before, load, measure }, context);
    return withBudget(whole, press, { timeS: trace.timeS, baseline, clamp: context.clamp, options });
  });
  const unseen = trace.voltageV === null ? [] : unseenLoads(trace.voltageV, lead, presses.presses, baseline, sampling);
  const count = trace.timeS.length;
  return {
    pausesAtA: zeroedUnderCurrent ? baseline.currentA + median(views.map(({ envelope, press }) => press.sign * median(envelope.levelA))) : null,
    samples: count,
    startS: count > 0 ? trace.timeS[0] : 0,
    endS: count > 0 ? trace.timeS[count - 1] : 0,
    rateHz: sampling.rateHz,
    gaps: sampling.gaps.map((gap) => ({ start_s: gap.startS, end_s: gap.endS })),
    place: lead.place,
    hasVoltage: trace.voltageV !== null,
    topV: lead.topV,
    deadPresses: trace.voltageV !== null && feed !== null ? countDead(trace.voltageV, feed, presses, sampling) : 0,
    certain: motions.every((motion, m) => motion.certain || actuations[m]?.finding === 'suspect'),
    load,
    unseenLoads: unseen.length,
    isUnusable: wire.coupling !== null || zeroedUnderCurrent,
    backgroundA: baseline.backgroundA,
    baseline: { current_a: baseline.currentA, noise_a: baseline.noiseA },
    actuations,
    flags: options.flagLimitA === undefined ? [] : findLimitCrossings(trace.timeS, baseline, options.flagLimitA, options.flagHoldS ?? 0),
    problems: [...recordingProblems(trace, baseline, presses, sampling, ripples.map((reading) => reading.aliasing)), ...readingProblems(actuations, presses.presses, lead.place, lead.topV, context), ...wireProblems({ coupling: wire.coupling, zeroedUnderCurrent, elsewhere: zeroedUnderCurrent ? 0 : elsewhere.size, unseen: unseen.length, backgroundA: baseline.backgroundA, wire, actuations, sampling })],
  };
}

function toActuation(view: PressView, motion: Motion, ripple: Ripple | null, { place, isEvidence }: { readonly place: LeadPlace; readonly isEvidence: boolean }, context: PressContext): PressReading {
  const { press } = view;
  const { trace, baseline, sampling, options } = context;
  const { timeS } = trace;
  const run = withSensor(runFields(press, motion.running, timeS, baseline), options, baseline);
  const peaked = motion.inrushEnd !== null && (run === null || view.peak.peakA > (1 + SMALL_PART) * run.median_a);
  // a break that ends a stall, as a cut-out does, is none in a running motor
  const atOnce = Math.max(2 * view.envelope.step, Math.round(MAINS_PERIOD_S * sampling.rateHz));
  const standing = (index: number): boolean => motion.stalls.some((stall) => index > stall.startIndex && index <= stall.endIndex + atOnce);
  const feed = trace.voltageV === null || place === null ? null : pairingOf({ press, baseline, sampling, voltageV: trace.voltageV, place, readA: trace.currentA, clipA: context.clipA, clamp: context.clamp });
  const feedV = trace.voltageV === null || !isEvidence ? null : feedVolts(press, motion, trace.voltageV);
  const warmed = feed === null ? null : warmingOf(feed, motion.running[0]);
  const actuation: PressReading = {
    start_s: timeS[press.startIndex],
    end_s: timeS[Math.min(press.endIndex, timeS.length - 1)],
    direction: press.sign > 0 ? 'forward' : 'reverse',
    inrush: peaked && motion.inrushEnd !== null ? inrushFields(press, view.peak, motion.inrushEnd, timeS, baseline) : null,
    run,
    stalls: motion.stalls.map((stall) => stallFields(stall, timeS)),
    dropouts: press.dropouts.map((range) => ({ start_s: timeS[range.startIndex], end_s: timeS[range.endIndex] })),
    ripple,
    ...(press.cut === null ? {} : { cut: press.cut }),
    supply: feed === null ? null : supplyFields(feed, motion),
    ...(warmed === null ? {} : { feed_warmed: warmed }),
    ...(feedV === null ? {} : { feed_v: feedV }),
    finding: findingOf(motion, run, press.dropouts.filter((range) => !standing(range.startIndex)).length, !press.startsMidway, options),
  };
  return withDetails(actuation, view, motion, context);
}

/** What is left of a press whose volts are those of another point. */
function withoutVolts({ feed_v: _foreign, feed_warmed: _too, ...one }: PressReading): PressReading {
  return { ...one, supply: null };
}

function stallFields({ startIndex, endIndex, levelA, at }: StallRange, timeS: Float64Array): PressReading['stalls'][number] {
  return { start_s: timeS[startIndex], end_s: timeS[Math.min(endIndex, timeS.length - 1)], level_a: levelA, at };
}

/** Whether a level could be a run beside what the other presses ran at. */
function drawsLikeARun({ plateaus }: PressView, runA: number | null): boolean {
  return runA === null || SUSPECT.hardShare * (plateaus.top[0]?.levelA ?? 0) < runA;
}

/** Middle half of a press. */
function middleOf({ startIndex, endIndex }: PressView['press']): IndexRange[] {
  const quarter = (endIndex - startIndex) >> 2;
  return [{ startIndex: startIndex + quarter, endIndex: Math.max(startIndex + quarter + 1, endIndex - quarter) }];
}

/** Usual volts of the run, or of the middle half of a press that never ran. */
function feedVolts({ startIndex, endIndex }: PressView['press'], { running }: Motion, voltageV: Float32Array): number {
  const quarter = (endIndex - startIndex) >> 2;
  const steady = running[0] ?? { startIndex: startIndex + quarter, endIndex: Math.max(startIndex + quarter + 1, endIndex - quarter) };
  return Math.abs(usualVolts(voltageV, steady.startIndex, steady.endIndex));
}

/** The highest current at a switch-on from rest or while standing, A: a little less than the motor's standing current. */
function highestOf(views: readonly PressView[], motions: readonly Motion[]): number {
  let highestA = 0;
  for (const [v, view] of views.entries()) {
    if (view.press.fromRest && !view.press.startsMidway) highestA = Math.max(highestA, view.peak.peakA);
    for (const stall of motions[v].stalls) highestA = Math.max(highestA, stall.levelA);
  }
  return highestA;
}

/** The power about the smoothed level of the idle clamp, made the same way as that of a press. */
function idleRippleVariance(baseline: Baseline, sampling: Sampling): number {
  const { idle } = baseline;
  let best = 0;
  for (let r = 0; r < idle.length; r += 2) if (idle[r + 1] - idle[r] > idle[best + 1] - idle[best]) best = r;
  if (idle.length === 0 || idle[best + 1] - idle[best] < 4) return 0;
  return median(envelopeBetween(idle[best], Math.min(idle[best + 1], idle[best] + 100_000), 1, baseline.deviationA, sampling).rippleVarianceA2);
}

/** Presses the feed's voltage shows, at its full volts all along, during which no current flowed: what a motor that coasts or springs back generates is lower and dies away. */
function countDead(voltageV: Float32Array, feed: FeedVoltage, presses: Presses, sampling: Sampling): number {
  const shortest = Math.max(2, Math.round(0.05 * sampling.rateHz));
  const silent = feedUp(voltageV, feed.onV, shortest).filter((up) => !presses.presses.some((press) => press.startIndex < up.endIndex && press.endIndex > up.startIndex));
  return silent.filter(({ startIndex, endIndex }) => feed.heldThrough(startIndex, endIndex) === true).length;
}

/** A line that is the logger's own in every press that has one, or that a chopped supply makes, is no speed: a rotor's differs from press to press. */
function speedsOnly(readings: readonly RippleReading[], { chopping }: Wire, { rateHz }: Sampling): RippleReading[] {
  const isOwn = readings.every(({ ripple }) => ripple === null || isSamplersOwn(ripple, rateHz));
  return readings.map((reading) => (reading.ripple !== null && (chopping !== null || isOwn) ? { ripple: null, aliasing: 'none' } : reading));
}
