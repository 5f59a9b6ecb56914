import { RESULT_SCHEMA, type Asymmetry } from '../results.ts';
import type { MotorProblem, PressReading } from './codes.ts';
import type { MotorReading } from './reading.ts';
import type { ActuationOptions } from '../options.ts';
import type { Section } from './section.ts';
import { runsNearLimits } from '../uncertainty/near-limit.ts';
import type { LeadPlace } from './sensor/feed-voltage.ts';
import { asymmetryOf } from './quantities/travel.ts';
import type { LoadReading } from './wire/load-kind.ts';
import { isStarved } from './finding/starved.ts';
import { suspicionsOf } from './finding/suspicion.ts';
import { verdictOf } from './finding/verdict.ts';

/** Puts the sections of a recording, in order, into one result. */
export function composeResult(sections: readonly Section[], options: ActuationOptions): MotorReading {
  const topV = Math.max(...sections.map((section) => section.topV));
  const read = sections.flatMap((section) => section.actuations.map((actuation) => withoutFeed(actuation, topV)));
  const asymmetry = asymmetryOf(read.filter(({ cut }) => cut === undefined));
  const actuations = withSuspicion(read, asymmetry, options.runLimitsA !== undefined);
  const problems = uniqueProblems(sections);
  const first = sections[0];
  const last = sections[sections.length - 1];
  const longest = sections.reduce((best, section) => (section.samples > best.samples ? section : best), first);
  const place = placeOf(sections);
  const load = loadOfSections(sections);
  return {
    schema: RESULT_SCHEMA,
    test: 'actuation',
    trace: {
      samples: sections.reduce((sum, section) => sum + section.samples, 0),
      duration_s: last.endS - first.startS,
      rate_hz: longest.rateHz,
      gaps: sections.flatMap((section) => [...section.gaps]),
      voltage_at: place,
    },
    problems,
    verdict: verdictOf({
      actuations,
      asymmetry,
      hasVoltage: sections.some((section) => section.hasVoltage),
      rateHz: longest.rateHz,
      place,
      topV,
      deadPresses: sections.reduce((sum, section) => sum + section.deadPresses, 0),
      certain: load.kind === 'latch' || sections.every((section) => section.certain),
      kind: load.kind,
      sharpEdge: load.reason === 'sharp-edge' || load.reason === 'slow-edge',
      unseenLoads: sections.reduce((sum, section) => sum + section.unseenLoads, 0),
      isUnusable: sections.some((section) => section.isUnusable),
      options,
      problems,
    }),
    near_limits: runsNearLimits(actuations, options.runLimitsA),
    baseline: { ...longest.baseline },
    actuations,
    load: { kind: load.kind, because: load.reason },
    background_a: longest.backgroundA,
    flags: sections.flatMap((section) => [...section.flags]),
    asymmetry,
  };
}

/** The first of each kind; only the first section can begin, and only the last one end, in mid-press. */
function uniqueProblems(sections: readonly Section[]): MotorProblem[] {
  const problems: MotorProblem[] = [];
  for (const [p, section] of sections.entries()) {
    for (const problem of section.problems) {
      if (problem.code === 'starts-midway' && p > 0) continue;
      if ((problem.code === 'ends-midway' || problem.code === 'too-short') && p < sections.length - 1) continue;
      if (!problems.some((known) => known.code === problem.code)) problems.push(problem);
    }
  }
  return problems;
}

/** On a feed that hardly carries it a motor creeps as evenly as it stalls: one level shows neither. */
function withoutFeed(actuation: PressReading, topV: number): PressReading {
  return actuation.finding === 'locked' && isStarved(actuation, topV) ? { ...actuation, stalls: [], finding: 'unclear' } : actuation;
}

/** A press that ran and stopped is suspect where its own trace speaks against it, alone or beside the others. */
function withSuspicion(actuations: readonly PressReading[], asymmetry: Asymmetry | null, hasLimits: boolean): PressReading[] {
  const suspects = new Set(suspicionsOf(actuations, asymmetry, hasLimits).flatMap(({ presses }) => [...presses]));
  return actuations.map((actuation) => (actuation.finding === 'normal' && suspects.has(actuation) ? { ...actuation, finding: 'suspect' } : actuation));
}

/** Where the lead sat: at the motor it shows most. */
export function placeOf(sections: readonly Section[]): LeadPlace {
  return sections.find(({ place }) => place === 'motor')?.place ?? sections.find(({ place }) => place !== null)?.place ?? null;
}

/** What one section shows surely, all show: one wire, one load. */
export function loadOfSections(sections: readonly Section[]): LoadReading {
  return sections.find(({ load }) => load.kind === 'motor')?.load ?? sections.find(({ load }) => load.kind !== 'unknown')?.load ?? sections[0].load;
}
