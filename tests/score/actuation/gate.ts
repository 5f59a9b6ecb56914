import { labelledCase } from '../second/labelled.ts';
import { judgeSituation, makeSituation, motorSituations } from '../situations/motor/run.ts';
import type { Outcome } from '../situations/motor/judge.ts';
import { generateTrace } from './generate.ts';
import type { LabelledTrace } from './labels.ts';
import { emptyTally, scoreTrace } from './score.ts';
import { analyseSituation } from './situations.ts';

/** Traces of the gate by name, with what came of each: one of the first two generators is false by its verdict, missed by anything less. */
export type GateOutcomes = Readonly<Record<string, Outcome>>;

/** Seeds that nobody tuned to beyond looking at what this gate says. */
const FIRST_SEED = 90_001;
/** with one of each situation this makes the number of the gate */
export const TRACES = 150;

export function gateOutcomes(): GateOutcomes {
  const outcomes: Record<string, Outcome> = {};
  const others = TRACES - motorSituations.length;
  for (let k = 0; k < others; k++) {
    const seed = FIRST_SEED + k;
    if (k % 2 === 0) outcomes[`drawn ${seed}`] = outcomeOf(generateTrace(seed));
    else outcomes[`second ${seed}`] = outcomeOf(labelledCase(seed));
  }
  for (const { name } of motorSituations) outcomes[name] = judgeSituation(makeSituation(name, FIRST_SEED), analyseSituation).judgement.outcome;
  return outcomes;
}

function outcomeOf(labelled: LabelledTrace): Outcome {
  const wrong = scoreTrace(labelled, emptyTally());
  return wrong.length === 0 ? 'right' : wrong.some((fault) => fault.startsWith('verdict')) ? 'false' : 'missed';
}
