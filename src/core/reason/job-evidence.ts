import type { FuseFields, JobEvidence, LeadFields, Repair, WireFields } from '../tracefile/record.ts';
import { fuseTypeOf } from '../reference/blade-fuses.ts';
import { readReadings, readSigns } from './read-case.ts';
import { fieldsOf, listOf, numberOf, Refusal, shown, textOf } from './refusal.ts';
import { DRAIN_CAUSES, MOTOR_CAUSES, SIGNS } from './types.ts';
import { language } from '../present/language.ts';

const texts = language.caseFile;

/** Own words beside a sign, and what was done. */
const MAX_TEXT = 2000;
const MAX_LABEL = 80;
const MOST_FUSES = 1000;
const MOST_TRACES = 1000;
const MOST_REPAIRS = 100;
/** Signs, and points at each moment, with room. */
const MOST_ANSWERS = 500;

export const NO_EVIDENCE: JobEvidence = { test: null, signs: {}, sign_words: {}, readings: [], reversal: null, fuse_survey: null, walk: null, uncoupled: [], repair: null, earlier_repairs: [], answered: {} };

/** How each field is read from outside; each throws Refusal. */
const READERS: { readonly [Name in keyof JobEvidence]: (value: unknown) => JobEvidence[Name] } = {
  test: (value) => {
    if (value === null || value === 'actuation' || value === 'drain') return value;
    throw new Refusal(texts.testOrNull(shown(value)));
  },
  signs: readSigns,
  sign_words: (value) => {
    const words: JobEvidence['sign_words'] = {};
    for (const [name, text] of Object.entries(fieldsOf(value, texts.signWords))) {
      const sign = SIGNS.find((known) => known === name);
      if (sign === undefined) throw new Refusal(texts.noSign(`sign_words.${name.slice(0, 40)}`, SIGNS.join(', ')));
      const plain = textOf(text, `sign_words.${name}`, MAX_TEXT);
      if (plain !== '') words[sign] = plain;
    }
    return words;
  },
  readings: readReadings,
  reversal: (value) => {
    if (value === null) return null;
    const { forward, reverse } = fieldsOf(value, texts.must('reversal', ['forward', 'reverse']));
    return { forward: leads(forward, 'reversal.forward'), reverse: leads(reverse, 'reversal.reverse') };
  },
  fuse_survey: (value) => {
    if (value === null) return null;
    const { battery_a: batteryA, fuses } = fieldsOf(value, texts.must('fuse_survey', ['battery_a', 'fuses']));
    return { battery_a: optional(batteryA, 'fuse_survey.battery_a', -1e4, 1e4), fuses: listOf(fuses, 'fuse_survey.fuses', MOST_FUSES).map(fuse) };
  },
  walk: (value) => {
    if (value === null) return null;
    const { current_a: currentA, feed, back } = fieldsOf(value, texts.must('walk', ['current_a', 'feed', 'back']));
    return { current_a: optional(currentA, 'walk.current_a', 0, 1e4), feed: wire(feed, 'walk.feed'), back: wire(back, 'walk.back') };
  },
  uncoupled: (value) => listOf(value, 'uncoupled', MOST_TRACES).map((id, index) => textOf(id, `uncoupled[${index}]`, 120)),
  repair: (value) => (value === null ? null : repair(value, 'repair')),
  earlier_repairs: (value) => listOf(value, 'earlier_repairs', MOST_REPAIRS).map((one, index) => repair(one, `earlier_repairs[${index}]`)),
  answered: (value) => {
    const times = Object.entries(fieldsOf(value, texts.answered));
    if (times.length > MOST_ANSWERS) throw new Refusal(texts.answered);
    return Object.fromEntries(times.map(([key, at]) => [key.slice(0, MAX_LABEL), momentOf(at, `answered.${key.slice(0, 40)}`)]));
  },
};

const EVIDENCE_FIELDS = Object.keys(READERS) as (keyof JobEvidence)[];

/** Changes from a page; a sentence where one cannot be used. Fields not named stay as they are. */
export function readEvidenceChanges(value: unknown): Partial<JobEvidence> | string {
  try {
    const given = fieldsOf(value, texts.body);
    const unknown = Object.keys(given).find((name) => !Object.hasOwn(READERS, name));
    if (unknown !== undefined) throw new Refusal(texts.noField(unknown.slice(0, 40), EVIDENCE_FIELDS.join(', ')));
    return Object.fromEntries(Object.entries(given).map(([name, part]) => [name, READERS[name as keyof JobEvidence](part)]));
  } catch (error) {
    if (error instanceof Refusal) return error.message;
    throw error;
  }
}

/** What an older, copied or edited job.json holds: fields that cannot be used are empty and named. */
export function readEvidence(given: Readonly<Record<string, unknown>>): { evidence: JobEvidence; wrong: string[] } {
  const evidence: JobEvidence = { ...NO_EVIDENCE };
  const wrong: string[] = [];
  for (const name of EVIDENCE_FIELDS) {
    if (given[name] === undefined) continue;
    const part = readEvidenceChanges({ [name]: given[name] });
    if (typeof part === 'string') wrong.push(part);
    else Object.assign(evidence, part);
  }
  return { evidence, wrong };
}

function leads(value: unknown, where: string): LeadFields {
  const { a_v: aV, b_v: bV, current_a: currentA } = fieldsOf(value, texts.leads(where));
  return { a_v: numberOf(aV, `${where}.a_v`, -100, 100), b_v: numberOf(bV, `${where}.b_v`, -100, 100), current_a: optional(currentA, `${where}.current_a`, -1e4, 1e4) };
}

function fuse(value: unknown, index: number): FuseFields {
  const where = `fuse_survey.fuses[${index}]`;
  const { label, type, rating_a: ratingA, mv, ohm } = fieldsOf(value, texts.must(where, ['label', 'type', 'rating_a', 'mv']));
  const word = textOf(type, `${where}.type`, MAX_LABEL);
  const own = optional(ohm, `${where}.ohm`, 1e-6, 1000);
  if (fuseTypeOf(word) === null && own === null) throw new Refusal(texts.noFuseType(`${where}.type`));
  return { label: textOf(label, `${where}.label`, MAX_LABEL), type: word, rating_a: numberOf(ratingA, `${where}.rating_a`, 0.1, 1000), mv: numberOf(mv, `${where}.mv`, -1e5, 1e5), ohm: own };
}

function wire(value: unknown, where: string): WireFields | null {
  if (value === null || value === undefined) return null;
  const { area_mm2: areaMm2, length_m: lengthM } = fieldsOf(value, texts.must(where, ['area_mm2', 'length_m']));
  return { area_mm2: numberOf(areaMm2, `${where}.area_mm2`, 0.05, 500), length_m: numberOf(lengthM, `${where}.length_m`, 0.01, 200) };
}

function repair(value: unknown, where: string): Repair {
  const { cause, part, work, at } = fieldsOf(value, texts.must(where, ['cause', 'part', 'work', 'at']));
  const known = [...MOTOR_CAUSES, ...DRAIN_CAUSES].find((one) => one === cause) ?? null;
  if (cause !== null && cause !== undefined && known === null) throw new Refusal(texts.noCause(shown(cause)));
  return { cause: known, part: textOf(part, `${where}.part`, MAX_TEXT), work: textOf(work, `${where}.work`, MAX_TEXT), at: momentOf(at, `${where}.at`) };
}

function momentOf(at: unknown, where: string): string {
  if (typeof at !== 'string' || !/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?Z$/.test(at)) throw new Refusal(texts.time(where, shown(at)));
  return at;
}

function optional(value: unknown, name: string, low: number, high: number): number | null {
  return value === null || value === undefined ? null : numberOf(value, name, low, high);
}
