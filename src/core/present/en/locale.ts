/** What Intl is asked for: days before months, a clock of 24 hours (BCP 47). */
export const locale = 'en-GB';

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
