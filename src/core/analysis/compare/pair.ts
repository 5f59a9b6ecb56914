import { normalQuantile } from '../uncertainty/distributions.ts';
import { NORMAL_95 } from '../uncertainty/normal-95.ts';
import type { Direction } from '../results.ts';
import { judge, meanChange, type Change, type Measured } from './change.ts';
import { scalesHalfWidth, type SensorPair } from './sensors.ts';
import { shareChange, type Share } from './proportion.ts';
import type { ComparedMetric, Judgement } from './results.ts';

/** What makes one row of the comparison: a named figure, its values on both sides, and what counts as no change. */
interface PairInput {
  readonly direction: Direction | null;
  readonly metric: string;
  readonly before: readonly Measured[];
  readonly after: readonly Measured[];
  /** share of the mean before */
  readonly tolerance: number;
  /** the same as an absolute floor */
  readonly floor: number;
  /** what the model that scaled a side may be off by, [low, high], added to the bounds; absent: nothing was scaled, or exactly */
  readonly modelUncertainty?: readonly [low: number, high: number];
  /** of a figure that goes with the current: both scales are in its change unless one sensor recorded both */
  readonly sensors?: SensorPair;
  /** why the figure must not be judged although both sides have it */
  readonly unjudged?: boolean;
}

/** One row of the comparison; null when neither side has the figure. With the figure on one side only it is given and not judged. */
export function comparedPair({ direction, metric, before, after, tolerance: share, floor, modelUncertainty, sensors, unjudged = false }: PairInput): ComparedMetric | null {
  if (before.length === 0 && after.length === 0) return null;
  const common = { direction, metric, before_count: before.length, after_count: after.length };
  if (before.length === 0 || after.length === 0) {
    return { ...common, before: meanOrNull(before), after: meanOrNull(after), change: null, low: null, high: null, judgement: 'unsure', method: 'none', tolerance: floor };
  }
  const plain = meanChange(before, after);
  const scalesA = scalesHalfWidth(sensors, plain.before, plain.after);
  const change = openEnded(widened(withScales(plain, scalesA), modelUncertainty), before.some(({ atLeast }) => atLeast === true), after.some(({ atLeast }) => atLeast === true));
  const tolerance = Math.max(floor, Math.abs(change.before) * share);
  return {
    ...common,
    before: change.before,
    after: change.after,
    change: change.change,
    low: change.low,
    high: change.high,
    judgement: unjudged ? 'unsure' : judgeOpen(change, tolerance),
    method: change.method,
    tolerance,
    ...(scalesA > 0 ? { scales_half_width: scalesA } : {}),
  };
}

/** Bounds and scales are independent: their half-widths add in squares; 90 % bounds keep their ratio to the 95 % ones. */
function withScales(change: Change, halfWidth: number): Change {
  if (halfWidth === 0 || change.low === null || change.high === null || change.low90 === null || change.high90 === null) return change;
  const at = change.change;
  const half90 = halfWidth * RATIO_90;
  return {
    ...change,
    low: at - Math.hypot(at - change.low, halfWidth),
    high: at + Math.hypot(change.high - at, halfWidth),
    low90: at - Math.hypot(at - change.low90, half90),
    high90: at + Math.hypot(change.high90 - at, half90),
  };
}

/** Half-width of a 90 % over that of a 95 % interval of a normal distribution. */
const RATIO_90 = normalQuantile(0.95) / NORMAL_95;

/** The same for a share of presses; null when a side has none. */
export function comparedShare(direction: Direction | null, metric: string, before: Share, after: Share, tolerance: number): ComparedMetric | null {
  if (before.of === 0 || after.of === 0) return null;
  const change = shareChange(before, after);
  const { low, high, method } = change;
  return { direction, metric, before: change.before, after: change.after, change: change.change, low, high, judgement: judge(change, tolerance), method, tolerance, before_count: before.of, after_count: after.of };
}

/** A reading at the end of the sensor's range leaves its change open to one side: before it, downwards; after it, upwards; both: no bounds. */
function openEnded(change: Change, before: boolean, after: boolean): Change {
  return { ...change, ...(before ? { low: null, low90: null } : {}), ...(after ? { high: null, high90: null } : {}) };
}

/** A bound on one side alone still tells a change that lies beyond zero on that side. */
function judgeOpen(change: Change, tolerance: number): Judgement {
  if (change.low !== null && change.high === null) return change.low > 0 ? 'higher' : 'unsure';
  if (change.high !== null && change.low === null) return change.high < 0 ? 'lower' : 'unsure';
  return judge(change, tolerance);
}

function widened(change: Change, model: PairInput['modelUncertainty']): Change {
  if (model === undefined || change.low === null || change.high === null || change.low90 === null || change.high90 === null) return change;
  const [low, high] = model;
  return { ...change, low: change.low + low, high: change.high + high, low90: change.low90 + low, high90: change.high90 + high };
}

function meanOrNull(values: readonly Measured[]): number | null {
  return values.length === 0 ? null : values.reduce((sum, { value }) => sum + value, 0) / values.length;
}
