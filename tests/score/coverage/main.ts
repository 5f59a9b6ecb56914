import { coverageOf, FIGURES } from './coverage.ts';
import type { Held } from './held.ts';
import { WAKE_KINDS, wakeCoverage } from './wakes.ts';

/** Seeds from here on were looked at only for the figures that are reported. */
const FIRST_SEED = 500_001;
const TRACES = 1000;
const GOAL = [0.93, 0.97] as const;

/** `npm run score -- --coverage [--seed N] [--count N]`: how often the 95 % bounds of each figure hold what flowed. */
export function scoreCoverage(args: readonly string[]): void {
  const numberAfter = (name: string, otherwise: number): number => (args.includes(name) ? Number(args[args.indexOf(name) + 1]) : otherwise);
  const [seed, count] = [numberAfter('--seed', FIRST_SEED), numberAfter('--count', TRACES)];
  const coverage = coverageOf(seed, count);
  console.log(`coverage of 95 % bounds, ${count} motor tests and ${count} nights from seed ${seed}; goal ${GOAL[0]} to ${GOAL[1]}`);
  console.log('figure                    held      of     share   rms error in standard uncertainties');
  for (const figure of FIGURES) console.log(row(figure, coverage[figure]));
  console.log('\nperiod of wake-ups by');
  for (const kind of WAKE_KINDS) console.log(row(kind, wakeCoverage(kind, seed, count)));
}

function row(name: string, { held, all, share, spread }: Held): string {
  const met = share >= GOAL[0] && share <= GOAL[1];
  return `${name.padEnd(24)}${String(held).padStart(6)}${String(all).padStart(8)}${share.toFixed(3).padStart(10)}${spread.toFixed(2).padStart(8)}   ${met ? 'met' : 'not met'}`;
}
