import { propagate } from './propagate.ts';

/** One input of a figure: its best estimate and standard uncertainty (k = 1), and the source it is named by. */
export interface BudgetInput<Source extends string = string> {
  readonly source: Source;
  readonly value: number;
  readonly uncertainty: number;
}

/** How much of a figure's standard uncertainty a source makes by itself, in the unit of the figure: |slope| times the input's uncertainty. */
export interface Contribution<Source extends string = string> {
  readonly source: Source;
  readonly contribution: number;
}

interface Budget<Source extends string = string> {
  readonly value: number;
  /** combined standard uncertainty, correlations counted (JCGM 100:2008, 5.2.2) */
  readonly uncertainty: number;
  /** the largest first; their squares add up to the square of `uncertainty` only where nothing is correlated */
  readonly parts: readonly Contribution<Source>[];
}

/** Correlation coefficients of inputs by their places in the list; pairs not named are independent. */
export type Correlations = readonly { readonly a: number; readonly b: number; readonly r: number }[];

/** Uncertainty budget of a figure worked out from `inputs` (JCGM 100:2008, 5.1.3 and 5.2.2). Parts of one source are joined in squares. */
export function budgetOf<Source extends string>(worked: (values: readonly number[]) => number, inputs: readonly BudgetInput<Source>[], correlations: Correlations = []): Budget<Source> {
  const covariance = covarianceOf(inputs, correlations);
  const estimates = inputs.map(({ value }) => value);
  const figure = (values: readonly number[]): readonly number[] => [worked(values)];
  const squares = new Map<Source, number>();
  inputs.forEach(({ source }, i) => {
    const alone = covariance.map((row, a) => row.map((value, b) => (a === i && b === i ? value : 0)));
    squares.set(source, (squares.get(source) ?? 0) + propagate(figure, estimates, alone).covariance[0][0]);
  });
  const { values, covariance: combined } = propagate(figure, estimates, covariance);
  const parts = [...squares].map(([source, square]) => ({ source, contribution: Math.sqrt(square) })).sort((a, b) => b.contribution - a.contribution);
  return { value: values[0], uncertainty: Math.sqrt(Math.max(combined[0][0], 0)), parts };
}

/** Of inputs that are correlated as given. */
function covarianceOf(inputs: readonly { readonly uncertainty: number }[], correlations: Correlations): number[][] {
  const covariance = inputs.map((one, i) => inputs.map((_other, j) => (i === j ? one.uncertainty ** 2 : 0)));
  for (const { a, b, r } of correlations) {
    covariance[a][b] = r * inputs[a].uncertainty * inputs[b].uncertainty;
    covariance[b][a] = covariance[a][b];
  }
  return covariance;
}

/** Standard uncertainty of a value known to lie within +-limit, anywhere alike: limit over the root of 3 (JCGM 100:2008, 4.3.7). */
export function ofLimits(limit: number): number {
  return limit / Math.sqrt(3);
}

/** Standard uncertainty that a reading's step leaves: the true value lies within half a step (JCGM 100:2008, F.2.2.1). */
export function ofStep(step: number): number {
  return ofLimits(step / 2);
}
