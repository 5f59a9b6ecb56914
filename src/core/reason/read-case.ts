import type { TestKind } from '../analysis/results.ts';
import type { Case, SeenInTrace } from './case.ts';
import { observeResult } from './observe-results.ts';
import { momentOf, pointOf } from './points.ts';
import { readResult } from './read-result.ts';
import { fieldsOf, listOf, numberOf, Refusal, shown } from './refusal.ts';
import { readReversal } from './reversal.ts';
import { MOMENTS, POINTS, SIGNS, type Answer, type Reading, type Sign } from './types.ts';
import { language } from '../present/language.ts';

const texts = language.caseFile;

/** Volts beyond this are no reading of a 12 or 24 V circuit. */
const MOST_VOLTS = 100;

type CaseRead =
  | { readonly ok: true; readonly case: Case; /** results of the other kind of test, by name */ readonly leftOut: readonly string[] }
  | { readonly ok: false; readonly error: string };

/** Reads a case from outside: `{test, signs, results, readings, reversal?}`. What cannot be used is refused with its place and what is allowed there. */
export function readCase(value: unknown, nameOfResult: (index: number) => string = (index) => String(index + 1)): CaseRead {
  try {
    const { test, signs, results, readings, reversal } = fieldsOf(value, texts.aCase);
    if (test !== 'actuation' && test !== 'drain') throw new Refusal(texts.test(shown(test)));
    const { seen, leftOut } = readResults(results, test, nameOfResult);
    const turned = reversal === undefined || reversal === null ? null : readReversal(reversal);
    if (typeof turned === 'string') throw new Refusal(texts.of('reversal', turned));
    const extra = turned === null || test === 'drain' ? [] : [turned];
    return { ok: true, case: { test, signs: readSigns(signs), seen: [...seen, ...extra], readings: readReadings(readings) }, leftOut };
  } catch (error) {
    if (error instanceof Refusal) return { ok: false, error: error.message };
    throw error;
  }
}

/** Throws Refusal. */
export function readSigns(value: unknown): Partial<Record<Sign, Answer>> {
  if (value === undefined || value === null) return {};
  const signs: Partial<Record<Sign, Answer>> = {};
  for (const [name, answer] of Object.entries(fieldsOf(value, texts.signs))) {
    const sign = SIGNS.find((known) => known === name);
    if (sign === undefined) throw new Refusal(texts.noSign(`signs.${name.slice(0, 40)}`, SIGNS.join(', ')));
    if (answer !== 'yes' && answer !== 'no') throw new Refusal(texts.answer(`signs.${name}`, shown(answer)));
    signs[sign] = answer;
  }
  return signs;
}

/** Throws Refusal. */
export function readReadings(value: unknown): Reading[] {
  return listOf(value, 'readings').map((entry, index) => {
    const where = `readings[${index}]`;
    const { point, v, while: moment } = fieldsOf(entry, texts.reading(where));
    const known = typeof point === 'string' ? pointOf(point) : null;
    if (known === null) throw new Refusal(texts.noPoint(`${where}.point`, shown(point), POINTS.join(', ')));
    const volts = numberOf(v, `${where}.v`, -MOST_VOLTS, MOST_VOLTS);
    const when = moment === undefined ? 'pressed' : typeof moment === 'string' ? momentOf(moment) : null;
    if (when === null) throw new Refusal(texts.oneOf(`${where}.while`, shown(moment), MOMENTS.join(', ')));
    return { point: known, v: volts, while: when };
  });
}

function readResults(value: unknown, test: TestKind, nameOf: (index: number) => string): { seen: SeenInTrace[]; leftOut: string[] } {
  const seen: SeenInTrace[] = [];
  const leftOut: string[] = [];
  for (const [index, entry] of listOf(value, 'results').entries()) {
    const result = readResult(entry);
    if (typeof result === 'string') throw new Refusal(texts.of(`results[${index}]`, result));
    if (result.test === test) seen.push(...observeResult(result, nameOf(index)));
    else leftOut.push(nameOf(index));
  }
  return { seen, leftOut };
}
