import type { Finding } from '../analysis/findings.ts';

/**
 * Every sentence that a person reads, by topic. Each part is a type over a closed list of codes, so a language with a sentence missing
 * does not compile. `en/` is the only one so far.
 */
export interface Words {
  /** BCP 47; numbers and dates follow it */
  readonly locale: string;
  readonly findings: FindingTexts;
  /** ran and stopped, with nothing to judge it by */
  readonly unjudged: FindingTexts['normal'];
}

export type FindingTexts = Readonly<Record<Finding, { readonly title: string; readonly sentence: string }>>;
