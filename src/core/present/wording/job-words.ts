import type { Problem } from '../../problems.ts';
import type { JobReasoning } from '../../reason/job-case.ts';
import type { Proof } from '../../reason/proof.ts';
import type { Repair } from '../../tracefile/record.ts';
import { language } from '../language.ts';
import { reasonAnswer, type ReasonAnswer } from './reason-words.ts';
import type { Words } from '../words.ts';

/** The answer about a job: what is left, the next check, and after a repair what the traces since then say of it. */
export interface JobAnswer extends ReasonAnswer {
  readonly test: JobReasoning['test'];
  readonly repair: Repair | null;
  readonly proof: { state: Proof['state']; text: string } | null;
  readonly problems: readonly Problem[];
}

export function jobAnswer({ test, left, next, proof, leftOut }: JobReasoning, repair: Repair | null, words: Words = language): JobAnswer {
  return {
    test,
    ...reasonAnswer(left, next, words),
    repair,
    proof: proof === null ? null : { state: proof.state, text: words.reason.proof[proof.state](proof.cause === null ? '' : words.reason.causes[proof.cause], test) },
    problems: leftOut.length === 0 ? [] : [{ code: 'different-test', text: words.reason.leftOut(leftOut.join(', '), test) }],
  };
}
