/**
 * Situations for the motor test, made from physics apart from every detector: `npm run score -- --test actuation --situations --seed N`.
 *
 * How a caller uses it:
 *
 *   import { run, table } from './situations/motor/run.ts';
 *   const result = run({ seed: 1, count: 3 }, (columns, options) => documentOf(columns, options));
 *   console.log(table(result));
 *
 * `analyse` gets the columns of one recording (`timeS`, `currentA`, `voltageV` or null, `gaps`: the same shape as `Trace` in
 * src/core/trace.ts) and what a technician would have typed beside it (`runLimitsA` for --run-limits,
 * `commutations`, the sensor's uncertainties), and gives back
 * the JSON document of `analyse --test actuation --json` (CONTRACT 3.1). `count` is the number of recordings a class; `classes` picks
 * classes by name. The same seed gives the same recordings. Seeds from 700001 on are kept for the final judgement: detectors are not
 * developed on them, and the table gives their counts without reasons.
 *
 * What the words of a label mean is in tests/score/definitions.md; how an answer is judged in judge.ts; the figures in tally.ts.
 */
import { OUTCOMES } from '../../baseline.ts';
import { COMMUTATORS } from './families/commutators.ts';
import { CONTROL } from './families/control.ts';
import { CUTS } from './families/cuts.ts';
import { FAULTS } from './families/faults.ts';
import { FEEDS } from './families/feeds.ts';
import { HEALTHY } from './families/healthy.ts';
import { LIMITS } from './families/limits.ts';
import { MIXED } from './families/mixed.ts';
import type { SituationClass } from './families/scenes.ts';
import { SENSORS } from './families/sensors.ts';
import { STALLS } from './families/stalls.ts';
import { WIRES } from './families/wires.ts';
import { judge, type Judgement, type Outcome } from './judge.ts';
import { Dice } from './physics/dice.ts';
import { roadsideKept, roadsideOpen } from './roadside/classes.ts';
import { addToTally, emptyTally, type Tally } from './tally.ts';
import { situate } from './truth/situate.ts';
import type { Columns, Options, Situation } from './truth/types.ts';
import { WORKSHOP } from './workshop/classes.ts';

export const motorSituations: readonly SituationClass[] = [...HEALTHY, ...STALLS, ...FEEDS, ...LIMITS, ...FAULTS, ...WIRES, ...CONTROL, ...SENSORS, ...CUTS, ...COMMUTATORS, ...MIXED];

/** Those and the situations of the workshop, which the gate of `npm test` does not take: it holds what was reached, these show what is not yet. */
export const allMotorSituations: readonly SituationClass[] = [...motorSituations, ...WORKSHOP];

/** Those that are run by their names, or their list's, alone: what `run` gives when nothing is named stays as it was. */
export const byListName: { readonly [list: string]: readonly SituationClass[] } = { roadsideOpen, roadsideKept };
const named: readonly SituationClass[] = [...allMotorSituations, ...Object.values(byListName).flat()];

/** from here on seeds are kept for the final judgement: counts are given, reasons are not */
export const KEPT_FROM_SEED = 700_001;

export interface RunPlan {
  readonly seed: number;
  /** recordings a class (1 when not given) */
  readonly count?: number;
  /** names of classes or of lists of them (`roadsideOpen`); `allMotorSituations` when not given */
  readonly classes?: readonly string[];
}

export type Analyse = (columns: Columns, options: Options) => unknown;

export interface Row {
  readonly name: string;
  readonly counts: { readonly [outcome in Outcome]: number };
  /** the reasons of everything that was not right, with the seed that makes it again */
  readonly notes: readonly string[];
}

export interface Result {
  readonly rows: readonly Row[];
  readonly totals: { readonly [outcome in Outcome]: number };
  readonly tally: Tally;
}

/** One recording of one class. The seed of recording `index` in a run is `seed + index`. */
export function makeSituation(name: string, seed: number): Situation {
  const found = named.find((entry) => entry.name === name);
  if (found === undefined) throw new RangeError(`no situation is called ${name}`);
  const dice = new Dice(seed, name);
  return situate(name, seed, found.make(dice), dice);
}

export function judgeSituation(situation: Situation, analyse: Analyse): { readonly document: unknown; readonly judgement: Judgement } {
  const document = analyse(situation.columns, situation.options);
  return { document, judgement: judge(document, situation.truth, situation.options.runLimitsA !== undefined) };
}

export function run(plan: RunPlan, analyse: Analyse): Result {
  const tally = emptyTally();
  const { classes } = plan;
  const chosen = classes === undefined ? allMotorSituations : named.filter((entry) => classes.includes(entry.name) || classes.some((list) => byListName[list]?.includes(entry)));
  const rows = chosen.map((entry): Row => {
    const counts = noCounts();
    const notes: string[] = [];
    for (let index = 0; index < (plan.count ?? 1); index++) {
      const situation = makeSituation(entry.name, plan.seed + index);
      const { document, judgement } = judgeSituation(situation, analyse);
      counts[judgement.outcome]++;
      if (judgement.outcome !== 'right' && situation.seed < KEPT_FROM_SEED) notes.push(`seed ${situation.seed}: ${judgement.reasons.join('; ')}`);
      addToTally(tally, document, situation.truth);
    }
    return { name: entry.name, counts, notes };
  });
  const totals = noCounts();
  for (const row of rows) for (const outcome of OUTCOMES) totals[outcome] += row.counts[outcome];
  return { rows, totals, tally };
}

function noCounts(): { [outcome in Outcome]: number } {
  return { right: 0, 'cannot-tell': 0, missed: 0, false: 0 };
}

/** The result as text: a line a class, the totals, the figures. `notes` adds the reasons. */
export function table(result: Result, notes = false): string {
  const lines = [`${'situation'.padEnd(28)}${OUTCOMES.map((outcome) => outcome.padStart(13)).join('')}`];
  for (const row of result.rows) {
    lines.push(`${row.name.padEnd(28)}${OUTCOMES.map((outcome) => String(row.counts[outcome]).padStart(13)).join('')}`);
    if (notes) for (const note of row.notes) lines.push(`    ${note}`);
  }
  const all = OUTCOMES.reduce((sum, outcome) => sum + result.totals[outcome], 0);
  lines.push(`${'all'.padEnd(28)}${OUTCOMES.map((outcome) => String(result.totals[outcome]).padStart(13)).join('')}`);
  lines.push(`${'per cent'.padEnd(28)}${OUTCOMES.map((outcome) => ((100 * result.totals[outcome]) / Math.max(1, all)).toFixed(1).padStart(13)).join('')}`);
  return [...lines, ...figures(result.tally)].join('\n');
}

function figures(tally: Tally): string[] {
  const share = (part: number, of: number): string => (of === 0 ? 'none' : `${(part / of).toFixed(3)} of ${of}`);
  const f1 = (hit: number, extra: number, missed: number): string => share(2 * hit, 2 * hit + extra + missed);
  return [
    `presses F1                  ${f1(tally.pressHit, tally.pressExtra, tally.pressMissed)}`,
    `stalls F1                   ${f1(tally.stallHit, tally.stallExtra, tally.stallMissed)}`,
    `ripple right where reported     ${share(tally.rippleRight, tally.rippleReported)}; wrong ${tally.rippleWrong}, of these with no line to see ${tally.rippleWrongUnseen}`,
    `ripple reported right of visible ${share(tally.rippleVisibleRight, tally.rippleVisible)}`,
    `ripple inside its bounds    ${share(tally.rippleHeld, tally.rippleBounds)}`,
    `run level inside its bounds ${share(tally.runHeld, tally.runBounds)}; mean width ${(tally.runBounds === 0 ? 0 : (100 * tally.runWidth) / tally.runBounds).toFixed(1)} %`,
    `source ohm inside its bounds ${share(tally.sourceHeld, tally.sourceBounds)}`,
    `inrush peak within 3 %      ${share(tally.peakNear, tally.peakReported)}; inside its bounds ${share(tally.peakHeld, tally.peakBounds)}`,
  ];
}
