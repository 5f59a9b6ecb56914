import type { Evidence, WeighedCause, WhatIsLeft } from '../../reason/evidence.ts';
import type { NextStep } from '../../reason/next.ts';
import { SOURCES } from '../../reason/table/sources.ts';
import { entryOf } from '../../reason/table/table.ts';
import type { Cause, Reading } from '../../reason/types.ts';
import { decimal, language } from '../language.ts';
import type { Words } from '../words.ts';

const said = language.figures.reasonWords;

/** What is left and the next check, as scripts and pages take it (`amptrail next --json`). */
export interface ReasonAnswer {
  readonly causes: readonly {
    cause: Cause;
    state: WeighedCause['state'];
    because: string[];
    /** the entries of the table behind the sentences, in the same order */
    sources: string[];
  }[];
  readonly contradiction: readonly string[] | null;
  readonly next: { code: string; check: string; where: string; decides: { result: string; leaves: Cause[] }[] } | null;
}

/** What decides comes first. */
const TELLING = ['rules-out', 'for', 'against'];

export function reasonAnswer(left: WhatIsLeft, step: NextStep | null, words: Words = language): ReasonAnswer {
  return {
    causes: left.causes.map((given) => ({ ...given, reasons: [...given.reasons].sort((a, b) => TELLING.indexOf(a.effect) - TELLING.indexOf(b.effect)) })).map((one) => ({
      cause: one.cause,
      state: one.state,
      because: because(one, words),
      sources: one.reasons.map(({ evidence }) => SOURCES[entryOf(evidence.observation, one.cause).source]),
    })),
    contradiction: left.contradiction === null ? null : left.contradiction.map((piece) => evidenceWords(piece, words)),
    next: step === null ? null : stepWords(step, words),
  };
}

function because({ reasons, outweighedBy }: WeighedCause, words: Words): string[] {
  const { effects, causes, outweighed, nothingYet } = words.reason;
  const lines = reasons.map(({ effect, evidence }) => `${effects[effect]}: ${evidenceWords(evidence, words)}`);
  if (outweighedBy !== null) lines.push(outweighed(causes[outweighedBy]));
  return lines.length > 0 ? lines : [nothingYet];
}

/** One piece of evidence with where it comes from: a sign, a trace with its own figures, or volts. */
function evidenceWords({ observation, origin }: Evidence, words: Words = language): string {
  if (origin.kind === 'sign') return words.reason.signs[origin.sign][origin.answer];
  const shown = words.reason.shown[observation as keyof Words['reason']['shown']];
  if (origin.kind === 'reading') {
    const volts = origin.readings.map((reading) => readingWords(reading, words)).join(', ');
    return origin.bare === true ? volts : `${shown} (${volts})`;
  }
  const name = /^\d+$/.test(origin.trace) ? said.trace(origin.trace) : origin.trace;
  return `${shown} (${name}${origin.said === '' ? '' : `: ${origin.said}`})`;
}

function readingWords({ point, v, while: moment }: Reading, words: Words = language): string {
  return `${decimal(v, Math.abs(v) < 1 ? 2 : 1)} V ${words.reason.points[point]} ${words.reason.moments[moment]}`;
}

function stepWords(step: NextStep, words: Words): NonNullable<ReasonAnswer['next']> {
  if (step.kind === 'verify') {
    const { check, where, first, second } = words.reason.verify;
    const [one, other] = step.pair.map((piece) => evidenceWords(piece, words));
    return { code: 'verify', check, where, decides: step.decides.map(({ leaves }, at) => ({ result: at === 0 ? `${first}: ${one}` : `${second}: ${other}`, leaves: [...leaves] })) };
  }
  const texts = words.checks[step.check.code];
  return { code: step.check.code, check: texts.check, where: texts.where, decides: step.decides.map(({ outcome, leaves }) => ({ result: texts.outcomes[outcome] ?? outcome, leaves: [...leaves] })) };
}
