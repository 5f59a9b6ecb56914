/**
 * Propagation of uncertainty: the standard uncertainty of a figure worked out from others that lean on each other (JCGM 100:2008, "GUM",
 * 5.2.2 with the sensitivities of 5.1.3 taken by central differences). Leaving the correlation out is the careless answer: it makes
 * u(Z) of the GUM's example H.2 0.204 instead of 0.236 ohm.
 */
interface Propagated {
  readonly values: number[];
  /** of the results, same order; its diagonal holds the squared standard uncertainties */
  readonly covariance: number[][];
}

/**
 * @param worked results as a function of the inputs
 * @param inputs best estimates
 * @param covariance of the inputs; for independent ones a diagonal of squared standard uncertainties
 */
export function propagate(worked: (inputs: readonly number[]) => readonly number[], inputs: readonly number[], covariance: readonly (readonly number[])[]): Propagated {
  const values = [...worked(inputs)];
  const slopes = inputs.map((value, i) => {
    const sigma = Math.sqrt(covariance[i][i]);
    // a part of the uncertainty keeps the difference inside the range where the input may lie
    const step = sigma > 0 ? sigma * 1e-3 : Math.max(Math.abs(value) * 1e-6, 1e-12);
    const at = (shift: number): readonly number[] => worked(inputs.map((other, j) => (j === i ? other + shift : other)));
    const up = at(step);
    const down = at(-step);
    return values.map((_value, r) => (up[r] - down[r]) / (2 * step));
  });
  const result = values.map((_row, a) =>
    values.map((_column, b) => {
      let sum = 0;
      for (let i = 0; i < inputs.length; i++) for (let j = 0; j < inputs.length; j++) sum += slopes[i][a] * covariance[i][j] * slopes[j][b];
      return sum;
    }),
  );
  return { values, covariance: result };
}

/** Standard uncertainty of one figure worked out from independent ones. */
export function propagateIndependent(worked: (inputs: readonly number[]) => number, inputs: readonly number[], sigmas: readonly number[]): number {
  const covariance = sigmas.map((sigma, i) => sigmas.map((_other, j) => (i === j ? sigma * sigma : 0)));
  return Math.sqrt(propagate((values) => [worked(values)], inputs, covariance).covariance[0][0]);
}
