import type { MetricName } from '../../analysis/compare/metrics/metric-names.ts';
import type { Finding } from '../../analysis/findings.ts';
import type { Cause } from '../../reason/types.ts';

/** The page for the person who pays: no laboratory terms. */
export interface CustomerTexts {
  readonly title: { readonly repair: (vehicle: string) => string; readonly test: (vehicle: string) => string; readonly noVehicle: string };
  readonly facts: Readonly<Record<'plate' | 'vin' | 'odometer' | 'customer' | 'complaint' | 'date' | 'tested', string>>;
  /** where the fault was: "in the switch" */
  readonly found: Readonly<Record<Cause, string>>;
  /** what a recording showed: "it ran and stopped as it should" */
  readonly past: Readonly<Record<Finding | 'unjudged', string>>;
  /** what was wrong and what was done; `done` empty: nobody wrote it down */
  readonly repair: (found: string | null, done: string, day: string) => string;
  readonly part: (part: string) => string;
  readonly noRepair: string;
  /** how it is proven */
  readonly proven: (before: string, after: string) => string;
  readonly notProven: (before: string, after: string) => string;
  /** both times the same was seen, and figures got better: "current while running, from 6.9 A to 3.8 A" */
  readonly better: (figures: readonly string[]) => string;
  readonly figureMoved: (figure: string, before: string, after: string) => string;
  readonly twice: (first: string, then: string) => string;
  readonly noClaim: string;
  readonly untested: string;
  readonly afterAlone: (after: string, proven: boolean) => string;
  readonly once: (day: string, past: string) => string;
  readonly figure: string;
  readonly before: string;
  readonly after: string;
  readonly figures: Readonly<Partial<Record<MetricName, string>>>;
  readonly ways: Readonly<Record<'forward' | 'reverse', string>>;
  readonly picture: { readonly pair: (before: string, after: string) => string; readonly one: (when: string) => string; readonly cut: string };
  readonly sign: Readonly<Record<'date' | 'workshop' | 'customer', string>>;
  readonly promise: string;
  readonly made: (when: string) => string;
}
