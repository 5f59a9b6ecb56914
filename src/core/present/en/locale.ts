import { numbersIn } from '../numbers.ts';

/** What Intl is asked for: days before months, a clock of 24 hours (BCP 47). */
export const locale = 'en-GB';

/** `4.21 to 4.33` */
export function range(low: string, high: string): string {
  return `${low} to ${high}`;
}

export const numbers = numbersIn(locale, range);
export const { atMost, currentAndBounds, decimal, formatCount, formatCurrent, formatCurrentBounds, formatCurrentWithin, formatDuration, plain, significant } = numbers;

const conjunction = new Intl.ListFormat(locale, { type: 'conjunction' });
const disjunction = new Intl.ListFormat(locale, { type: 'disjunction' });

/** `F3, F7 and F12` */
export function listAnd(parts: readonly string[]): string {
  return conjunction.format(parts);
}

/** `.csv, .arrows or .zip` */
export function listOr(parts: readonly string[]): string {
  return disjunction.format(parts);
}
