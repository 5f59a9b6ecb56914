import { run, table } from '../situations/motor/run.ts';
import { countConstants, countNumbers } from './constants.ts';
import { analyseSituation } from './situations.ts';
import { labelledCase } from '../second/labelled.ts';
import { generateTrace } from './generate.ts';
import { emptyTally, figures, scoreTrace } from './score.ts';

/** Seeds the detectors were tuned on, and seeds that only report. */
const TUNING_FROM = 1;
const REPORT_FROM = 100_001;
const COUNT = 400;
/** Situations from this seed on are kept back: figures are reported on them. */
const FIRST_UNSEEN_SITUATION = 700_001;

export function scoreAll(args: readonly string[]): void {
  console.log(`actuation: ${countConstants()} named constants (goal at most 90), ${countNumbers()} numbers with a name or without`);
  if (args.includes('--situations')) {
    scoreSituations(args);
    return;
  }
  const second = args.includes('--generator') && args[args.indexOf('--generator') + 1] === 'second';
  const from = args.includes('--seed') ? Number(args[args.indexOf('--seed') + 1]) : args.includes('--tuning') ? TUNING_FROM : REPORT_FROM;
  const count = args.includes('--count') ? Number(args[args.indexOf('--count') + 1]) : COUNT;
  const kind = args.includes('--kind') ? args[args.indexOf('--kind') + 1] : undefined;
  const tally = emptyTally();
  const byKind = new Map<string, { traces: number; clean: number }>();
  for (let seed = from; seed < from + count; seed++) {
    const labelled = second ? labelledCase(seed) : generateTrace(seed, kind);
    if (kind !== undefined && labelled.name !== kind) continue;
    const wrong = scoreTrace(labelled, tally);
    const row = byKind.get(labelled.name) ?? { traces: 0, clean: 0 };
    row.traces++;
    if (wrong.length === 0) row.clean++;
    byKind.set(labelled.name, row);
    if (args.includes('--verbose') && wrong.length > 0) console.log(`${seed} ${labelled.about ?? labelled.name} ${labelled.trace.timeS.length}: ${wrong.join(' | ')}`);
  }
  console.log(`actuation${second ? ', second generator' : ''}, ${tally.traces} generated traces from seed ${from}, ${tally.pressHit + tally.pressMissed} presses, ${tally.stallHit + tally.stallMissed} stalls`);
  for (const figure of figures(tally)) console.log(`  ${figure.met ? 'met ' : 'MISS'}  ${figure.name.padEnd(40)} ${figure.value.toFixed(4).padStart(8)}   goal ${figure.goal}`);
  console.log(`  ripple reported where the generator calls it invisible: ${tally.rippleFalse} of ${tally.rippleUnseen}`);
  console.log(`  traces without a flaw: ${[...byKind].map(([name, row]) => `${name} ${row.clean}/${row.traces}`).join(', ')}`);
}

/** `--situations`: recordings made from physics apart from every detector, a few of each class (`--only NAME,NAME` some of them, `--verbose` with reasons). */
function scoreSituations(args: readonly string[]): void {
  const after = (name: string): string | undefined => (args.includes(name) ? args[args.indexOf(name) + 1] : undefined);
  const only = after('--only');
  const plan = { seed: Number(after('--seed') ?? FIRST_UNSEEN_SITUATION), count: Number(after('--count') ?? 1), ...(only === undefined ? {} : { classes: only.split(',') }) };
  console.log(table(run(plan, analyseSituation), args.includes('--verbose')));
}
