import { median } from '../../../stats.ts';
import { RESULT_SCHEMA, type Actuation, type ActuationResult, type AnalysisResult, type Direction, type VerdictBasis } from '../../results.ts';
import { DRAIN_METRICS } from '../metrics/drain-metrics.ts';
import type { ManyProblem, StandsOut } from '../codes.ts';
import type { ManyReading, NamedResult, PlacedActuation, PlacedTrace } from './result.ts';
import type { MetricName } from '../metrics/metric-names.ts';
import { manyVerdict } from './verdict.ts';
import { ACTUATION_METRICS } from '../metrics/metrics.ts';
import { OUTLIER_FROM, standingOf, type FigureOf, type Standing } from './outlier.ts';
import { mixedUnits } from '../units-check.ts';

/** The figures by which actuations are told apart: not the times, which the hand at the switch makes as well. */
const TELLING = new Set(['run_a', 'inrush_peak_a', 'travel_s', 'stall_a', 'ripple_hz', 'source_ohm', 'dropouts']);
/** Listed beside them, and left to the reader. */
const LISTED = new Set([...TELLING, 'moving_s', 'duration_s']);

/**
 * Several traces of one test: both sides, both directions, every actuation. Each is set against its like in the same direction, and
 * what stands out comes first, with the figure that makes it so. The results must be of one test.
 */
export function manyReading(given: readonly NamedResult[]): ManyReading {
  const actuations = placedActuations(given);
  const traces = placedTraces(given);
  const problems = manyProblems(given);
  return {
    schema: RESULT_SCHEMA,
    test: given[0]?.result.test ?? 'actuation',
    traces,
    actuations,
    problems,
    verdict: manyVerdict(traces, actuations),
  };
}

/** Of longer traces the first so many are set side by side: each is measured against all others. */
const MOST_ACTUATIONS = 100;

/** A finding stands out when less than this share of the others has it and more than that share has another one. */
const FEW = 1 / 3;
const MOST = 1 / 2;

interface Entry {
  readonly trace: number;
  readonly basis: VerdictBasis;
  readonly number: number;
  readonly actuation: Actuation;
}

function placedActuations(given: readonly NamedResult[]): PlacedActuation[] {
  const entries: Entry[] = [];
  for (const [trace, { result }] of given.entries()) {
    if (result.test !== 'actuation') continue;
    const counts = { forward: 0, reverse: 0 };
    for (const actuation of result.actuations.slice(0, MOST_ACTUATIONS)) entries.push({ trace, basis: result.verdict.basis, number: ++counts[actuation.direction], actuation });
  }
  const placed = entries.map((own): PlacedActuation => {
    const { direction, finding, start_s, end_s } = own.actuation;
    const like = entries.filter((other) => other !== own && other.actuation.direction === direction);
    const figures = ACTUATION_METRICS.filter(({ name }) => TELLING.has(name)).flatMap((metric): FigureOf[] => {
      const value = metric.read(own.actuation)?.value;
      if (value === undefined) return [];
      return [{ metric: metric.name, direction: null, value, others: like.flatMap(({ actuation }) => metric.read(actuation)?.value ?? []), tolerance: metric.tolerance, floor: metric.floor }];
    });
    const { basis } = own;
    const standing = withFinding(standingOf(figures), { finding, basis }, like.map((other) => ({ finding: other.actuation.finding, basis: other.basis })));
    return { trace: own.trace, number: own.number, direction, start_s, end_s, finding, basis, ...standing, outlier: standing.distance >= OUTLIER_FROM };
  });
  return outlierFirst(placed);
}

function placedTraces(given: readonly NamedResult[]): PlacedTrace[] {
  const figures = given.map(({ result }) => (result.test === 'actuation' ? motorFigures(result) : nightFigures(result)));
  const placed = given.map(({ name, result }, trace): PlacedTrace => {
    const against = figures[trace].filter(({ metric }) => result.test === 'drain' || TELLING.has(metric.name)).map((own): FigureOf => ({
      metric: own.metric.name,
      direction: own.direction,
      tolerance: own.metric.tolerance,
      floor: own.metric.floor,
      value: own.value,
      others: figures.flatMap((other, i) => (i === trace ? [] : other.filter(({ metric, direction }) => metric.name === own.metric.name && direction === own.direction).map(({ value }) => value))),
    }));
    const own = judgedOf(result);
    const standing = withFinding(standingOf(against), own, given.filter((_, i) => i !== trace).map((other) => judgedOf(other.result)));
    return {
      trace, name, ...own, ...standing, outlier: standing.distance >= OUTLIER_FROM,
      figures: figures[trace].map(({ direction, metric, value }) => ({ direction, metric: metric.name, value })),
    };
  });
  return outlierFirst(placed);
}

interface TraceFigure {
  readonly direction: Direction | null;
  readonly metric: { readonly name: MetricName; readonly tolerance: number; readonly floor: number };
  readonly value: number;
}

function motorFigures(result: ActuationResult): TraceFigure[] {
  return (['forward', 'reverse'] as const).flatMap((direction) =>
    ACTUATION_METRICS.filter(({ name }) => LISTED.has(name)).flatMap((metric): TraceFigure[] => {
      const values = result.actuations.filter((actuation) => actuation.direction === direction).flatMap((actuation) => metric.read(actuation)?.value ?? []);
      return values.length === 0 ? [] : [{ direction, metric, value: median(values) }];
    }),
  );
}

function nightFigures(result: Exclude<AnalysisResult, ActuationResult>): TraceFigure[] {
  return DRAIN_METRICS.filter(({ decides }) => decides).flatMap((metric): TraceFigure[] => {
    const values = metric.read(result).map(({ value }) => value);
    return values.length === 0 ? [] : [{ direction: null, metric, value: median(values) }];
  });
}

/** A finding that few of the others have, while most of them share another one, stands out by itself, whatever the figures. */
function withFinding(standing: Standing, { finding, basis }: Judged, others: readonly Judged[]): { distance: number; because: StandsOut | null } {
  const counts = new Map<string, number>();
  for (const other of others) counts.set(other.finding, (counts.get(other.finding) ?? 0) + 1);
  const [usual, count] = [...counts].sort((a, b) => b[1] - a[1])[0] ?? ['', 0];
  const alike = counts.get(finding) ?? 0;
  const stands = others.length >= 2 && usual !== finding && alike < others.length * FEW && count > others.length * MOST;
  if (!stands) return { distance: standing.distance, because: standing.reason };
  const like = others.filter((other) => other.finding === usual);
  // what holds for all that read so: that one of them was judged by nothing
  const usualBasis = like.find((other) => other.basis === 'none')?.basis ?? like[0]!.basis;
  return {
    distance: Math.max(standing.distance, OUTLIER_FROM),
    because: { code: 'finding', finding, ...(basis === undefined ? {} : { basis }), usual, ...(usualBasis === undefined ? {} : { usualBasis }), all: count === others.length, figure: standing.reason },
  };
}

interface Judged {
  readonly finding: string;
  readonly basis?: VerdictBasis;
}

function judgedOf(result: AnalysisResult): Judged {
  return result.test === 'actuation' ? { finding: result.verdict.finding, basis: result.verdict.basis } : { finding: result.verdict.finding };
}

function outlierFirst<Item extends { readonly distance: number; readonly trace: number }>(items: Item[]): Item[] {
  return items.sort((a, b) => b.distance - a.distance || a.trace - b.trace);
}

function manyProblems(given: readonly NamedResult[]): ManyProblem[] {
  const problems: ManyProblem[] = [];
  const first = given[0];
  for (const { name, result } of given) {
    if (result.test === 'actuation' && result.actuations.length === 0) problems.push({ problem: 'no-pairs', code: 'no-presses', name, finding: result.verdict.finding });
    if (result.test === 'actuation' && result.actuations.length > MOST_ACTUATIONS) {
      problems.push({ problem: 'too-large', code: 'many-presses', name, count: result.actuations.length, most: MOST_ACTUATIONS });
    }
    const side = first === undefined || first.result === result ? null : mixedUnits(first.result, result);
    if (side !== null) problems.push({ problem: 'mixed-units', code: 'wrong-unit', first: first?.name ?? '', second: name, side });
  }
  if (given.length < 3) problems.push({ problem: 'few-traces', code: 'only-two' });
  return problems;
}
