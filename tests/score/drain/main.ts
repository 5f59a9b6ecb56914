import { judgeNight, secondFigures } from '../second-drain/judge.ts';
import { figures, FIRST_UNSEEN_SEED, runCase } from './score.ts';
import { Tally } from './tally.ts';
import type { ScoreRow } from './tally.ts';

/**
 * Prints each figure of the drain test against its goal. `--seed N` and `--count N` choose the cases, `--generator second` the other
 * generator, `--tuning` the seeds that thresholds were chosen on; `--verbose` lists what is wrong with single cases of the second.
 */
export function scoreAll(args: readonly string[]): void {
  const numberAfter = (name: string, otherwise: number): number => (args.includes(name) ? Number(args[args.indexOf(name) + 1]) : otherwise);
  const second = args.includes('--generator') && args[args.indexOf('--generator') + 1] === 'second';
  const count = numberAfter('--count', args.includes('--quick') ? 60 : second ? 100 : 1000);
  const first = numberAfter('--seed', args.includes('--tuning') ? 1 : FIRST_UNSEEN_SEED);
  const rows = second ? secondRows(first, count, args.includes('--verbose')) : figures(Array.from({ length: count }, (_, i) => runCase(first + i)));
  for (const row of rows) {
    console.log(`${row.met ? 'met    ' : 'MISSED '} drain: ${row.name}: ${Number(row.value.toPrecision(4))} (goal ${row.goal}; ${row.count} cases)`);
  }
}

function secondRows(first: number, count: number, verbose: boolean): ScoreRow[] {
  const tally = new Tally();
  const changesA: number[] = [];
  for (let seed = first; seed < first + count; seed++) {
    const judged = judgeNight(seed, tally, changesA);
    if (verbose && judged.faults.length > 0) console.log(`${judged.night.name}\n${judged.faults.map((fault) => `    ${fault}`).join('\n')}`);
  }
  return secondFigures(tally, changesA);
}
