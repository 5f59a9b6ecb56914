import { chiSquaredQuantile } from '../../uncertainty/distributions.ts';
import { FALSE_ALARM } from '../signal/decision-levels.ts';

/**
 * Power over the median of the surroundings that the highest of `bins` bins of noise passes with this probability, in the mean of so many
 * spectra: powers of noise are exponentially distributed, and so twice their sum over their mean is chi-squared with two degrees of
 * freedom a spectrum. For one spectrum this is ln(bins / falseAlarm) / ln 2.
 */
export function clearOfNoise(bins: number, spectra: number, falseAlarm: number = FALSE_ALARM): number {
  return chiSquaredQuantile(1 - falseAlarm / bins, 2 * spectra) / chiSquaredQuantile(0.5, 2 * spectra);
}
