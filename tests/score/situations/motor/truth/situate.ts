import { runBench, type Bench, type Looking, type Record } from '../physics/bench.ts';
import { Dice } from '../physics/dice.ts';
import type { Break, Hold } from '../physics/timeline.ts';
import { readClamp, readVolts, type ClampSpec } from '../sensor/clamp.ts';
import { BOUNDS } from './bounds.ts';
import { indexAt, meanOf, pressTruth, type Observed, type PressFacts } from './press.ts';
import type { Columns, Finding, JudgedProblem, LoadKind, Options, PressTruth, Situation, Span, Truth } from './types.ts';

/** Everything a family builds: the circuit, the logger, and what it knows of the case beyond the columns. */
export interface Scene {
  readonly bench: Bench;
  readonly look: Looking;
  readonly clamp: ClampSpec;
  readonly volts: { readonly noiseV: number; readonly lsbV: number; readonly signed: boolean };
  /** switch made and broken, as a person held it */
  readonly holds: readonly Hold[];
  /** true openings of the feed while it was held (bounces left out) */
  readonly breaks: readonly Break[];
  readonly options: Options;
  readonly standingA: number | null;
  /** so many of the bench's motors, from the first, are fed for the whole press: the others stand without power for a part of it, which is no stall. All when not given */
  readonly judgedMotors?: number;
  /** of the switch, between the feed and the motor's terminals */
  readonly contactOhm: number;
  /** only this part of the time was recorded */
  readonly window?: readonly [number, number];
  /** the logger lost this stretch */
  readonly gap?: Span;
  /** the timestamps come in whole multiples of this (0: exact) */
  readonly clockStepS: number;
  readonly kinds: readonly LoadKind[];
  readonly facts?: (press: number) => PressFacts;
  /** replaces the verdict that follows from the presses */
  readonly verdict?: { readonly right: readonly Finding[]; readonly honest: readonly Finding[] };
  readonly problemsSure?: readonly JudgedProblem[];
  readonly problemsAllowed?: readonly JudgedProblem[];
  readonly levelsJudged?: boolean;
  readonly splitAllowed?: boolean;
  /** which readings the logger keeps (all when not given) */
  readonly thin?: (timeS: number, index: number) => boolean;
  /** what the logger does to its readings once they are taken; times count from the first reading */
  readonly spoil?: (columns: Columns) => Columns;
}

/** Runs the scene and writes its label. Deterministic: everything that is left to chance comes from `dice`. */
export function situate(name: string, seed: number, scene: Scene, dice: Dice): Situation {
  const whole = runBench(scene.bench, scene.look, () => dice.normal());
  const record = without(windowed(whole, scene.window), scene.gap);
  const read = readClamp(record.timeS, record.feltA, scene.clamp, dice);
  const background = backgroundOf(record, scene);
  const noiseA = Math.hypot(scene.clamp.noiseA, scene.clamp.lsbA / Math.sqrt(12), scene.clamp.humA / Math.SQRT2, scene.clamp.toneA / Math.SQRT2);
  const seen = observe(record, scene, background ?? 0, noiseA);
  const presses = scene.holds.map((hold, index) => pressTruth(seen, hold, scene.facts?.(index) ?? {})).filter((press) => press !== null);
  const volts = record.tapV === null ? null : readVolts(record.tapV, scene.volts.noiseV, scene.volts.lsbV, scene.volts.signed, dice);
  const originS = record.timeS[0]!;
  const clipped = read.clipped;
  const truth: Truth = {
    ...verdictOf(presses, scene),
    kinds: scene.kinds,
    problemsSure: [...(scene.problemsSure ?? []), ...(clipped >= 0.01 * record.timeS.length ? (['clipped'] as const) : [])],
    problemsAllowed: [...(scene.problemsAllowed ?? []), ...(clipped > 0 ? (['clipped'] as const) : []), 'peak-band'],
    backgroundA: background === null ? null : scene.clamp.sense * scene.clamp.gain * background + scene.clamp.offsetA,
    backgroundToleranceA: Math.abs(background ?? 0) * 0.1 + 4 * noiseA + Math.abs(scene.clamp.driftAPerS) * scene.look.durationS + scene.bench.feed.rippleV,
    sourceOhm: sourceOf(scene),
    highestV: volts === null ? null : volts.reduce((highest, value) => Math.max(highest, Math.abs(value)), scene.bench.feed.openV + scene.bench.feed.rippleV),
    presses: presses.map((press) => shifted(press, -originS)),
    splitAllowed: scene.splitAllowed ?? presses.some((press) => press.greyBreaks.some((gone) => gone.endS - gone.startS > BOUNDS.breakSureS)),
    levelsJudged: scene.levelsJudged ?? (scene.clamp.highPassHz === 0 && scene.clamp.sense !== 0),
    timeS: record.timeS.map((atS) => atS - originS),
    wireA: seen.wireA,
    commutationHz: record.turnsPerS.map((speed, motor) => speed.map((turns) => Math.abs(turns) * scene.bench.motors[motor]!.motor.ripples)),
    rippleVisible: presses.some((press) => press.run !== null && lineStands(seen, scene, press.run, noiseA)),
    ripplesPerTurn: scene.bench.motors[0]?.motor.ripples ?? 0,
  };
  const timeS = stamped(truth.timeS, scene.clockStepS);
  const gaps = scene.gap === undefined ? [] : [gapSpan(timeS, scene.gap, originS)];
  const columns = thinned({ timeS, currentA: read.currentA, voltageV: volts, gaps }, scene.thin);
  return { name, seed, columns: scene.spoil?.(columns) ?? columns, options: scene.options, truth };
}

/** the truth stays at the full rate */
function thinned(columns: Columns, keep: Scene['thin']): Columns {
  if (keep === undefined) return columns;
  const kept = [...columns.timeS.keys()].filter((index) => keep(columns.timeS[index]!, index));
  return {
    ...columns, timeS: Float64Array.from(kept, (index) => columns.timeS[index]!), currentA: Float32Array.from(kept, (index) => columns.currentA[index]!),
    voltageV: columns.voltageV === null ? null : Float32Array.from(kept, (index) => columns.voltageV![index]!),
  };
}

function observe(record: Record, scene: Scene, background: number, noiseA: number): Observed {
  return {
    record,
    wireA: record.meanA.map((value) => value - background),
    backgroundA: background,
    noLoadTurnsPerS: scene.bench.motors.slice(0, scene.judgedMotors).map((part) => scene.bench.feed.openV / part.motor.spec.kVs / (2 * Math.PI)),
    standingA: scene.standingA,
    noiseA,
    rateHz: scene.look.rateHz,
    options: scene.options,
    breaks: scene.breaks.map((gone) => ({ startS: gone.fromS, endS: gone.toS })),
    sense: scene.clamp.sense,
    signed: scene.look.clampAt === 'motor',
  };
}

/** mean before the first press; null where the recording shows no time before one */
function backgroundOf(record: Record, scene: Scene): number | null {
  const firstS = scene.holds[0]?.fromS ?? Infinity;
  const until = indexAt(record.timeS, firstS);
  return record.timeS[0]! >= firstS || until < 3 ? null : meanOf(record.meanA, Math.max(1, until - Math.ceil(scene.look.rateHz)), until);
}

function sourceOf(scene: Scene): Truth['sourceOhm'] {
  const { feed } = scene.bench;
  if (scene.look.tap === 'none') return null;
  if (scene.look.tap === 'battery') return { low: feed.batteryOhm, high: feed.batteryOhm };
  const coldOhm = feed.batteryOhm + feed.wireOhm + scene.contactOhm;
  return { low: coldOhm, high: coldOhm + feed.wireOhm * feed.wireGrowsPerS * scene.look.durationS };
}

/** The worst press makes the verdict; what a cut press shows is not asked for. */
function verdictOf(presses: readonly PressTruth[], scene: Scene): { verdictRight: Finding[]; verdictHonest: Finding[] } {
  if (scene.verdict !== undefined) return { verdictRight: [...scene.verdict.right], verdictHonest: [...scene.verdict.honest, 'unclear'] };
  const whole = presses.filter((press) => press.cut === null);
  const bad = new Set<Finding>();
  const either = new Set<Finding>();
  const honest = new Set<Finding>(['unclear']);
  for (const press of whole) {
    const mayBeNormal = press.right.includes('normal');
    for (const finding of press.right) if (finding !== 'normal') (mayBeNormal ? either : bad).add(finding);
    for (const finding of press.honest) honest.add(finding);
  }
  for (const press of presses) if (press.cut !== null) for (const finding of seenThoughCut(press)) honest.add(finding);
  const right = [...new Set<Finding>(bad.size > 0 ? [...bad, ...either] : ['normal', ...either])];
  if (whole.length === 0) return { verdictRight: ['unclear'], verdictHonest: [...honest] };
  return { verdictRight: right, verdictHonest: [...honest] };
}

/** A press that the recording cuts is no evidence; to name what it does show is honest, but is not asked for. */
function seenThoughCut(press: PressTruth): Finding[] {
  return press.stalls.length > 0 ? ['stalled', 'locked', 'suspect'] : press.right.filter((finding) => finding !== 'normal');
}

/** Does the commutation stand clear in the run? Its amplitude after the clamp, found with the true angle as reference, against the noise. */
function lineStands(seen: Observed, scene: Scene, run: Span, noiseA: number): boolean {
  const { record } = seen;
  const motor = scene.bench.motors[0];
  if (motor === undefined) return false;
  const from = indexAt(record.timeS, run.startS);
  const to = indexAt(record.timeS, run.endS);
  const count = to - from;
  const ripples = Math.abs(record.turns[0]![to - 1]! - record.turns[0]![from]!) * motor.motor.ripples;
  if (ripples < BOUNDS.ripplesNeeded || ripples / (run.endS - run.startS) > 0.4 * scene.look.rateHz) return false;
  const mean = meanOf(record.feltA, from, to);
  let cos = 0;
  let sin = 0;
  for (let index = from; index < to; index++) {
    const phase = 2 * Math.PI * motor.motor.ripples * record.turns[0]![index]!;
    cos += (record.feltA[index]! - mean) * Math.cos(phase);
    sin += (record.feltA[index]! - mean) * Math.sin(phase);
  }
  const amplitude = (2 * Math.hypot(cos, sin)) / count;
  return amplitude * Math.sqrt(count / 2) > BOUNDS.lineSigma * noiseA && amplitude > scene.clamp.lsbA / 3;
}

function windowed(record: Record, window: readonly [number, number] | undefined): Record {
  if (window === undefined) return record;
  return sliced(record, [[indexAt(record.timeS, window[0]), indexAt(record.timeS, window[1])]]);
}

function without(record: Record, gap: Span | undefined): Record {
  if (gap === undefined) return record;
  return sliced(record, [[0, indexAt(record.timeS, gap.startS)], [indexAt(record.timeS, gap.endS), record.timeS.length]]);
}

function sliced(record: Record, parts: readonly (readonly [number, number])[]): Record {
  const cutColumn = (column: Float64Array): Float64Array => {
    const pieces = parts.map(([from, to]) => column.subarray(from, to));
    const out = new Float64Array(pieces.reduce((sum, piece) => sum + piece.length, 0));
    let at = 0;
    for (const piece of pieces) {
      out.set(piece, at);
      at += piece.length;
    }
    return out;
  };
  return {
    timeS: cutColumn(record.timeS), feltA: cutColumn(record.feltA), meanA: cutColumn(record.meanA), peakA: cutColumn(record.peakA),
    tapV: record.tapV === null ? null : cutColumn(record.tapV), turnsPerS: record.turnsPerS.map(cutColumn), turns: record.turns.map(cutColumn),
  };
}

/** a logger with a coarse clock: its stamps are whole multiples of the step, but still rise */
function stamped(timeS: Float64Array, stepS: number): Float64Array {
  if (stepS === 0) return Float64Array.from(timeS);
  let before = -Infinity;
  return timeS.map((atS) => (before = Math.max(Math.round(atS / stepS) * stepS, before + stepS / 16)));
}

function gapSpan(timeS: Float64Array, gap: Span, originS: number): Span {
  const after = indexAt(timeS, gap.endS - originS - 1e-9);
  return { startS: timeS[after - 1]!, endS: timeS[after]! };
}

function shifted(press: PressTruth, byS: number): PressTruth {
  const move = <T extends Span>(span: T): T => ({ ...span, startS: span.startS + byS, endS: span.endS + byS });
  return {
    ...move(press), stalls: press.stalls.map(move), greyStalls: press.greyStalls.map(move), breaks: press.breaks.map(move), greyBreaks: press.greyBreaks.map(move),
    run: press.run === null ? null : move(press.run), events: press.events.map((event) => ({ ...event, atS: event.atS + byS })), steps: press.steps.map((step) => ({ ...step, atS: step.atS + byS })),
  };
}
