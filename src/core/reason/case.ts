import type { TestKind } from '../analysis/results.ts';
import type { CaseFile, Evidence } from './evidence.ts';
import { observeReadings } from './observe-readings.ts';
import type { ObservationCode } from './table/table.ts';
import { SIGNS, type Reading, type Sign, type Signs } from './types.ts';

/** One observation drawn from a trace: what it shows, which trace, and that trace's own first sentence. */
export interface SeenInTrace {
  readonly observation: ObservationCode;
  readonly trace: string;
  readonly said: string;
}

/** What a job knows, before the table is asked: signs, what its traces show, and volts read with a meter. */
export interface Case {
  readonly test: TestKind;
  readonly signs: Signs;
  readonly seen: readonly SeenInTrace[];
  readonly readings: readonly Reading[];
}

/** Signs that cannot both be seen at one press: what makes no sound does not hum, and what moves a little, or on one side, is heard. */
const NOT_BOTH: readonly (readonly [Sign, Sign])[] = [['no-sound', 'hums'], ['no-sound', 'moves-a-little'], ['no-sound', 'one-side-only']];

export function caseFileOf({ test, signs, seen, readings }: Case): CaseFile {
  const observed = observeReadings(readings);
  const evidence: Evidence[] = SIGNS.flatMap((sign) => {
    const answer = signs[sign];
    return answer === undefined ? [] : [{ observation: `${sign}:${answer}` as ObservationCode, origin: { kind: 'sign' as const, sign, answer } }];
  });
  for (const { observation, trace, said } of seen) evidence.push({ observation, origin: { kind: 'result', trace, said } });
  return { test, evidence: [...evidence, ...observed.evidence], clash: observed.clash ?? clashOf(signs) };
}

function clashOf(signs: Signs): readonly [Evidence, Evidence] | null {
  const pair = NOT_BOTH.find((both) => both.every((sign) => signs[sign] === 'yes'));
  const seen = (sign: Sign): Evidence => ({ observation: `${sign}:yes` as ObservationCode, origin: { kind: 'sign', sign, answer: 'yes' } });
  return pair === undefined ? null : [seen(pair[0]), seen(pair[1])];
}
