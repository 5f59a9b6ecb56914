import { readFileSync } from 'node:fs';

/** How a recording may be judged, the best first. */
export const OUTCOMES = ['right', 'cannot-tell', 'missed', 'false'] as const;
type Outcome = (typeof OUTCOMES)[number];

/** The committed baseline beside what comes out today: the names it holds, and what is worse than it. */
export function besideBaseline(baseline: 'motor' | 'night', outcomes: Readonly<Record<string, Outcome>>): { names: string[]; worse: [string, Outcome][] } {
  const kept = JSON.parse(readFileSync(new URL(`baseline-${baseline}.json`, import.meta.url), 'utf8')) as Readonly<Record<string, Outcome>>;
  return {
    names: Object.keys(kept).sort(),
    worse: Object.entries(outcomes).filter(([name, outcome]) => OUTCOMES.indexOf(outcome) > OUTCOMES.indexOf(kept[name] ?? 'right')),
  };
}
