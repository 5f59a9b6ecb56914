import { analyseDrain } from '../../analyse.ts';
import { judgeNight } from '../second-drain/judge.ts';
import { judge } from '../situations/night/judge.ts';
import { makeNight, nightSituations } from '../situations/night/run.ts';
import type { Outcome } from '../situations/night/types.ts';
import { runCase } from './score.ts';
import { optionsOf } from './situation-options.ts';
import { Tally } from './tally.ts';

/** Nights of the gate by name, with what came of each: a night of the first two generators is right or false by its finding alone. */
export type GateOutcomes = Readonly<Record<string, Outcome>>;

/** Seeds that nobody tuned to beyond looking at what this gate says. */
const FIRST_SEED = 90_001;
const OF_EACH_GENERATOR = 10;
const SITUATIONS = 40;

export function gateOutcomes(): GateOutcomes {
  const outcomes: Record<string, Outcome> = {};
  for (let seed = FIRST_SEED; seed < FIRST_SEED + OF_EACH_GENERATOR; seed++) {
    const { parked, result } = runCase(seed);
    outcomes[`parked ${seed}`] = (parked.findings as readonly string[]).includes(result.verdict.finding) ? 'right' : 'false';
    const judged = judgeNight(seed, new Tally(), []);
    outcomes[`second ${seed}`] = judged.faults.length === 0 ? 'right' : judged.faults.some((fault) => fault.startsWith('finding')) ? 'false' : 'missed';
  }
  // evenly over all families
  for (let k = 0; k < SITUATIONS; k++) {
    const situation = nightSituations[Math.floor((k * nightSituations.length) / SITUATIONS)];
    const night = makeNight(situation, FIRST_SEED + k);
    outcomes[`${situation.name} ${FIRST_SEED + k}`] = judge(analyseDrain(night.trace, night.marks, optionsOf(night.options)), night.label).outcome;
  }
  return outcomes;
}
