import { levenbergMarquardt } from 'ml-levenberg-marquardt';

/**
 * The only door to ml-levenberg-marquardt, polished by Gauss and Newton: the library brings the parameters near, a few steps with hardly
 * any damping and a Jacobian from central differences bring the last digits.
 */
export interface Fit {
  readonly parameters: number[];
  /** residual sum of squares */
  readonly squares: number;
  /** standard deviations of the parameters, by the linearised model */
  readonly deviations: number[];
  /** of the parameters, by the linearised model: what propagate() needs, since fitted parameters lean on each other */
  readonly covariance: number[][];
}

/** The curve for given parameters: what depends on them alone is worked out once, not for every point. */
export type Model = (parameters: readonly number[]) => (x: number) => number;

/**
 * Least-squares fit of `model` from `start`. Null when it does not come to rest on finite values.
 *
 * @param near true when the start is known to be close, as a start read off the data is: the library's 300 rounds are left out. Cost then
 * about 10 times as many passes over the data as there are parameters, otherwise some thousands.
 */
export function fitModel(model: Model, x: readonly number[], y: readonly number[], start: readonly number[], near = false): Fit | null {
  if (x.length <= start.length) return null;
  if (near) return polish(model, x, y, [...start], NEAR_STEPS, NEAR_STILL);
  const coarse = levenbergMarquardt({ x: [...x], y: [...y] }, (parameters: number[]) => model(parameters), {
    initialValues: [...start],
    damping: 1e-2,
    gradientDifference: start.map((value) => Math.max(1e-9, Math.abs(value) * 1e-6)),
    maxIterations: 300,
    errorTolerance: 1e-14,
    centralDifference: true,
  });
  let best = [...coarse.parameterValues];
  if (!best.every(Number.isFinite)) best = [...start];
  return polish(model, x, y, best, STEPS, STILL);
}

const STEPS = 200;
/** relative step below which the parameters have come to rest: the last digit of a double, or for measured data far below their uncertainty */
const STILL = 1e-13;
const NEAR_STEPS = 30;
const NEAR_STILL = 1e-6;

function polish(model: Model, x: readonly number[], y: readonly number[], from: readonly number[], steps: number, stillAt: number): Fit | null {
  let parameters = [...from];
  let squares = squaresOf(model, parameters, x, y);
  let damping = 1e-4;
  let inverse: number[][] | null = null;
  for (let step = 0; step < steps; step++) {
    const system = normalEquations(model, parameters, x, y);
    inverse = invert(system.matrix.map((row, i) => row.map((value, j) => (i === j ? value * (1 + damping) : value))));
    if (inverse === null) return null;
    const change = inverse.map((row) => row.reduce((sum, value, j) => sum + value * system.gradient[j], 0));
    const next = parameters.map((value, i) => value + change[i]);
    const nextSquares = squaresOf(model, next, x, y);
    // the sum has a flat bottom: its last digits are rounding, the step is still right
    if (nextSquares <= squares * (1 + 1e-11)) {
      const still = change.every((value, i) => Math.abs(value) <= stillAt * Math.abs(next[i]));
      parameters = next;
      squares = nextSquares;
      damping = Math.max(damping / 10, 1e-15);
      if (still) break;
    } else {
      damping *= 10;
      if (damping > 1e12) break;
    }
  }
  const final = invert(normalEquations(model, parameters, x, y).matrix);
  if (final === null || !Number.isFinite(squares)) return null;
  const variance = squares / (x.length - parameters.length);
  const covariance = final.map((row) => row.map((value) => value * variance));
  return { parameters, squares, deviations: covariance.map((row, i) => Math.sqrt(row[i])), covariance };
}

function squaresOf(model: Model, parameters: readonly number[], x: readonly number[], y: readonly number[]): number {
  const curve = model(parameters);
  let sum = 0;
  for (let i = 0; i < x.length; i++) sum += (y[i] - curve(x[i])) ** 2;
  return Number.isNaN(sum) ? Infinity : sum;
}

function normalEquations(model: Model, parameters: readonly number[], x: readonly number[], y: readonly number[]): { matrix: number[][]; gradient: number[] } {
  const count = parameters.length;
  const matrix = Array.from({ length: count }, () => new Array<number>(count).fill(0));
  const gradient = new Array<number>(count).fill(0);
  const curve = model(parameters);
  const steps = parameters.map((value) => Math.max(Math.abs(value) * 6e-6, 1e-12));
  const beside = (p: number, step: number): ((x: number) => number) => model(parameters.map((value, q) => (q === p ? value + step : value)));
  const up = steps.map((step, p) => beside(p, step));
  const down = steps.map((step, p) => beside(p, -step));
  const slopes = new Array<number>(count).fill(0);
  for (let i = 0; i < x.length; i++) {
    const off = y[i] - curve(x[i]);
    for (let p = 0; p < count; p++) slopes[p] = (up[p](x[i]) - down[p](x[i])) / (2 * steps[p]);
    for (let p = 0; p < count; p++) {
      gradient[p] += slopes[p] * off;
      for (let q = 0; q < count; q++) matrix[p][q] += slopes[p] * slopes[q];
    }
  }
  return { matrix, gradient };
}

/** Gauss and Jordan with scaled pivots; null for a singular matrix. */
function invert(matrix: readonly (readonly number[])[]): number[][] | null {
  const count = matrix.length;
  const scale = matrix.map((row, i) => Math.sqrt(Math.abs(row[i])) || 1);
  const work = matrix.map((row, i) => [...row.map((value, j) => value / (scale[i] * scale[j])), ...row.map((_value, j) => (i === j ? 1 : 0))]);
  for (let column = 0; column < count; column++) {
    let pivot = column;
    for (let row = column + 1; row < count; row++) if (Math.abs(work[row][column]) > Math.abs(work[pivot][column])) pivot = row;
    if (!(Math.abs(work[pivot][column]) > 1e-18)) return null;
    [work[column], work[pivot]] = [work[pivot], work[column]];
    const head = work[column][column];
    for (let j = 0; j < 2 * count; j++) work[column][j] /= head;
    for (let row = 0; row < count; row++) {
      const factor = work[row][column];
      if (row === column || factor === 0) continue;
      for (let j = 0; j < 2 * count; j++) work[row][j] -= factor * work[column][j];
    }
  }
  return work.map((row, i) => row.slice(count).map((value, j) => value / (scale[i] * scale[j])));
}
