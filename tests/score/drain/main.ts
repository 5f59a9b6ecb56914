import { nightTable, run } from '../situations/night/run.ts';
import { analyseDrain } from '../../analyse.ts';
import { countConstants } from './constants.ts';
import { optionsOf } from './situation-options.ts';
import { judgeNight, secondFigures } from '../second-drain/judge.ts';
import { figures, FIRST_UNSEEN_SEED, runCase } from './score.ts';
import { Tally } from './tally.ts';
import type { ScoreRow } from './tally.ts';

/** Nights from this seed on are kept back: figures are reported on them. */
const FIRST_UNSEEN_NIGHT = 700_001;

/**
 * Prints each figure of the drain test against its goal. `--seed N` and `--count N` choose the cases, `--generator second` the other
 * generator, `--situations` the nights of tests/score/situations (`--only NAME,NAME` some of them), `--tuning` the seeds that thresholds were chosen on; `--verbose` lists what is wrong with single cases of the second.
 */
export async function scoreAll(args: readonly string[]): Promise<void> {
  const numberAfter = (name: string, otherwise: number): number => (args.includes(name) ? Number(args[args.indexOf(name) + 1]) : otherwise);
  const second = args.includes('--generator') && args[args.indexOf('--generator') + 1] === 'second';
  const count = numberAfter('--count', args.includes('--quick') ? 60 : second ? 100 : 1000);
  const first = numberAfter('--seed', args.includes('--tuning') ? 1 : args.includes('--situations') ? FIRST_UNSEEN_NIGHT : FIRST_UNSEEN_SEED);
  console.log(`drain: ${countConstants()} constants, with a name or without (goal at most 60)`);
  if (args.includes('--situations')) {
    const only = args.includes('--only') ? { classes: (args[args.indexOf('--only') + 1] ?? '').split(',') } : {};
    const report = await run({ seed: first, count: numberAfter('--count', 5), ...only }, (trace, marks, options) => analyseDrain(trace, marks, optionsOf(options)));
    console.log(nightTable(report, args.includes('--verbose')));
    return;
  }
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
