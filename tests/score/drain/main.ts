import { figures, FIRST_UNSEEN_SEED, runCase } from './score.ts';

/** Prints each figure of the drain test against its goal. `--tuning` takes the seeds that thresholds were chosen on, `--count N` their number. */
export function scoreAll(args: readonly string[]): void {
  const count = args.includes('--count') ? Number(args[args.indexOf('--count') + 1]) : args.includes('--quick') ? 60 : 1000;
  const first = args.includes('--tuning') ? 1 : FIRST_UNSEEN_SEED;
  const cases = Array.from({ length: count }, (_, i) => runCase(first + i));
  for (const row of figures(cases)) {
    console.log(`${row.met ? 'met    ' : 'MISSED '} drain: ${row.name}: ${Number(row.value.toPrecision(4))} (goal ${row.goal}; ${row.count} cases)`);
  }
}
