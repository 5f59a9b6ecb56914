import type { ProblemCode } from '../../../problems.ts';
import type { EndedBy } from '../key-off/end.ts';
import type { TimeOut } from '../../../reference/time-outs.ts';

/** What the reading rests on, as codes with figures; `core/present` has the sentences. */
export type NightEvidence =
  | { readonly code: 'key-off'; readonly atS: number }
  | { readonly code: 'rest'; readonly atS: number; readonly fromStart: boolean; readonly levelA: number; readonly lowA: number; readonly highA: number }
  | { readonly code: 'average'; readonly averageA: number; readonly limitA: number; readonly overLimit: boolean | null }
  | { readonly code: 'held'; readonly levelA: number; readonly lowA: number; readonly highA: number; readonly sinceS: number; readonly limitA: number; readonly elapsedS: number; readonly timeOut: TimeOut | null }
  | { readonly code: 'fell-late'; readonly elapsedS: number; readonly levelA: number }
  | { readonly code: 'rose-and-stays'; readonly afterS: number; readonly levelA: number }
  | { readonly code: 'keeps-working'; readonly elapsedS: number; readonly levelA: number }
  | { readonly code: 'hardly-rests'; readonly count: number; readonly longestRestS: number; readonly averageA: number }
  | { readonly code: 'lamp'; readonly levelA: number; readonly watts: number }
  | { readonly code: 'into-battery'; readonly levelA: number; readonly charging: boolean }
  | { readonly code: 'no-current'; readonly levelA: number }
  | { readonly code: 'constant'; readonly levelA: number }
  | { readonly code: 'milliamps-as-amps'; readonly middleA: number }
  | { readonly code: 'amps-as-milliamps'; readonly middleA: number }
  | { readonly code: 'reserve'; readonly limitA: number; readonly over: boolean | null }
  | { readonly code: 'wake-ups'; readonly own: number; readonly byPerson: number; readonly byFuse: number; readonly period: { readonly s: number; readonly lowS: number; readonly highS: number } | null }
  | { readonly code: 'pulses'; readonly floorA: number; readonly pulseA: number; readonly duty: number; readonly periodS: number; readonly meanA: number }
  | { readonly code: 'zero-unknown'; readonly halfWidthA: number }
  | { readonly code: 'drift-or-decay'; readonly changeA: number }
  | { readonly code: 'carries'; readonly label: string; readonly currentA: number; readonly lowA: number; readonly highA: number }
  | { readonly code: 'not-measured'; readonly labels: readonly string[] }
  | { readonly code: 'possible-pull'; readonly fromS: number; readonly toS: number; readonly changeA: number };

/** What to check next. */
export type NightCheck =
  /** `timeOut`: the one that is over when the wait is; `first`: one that ends earlier, worth a look. `Ms`: by the clock, ms since 1970; null where the recording does not say when it began */
  | { readonly code: 'wait'; readonly waitS: number; readonly untilMs: number | null; readonly timeOut: TimeOut | null; readonly first: { readonly timeOut: TimeOut; readonly inS: number; readonly atMs: number | null } | null }
  | { readonly code: 'watch-wake-ups'; readonly waitS: number }
  | { readonly code: 'what-keeps-awake' }
  | { readonly code: 'pull-one-by-one' }
  | { readonly code: 'what-wakes' }
  | { readonly code: 'pull-listeners' }
  | { readonly code: 'zero-again' }
  | { readonly code: 'no-drain' }
  | { readonly code: 'waking-module' }
  | { readonly code: 'lamps' }
  | { readonly code: 'accessories' }
  | { readonly code: 'shared'; readonly labels: readonly string[] }
  | { readonly code: 'each-circuit' }
  | { readonly code: 'pull-again'; readonly labels: readonly string[] }
  | { readonly code: 'other-fuses' }
  | { readonly code: 'two-feeds' }
  | { readonly code: 'follow-circuit'; readonly label: string; readonly currentA: number }
  | { readonly code: 'follow-unexplained'; readonly currentA: number }
  | { readonly code: 'name-possible-pull'; readonly fromS: number; readonly toS: number; readonly changeA: number }
  | { readonly code: 'charger-or-clamp' }
  | { readonly code: 'check-sensor' }
  | { readonly code: 'check-unit' };

/** What a reader must know of the recording before trusting the figures. */
export type NightProblem = { readonly code: ProblemCode } & (
  | { readonly code: 'no-samples' }
  | { readonly code: 'gaps'; readonly count: number; readonly lostS: number }
  | { readonly code: 'range-switched'; readonly times: number; readonly resolutionA: number | null }
  | { readonly code: 'negative-drain'; readonly levelA: number }
  | { readonly code: 'clamp-off'; readonly levelA: number }
  | { readonly code: 'constant'; readonly levelA: number }
  | { readonly code: 'stuck'; readonly atS: number; readonly lostS: number; readonly levelA: number; readonly times: number }
  | { readonly code: 'spikes'; readonly count: number; readonly atS: number; readonly lowestA: number }
  | { readonly code: 'left-out'; readonly atS: number; readonly by: EndedBy }
  | { readonly code: 'implausible-unit'; readonly middleA: number; readonly factor: 'milliamps-as-amps' | 'amps-as-milliamps' }
  | { readonly code: 'zero-drift'; readonly changeA: number; readonly measured: boolean }
  | { readonly code: 'noise'; readonly halfWidthA: number | null; readonly stepA: number | null; readonly limitA: number }
  | { readonly code: 'shared-drain'; readonly labels: readonly string[] }
  | { readonly code: 'mark-unmatched'; readonly label: string; readonly atS: number; readonly outside: boolean }
);
