import type { Mark, Trace } from '../../../../src/core/trace.ts';
import { Chance } from './chance.ts';
import type { Covered } from './coverage.ts';
import { judge, type Judgement } from './judge.ts';
import { allNightSituations } from './situations.ts';
import type { NightCase, NightOptions, NightSituation, Outcome } from './types.ts';

export { allNightSituations, nightSituations } from './situations.ts';

/**
 * What is judged: the recording, the marks and the technician's options go in, the JSON document of `analyse --test drain --json`
 * (CONTRACT 3.2) comes out. The document is taken as it is and trusted in nothing.
 */
export type AnalyseNight = (trace: Trace, marks: readonly Mark[], options: NightOptions) => unknown;

export interface NightRun {
  /** the first seed; night k of a class is made from `seed + k` and the name of the class */
  readonly seed: number;
  /** nights of each class */
  readonly count: number;
  /** names out of `allNightSituations`; all of them where it is left out */
  readonly classes?: readonly string[];
}

export interface NightFault {
  readonly situation: string;
  readonly seed: number;
  readonly outcome: Outcome;
  readonly reasons: readonly string[];
}

export type Counts = Readonly<Record<Outcome, number>>;

export interface NightReport {
  readonly classes: readonly { readonly name: string; readonly counts: Counts }[];
  readonly total: Counts;
  /** how often each 95 % bound held the truth, by what is bounded and by situation */
  readonly coverage: readonly { readonly what: Covered['what']; readonly tag: string; readonly inside: number; readonly tried: number }[];
  /** every night that was not right, to be looked at */
  readonly faults: readonly NightFault[];
}

/** Makes one night again: the same class and seed always give the same samples, marks and label. */
export function makeNight(situation: NightSituation, seed: number): NightCase {
  return situation.make(new Chance('night', situation.name, seed));
}

/**
 * Makes `count` nights of each class, has each analysed and judges the answers.
 *
 * @example
 * const report = await run({ seed: 1, count: 5 }, (trace, marks, options) => analyseDrain(trace, marks, options));
 * console.log(nightTable(report));
 */
export async function run(how: NightRun, analyse: AnalyseNight): Promise<NightReport> {
  const classes: { name: string; counts: Counts }[] = [];
  const covered: Covered[] = [];
  const faults: NightFault[] = [];
  for (const situation of chosen(how.classes)) {
    const counts: Record<Outcome, number> = { right: 0, 'cannot-tell': 0, missed: 0, false: 0 };
    for (let seed = how.seed; seed < how.seed + how.count; seed++) {
      const judgement = await judged(situation, seed, analyse);
      counts[judgement.outcome]++;
      covered.push(...judgement.covered);
      if (judgement.outcome !== 'right') faults.push({ situation: situation.name, seed, outcome: judgement.outcome, reasons: judgement.faults.map((fault) => `${fault.outcome}: ${fault.reason}`) });
    }
    classes.push({ name: situation.name, counts });
  }
  return { classes, total: sum(classes.map((one) => one.counts)), coverage: tallied(covered), faults };
}

async function judged(situation: NightSituation, seed: number, analyse: AnalyseNight): Promise<Judgement> {
  const night = makeNight(situation, seed);
  try {
    return judge(await analyse(night.trace, night.marks, night.options), night.label);
  } catch (error) {
    return { outcome: 'false', faults: [{ outcome: 'false', reason: `the analysis failed: ${String(error)}` }], covered: [] };
  }
}

function chosen(names: readonly string[] | undefined): readonly NightSituation[] {
  if (names === undefined) return allNightSituations;
  return names.map((name) => {
    const found = allNightSituations.find((situation) => situation.name === name);
    if (found === undefined) throw new Error(`no situation "${name}"; there are ${allNightSituations.map((one) => one.name).join(', ')}`);
    return found;
  });
}

function sum(all: readonly Counts[]): Counts {
  const total: Record<Outcome, number> = { right: 0, 'cannot-tell': 0, missed: 0, false: 0 };
  for (const counts of all) for (const key of Object.keys(total) as Outcome[]) total[key] += counts[key];
  return total;
}

function tallied(covered: readonly Covered[]): NightReport['coverage'] {
  const rows = new Map<string, { what: Covered['what']; tag: string; inside: number; tried: number }>();
  for (const one of covered) {
    const key = `${one.what}|${one.tag}`;
    const row = rows.get(key) ?? { what: one.what, tag: one.tag, inside: 0, tried: 0 };
    row.tried++;
    if (one.inside) row.inside++;
    rows.set(key, row);
  }
  return [...rows.values()].sort((left, right) => left.what.localeCompare(right.what) || left.tag.localeCompare(right.tag));
}

/** The report as a table for people; `verbose` adds every night that was not right, with the reason. */
export function nightTable(report: NightReport, verbose = false): string {
  const lines = ['night                       right  cannot tell  missed   FALSE'];
  for (const { name, counts } of [...report.classes, { name: 'all', counts: report.total }]) {
    lines.push(`${name.padEnd(26)} ${String(counts.right).padStart(6)} ${String(counts['cannot-tell']).padStart(12)} ${String(counts.missed).padStart(7)} ${String(counts.false).padStart(7)}`);
  }
  lines.push('', 'bound of 95 %  situation                      inside   tried');
  for (const row of report.coverage) lines.push(`${row.what.padEnd(14)} ${row.tag.padEnd(28)} ${((100 * row.inside) / row.tried).toFixed(0).padStart(6)} % ${String(row.tried).padStart(6)}`);
  if (verbose) for (const fault of report.faults) lines.push(`${fault.situation} ${fault.seed}: ${fault.reasons.join('; ')}`);
  return lines.join('\n');
}
