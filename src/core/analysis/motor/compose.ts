import { RESULT_SCHEMA, type Asymmetry } from '../results.ts';
import type { MotorProblem, PressReading } from './codes.ts';
import type { MotorReading } from './reading.ts';
import type { ActuationOptions } from '../options.ts';
import type { Piece } from './piece.ts';
import { runsNearLimits } from '../uncertainty/near-limit.ts';
import { asymmetryOf } from './quantities/travel.ts';
import type { LoadReading } from './wire/load-kind.ts';
import { isStarved } from './finding/starved.ts';
import { suspicionsOf } from './finding/suspicion.ts';
import { verdictOf } from './finding/verdict.ts';

/** Puts the pieces of a recording, in order, into one result. */
export function composeResult(pieces: readonly Piece[], options: ActuationOptions): MotorReading {
  const topV = Math.max(...pieces.map((piece) => piece.topV));
  const read = pieces.flatMap((piece) => piece.actuations.map((actuation) => withoutFeed(actuation, topV)));
  const asymmetry = asymmetryOf(read.filter(({ cut }) => cut === undefined));
  const actuations = withSuspicion(read, asymmetry, options.runLimitsA !== undefined);
  const problems = uniqueProblems(pieces);
  const first = pieces[0];
  const last = pieces[pieces.length - 1];
  const longest = pieces.reduce((best, piece) => (piece.samples > best.samples ? piece : best), first);
  const place = pieces.find((piece) => piece.place === 'motor')?.place ?? pieces.find((piece) => piece.place !== null)?.place ?? null;
  const load = loadOfPieces(pieces);
  return {
    schema: RESULT_SCHEMA,
    test: 'actuation',
    trace: {
      samples: pieces.reduce((sum, piece) => sum + piece.samples, 0),
      duration_s: last.endS - first.startS,
      rate_hz: longest.rateHz,
      gaps: pieces.flatMap((piece) => [...piece.gaps]),
      voltage_at: place,
    },
    problems,
    verdict: verdictOf({
      actuations,
      asymmetry,
      hasVoltage: pieces.some((piece) => piece.hasVoltage),
      rateHz: longest.rateHz,
      place,
      topV,
      deadPresses: pieces.reduce((sum, piece) => sum + piece.deadPresses, 0),
      certain: load.kind === 'latch' || pieces.every((piece) => piece.certain),
      kind: load.kind,
      sharpEdge: load.reason === 'sharp-edge' || load.reason === 'slow-edge',
      unseenLoads: pieces.reduce((sum, piece) => sum + piece.unseenLoads, 0),
      acCoupled: pieces.some((piece) => piece.acCoupled),
      options,
      problems,
    }),
    near_limits: runsNearLimits(actuations, options.runLimitsA),
    baseline: { ...longest.baseline },
    actuations,
    load: { kind: load.kind, because: load.reason },
    background_a: longest.backgroundA,
    flags: pieces.flatMap((piece) => [...piece.flags]),
    asymmetry,
  };
}

/** The first of each kind; only the first piece can begin, and only the last one end, in mid-press. */
function uniqueProblems(pieces: readonly Piece[]): MotorProblem[] {
  const problems: MotorProblem[] = [];
  for (const [p, piece] of pieces.entries()) {
    for (const problem of piece.problems) {
      if (problem.code === 'starts-midway' && p > 0) continue;
      if ((problem.code === 'ends-midway' || problem.code === 'too-short') && p < pieces.length - 1) continue;
      if (!problems.some((known) => known.code === problem.code)) problems.push(problem);
    }
  }
  return problems;
}

/** On a feed that hardly carries it a motor creeps as evenly as it stands: one level tells neither. */
function withoutFeed(actuation: PressReading, topV: number): PressReading {
  return actuation.finding === 'locked' && isStarved(actuation, topV) ? { ...actuation, stalls: [], finding: 'unclear' } : actuation;
}

/** A press that ran and stopped is suspect where its own trace speaks against it, alone or beside the others. */
function withSuspicion(actuations: readonly PressReading[], asymmetry: Asymmetry | null, hasLimits: boolean): PressReading[] {
  const suspects = new Set(suspicionsOf(actuations, asymmetry, hasLimits).flatMap(({ presses }) => [...presses]));
  return actuations.map((actuation) => (actuation.finding === 'normal' && suspects.has(actuation) ? { ...actuation, finding: 'suspect' } : actuation));
}

/** What one piece shows surely, all show: one wire, one load. */
function loadOfPieces(pieces: readonly Piece[]): LoadReading {
  return pieces.find(({ load }) => load.kind === 'motor')?.load ?? pieces.find(({ load }) => load.kind !== 'unknown')?.load ?? pieces[0].load;
}
