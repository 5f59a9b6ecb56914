/**
 * Two-sided 95 % factor of a standard uncertainty: the 97.5 % quantile of the standard normal distribution (JCGM 100:2008, G.1.3). Written out here, and held against the
 * distribution by a test, so that a page which shows a bound needs no library of distributions.
 */
export const NORMAL_95 = 1.9599639845400545;
