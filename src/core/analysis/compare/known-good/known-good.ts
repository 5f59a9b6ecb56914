import type { Problem } from '../../../problems.ts';
import { mean } from '../../../stats.ts';
import type { ActuationResult, Direction } from '../../results.ts';
import { meanChange, type Measured } from '../change.ts';
import type { KnownGoodProblem } from '../codes.ts';
import { ACTUATION_METRICS, actuationsOf } from '../metrics/metrics.ts';
import { toleranceInterval, type ToleranceInterval } from './tolerance.ts';
import type { UsualCurrents } from './types.ts';

/**
 * Limits of a circuit learnt from traces that a person called good. Kept as a small JSON file and used for the next vehicle of the
 * same kind. The unit is the trace: actuations within one trace share vehicle, temperature and operator, so they do not count as
 * separate witnesses.
 */
export const KNOWN_GOOD_SCHEMA = 'amptrail-known-good/1';
/** Several circuits in one file, `sets`: how a library is handed on. */
export const KNOWN_GOOD_LIST_SCHEMA = 'amptrail-known-good-list/1';

export interface KnownGoodLimit {
  readonly direction: Direction;
  readonly metric: string;
  readonly low: number;
  readonly high: number;
  readonly traces: number;
  readonly coverage: number;
  readonly confidence: number;
  /** `typed`: by a person, from no trace */
  readonly method: ToleranceInterval['method'] | 'single' | 'typed';
}

export interface KnownGood {
  readonly schema: typeof KNOWN_GOOD_SCHEMA;
  readonly circuit: string;
  /** of which vehicles it is true, and where the clamp sat; absent where nobody said */
  readonly vehicle_type?: string;
  readonly place?: string;
  /** typed in by a person; the limits are these */
  readonly usual?: UsualCurrents;
  readonly limits: readonly KnownGoodLimit[];
  readonly problems: readonly Problem[];
}

/** The same with codes in place of sentences. */
type KnownGoodReading = Omit<KnownGood, 'problems'> & { readonly problems: readonly KnownGoodProblem[] };

export interface Placement {
  readonly direction: Direction;
  readonly metric: string;
  /** mean over the trace's presses, with its 95 % bounds: Welch's t over them, or the uncertainty within a single one; null without a basis */
  readonly value: number;
  readonly low_value: number | null;
  readonly high_value: number | null;
  /** the limits */
  readonly low: number;
  readonly high: number;
  readonly place: 'inside' | 'above' | 'below';
  /** how far outside the nearer limit, in the figure's unit and as a share of that limit; 0 inside */
  readonly beyond: number;
  readonly beyond_share: number;
  /** false: the bounds of the value reach over a limit, so that it may lie on the other side */
  readonly certain: boolean;
}

/** With one trace the limits are its own values +-20 %: a placeholder, marked `single`, said in `problems` (common practice, no published source). */
const SINGLE_SHARE = 0.2;

/** Which figures make a limit: those that the mechanism decides and not the hand on the switch. */
const LEARNT = new Set(['run_a', 'inrush_peak_a', 'moving_s', 'travel_s', 'stall_a', 'ripple_hz', 'source_ohm']);

/**
 * Learns limits from the analyses of known-good traces: per direction and figure a tolerance interval over the traces' own means,
 * which with 95 % confidence holds 95 % of good vehicles (see tolerance.ts). One trace never gives limits without saying so.
 */
export function knownGoodLimits(circuit: string, results: readonly ActuationResult[]): KnownGoodReading {
  const limits: KnownGoodLimit[] = [];
  for (const direction of ['forward', 'reverse'] as const) {
    for (const metric of ACTUATION_METRICS) {
      if (!LEARNT.has(metric.name)) continue;
      const values = results.flatMap((result) => {
        const own = actuationsOf(result, direction).flatMap((actuation) => metric.read(actuation)?.value ?? []);
        return own.length === 0 ? [] : [mean(own)];
      });
      const limit = limitOf(values);
      if (limit !== null) limits.push({ direction, metric: metric.name, ...limit });
    }
  }
  return { schema: KNOWN_GOOD_SCHEMA, circuit, limits, problems: countProblems(results.length) };
}

/** Where each figure of a trace lies against the limits, those outside first. */
export function placeAgainst(known: KnownGood, result: ActuationResult): Placement[] {
  const placements: Placement[] = [];
  for (const limit of known.limits) {
    const metric = ACTUATION_METRICS.find(({ name }) => name === limit.metric);
    if (metric === undefined) continue;
    const measured = actuationsOf(result, limit.direction).flatMap((actuation) => metric.read(actuation) ?? []);
    if (measured.length > 0) placements.push(placed(limit, measured));
  }
  return placements.sort((a, b) => Number(a.place === 'inside') - Number(b.place === 'inside') || b.beyond_share - a.beyond_share);
}

function placed({ direction, metric, low, high: highLimit }: KnownGoodLimit, measured: readonly Measured[]): Placement {
  // the change against an exact zero has the value's own uncertainty
  const { change: value, low: lowValue, high } = meanChange(measured.map(() => ({ value: 0, sigma: 0 })), measured);
  // a reading at the end of the sensor's range may be of any size above it
  const open = measured.some(({ atLeast }) => atLeast === true);
  const highValue = open ? null : high;
  const place = value > highLimit ? 'above' : value < low ? 'below' : 'inside';
  const limit = place === 'below' ? low : highLimit;
  const beyond = place === 'inside' ? 0 : Math.abs(value - limit);
  const crosses = (at: number): boolean => lowValue !== null && lowValue <= at && at <= (highValue ?? Infinity);
  return {
    direction, metric, value, low_value: lowValue, high_value: highValue, low, high: highLimit, place,
    beyond, beyond_share: limit === 0 ? 0 : beyond / Math.abs(limit), certain: lowValue !== null && !crosses(low) && !crosses(highLimit),
  };
}

/** The running range to use as `--run-limits`: the widest over both directions; null when none was learnt. */
export function runLimitsOf(known: KnownGood): [number, number] | null {
  const run = known.limits.filter(({ metric }) => metric === 'run_a');
  if (run.length === 0) return null;
  return [Math.max(0, Math.min(...run.map(({ low }) => low))), Math.max(...run.map(({ high }) => high))];
}

function limitOf(values: readonly number[]): Omit<KnownGoodLimit, 'direction' | 'metric'> | null {
  const interval = toleranceInterval(values);
  if (interval !== null) {
    const { low, high, count, coverage, confidence, method } = interval;
    return { low: Math.max(low, 0), high, traces: count, coverage, confidence, method };
  }
  const single = values[0];
  if (single === undefined) return null;
  return { low: single * (1 - SINGLE_SHARE), high: single * (1 + SINGLE_SHARE), traces: 1, coverage: 0, confidence: 0, method: 'single' };
}

/** From so many traces on limits are of use. Common practice, no published source */
const USEFUL_TRACES = 5;

function countProblems(traces: number): KnownGoodProblem[] {
  if (traces >= USEFUL_TRACES) return [];
  return [traces <= 1 ? { problem: 'few-traces', code: 'single', traces, share: SINGLE_SHARE } : { problem: 'few-traces', code: 'few', traces }];
}
