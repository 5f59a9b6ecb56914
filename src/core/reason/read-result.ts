import { FINDINGS, type Finding } from '../analysis/findings.ts';
import type { TestKind } from '../analysis/results.ts';
import type { DrainFacts, PressFacts, ResultFacts } from './observe-results.ts';
import { language } from '../present/language.ts';

const texts = language.caseFile;

/** Longest sentence of a trace that is quoted. */
const MAX_SAID = 300;

type Fields = Readonly<Record<string, unknown>>;

/** Reads an `analyse --json` document from outside: the facts, or a sentence's end when it is none. */
export function readResult(value: unknown): ResultFacts | string {
  const fields = asFields(value);
  if (fields === null) return texts.noDocument;
  const verdict = asFields(fields['verdict']);
  const finding = verdict?.['finding'];
  if (typeof finding !== 'string') return texts.noFinding;
  if (!Object.hasOwn(FINDINGS, finding)) return texts.unknownFinding(finding.slice(0, 40), Object.keys(FINDINGS).join(', '));
  const known = finding as Finding;
  const of = FINDINGS[known].of as readonly string[];
  const test = fields['test'] ?? (of.includes('actuation') ? 'actuation' : 'drain');
  if (test !== 'actuation' && test !== 'drain') return texts.noTest;
  if (!of.includes(test)) return texts.findingOfOtherTest(finding, test);
  return factsOf(fields, verdict!, test, known);
}

function factsOf(fields: Fields, verdict: Fields, test: TestKind, finding: Finding): ResultFacts {
  const because = asList(verdict['because'])[0];
  const voltageAt = asFields(fields['trace'])?.['voltage_at'];
  const asymmetry = asFields(fields['asymmetry']);
  const ratio = asymmetry?.['run_ratio'];
  return {
    test,
    finding,
    said: typeof because === 'string' ? because.slice(0, MAX_SAID) : '',
    basis: typeof verdict['basis'] === 'string' ? verdict['basis'] : null,
    uncoupled: fields['uncoupled'] === true,
    voltageAt: voltageAt === 'motor' || voltageAt === 'battery' ? voltageAt : null,
    presses: asList(fields['actuations']).flatMap((press) => pressOf(asFields(press)) ?? []),
    runRatio: isNumber(ratio) && ratio > 0 ? ratio : null,
    drain: test === 'drain' ? drainOf(fields) : null,
  };
}

function pressOf(press: Fields | null): PressFacts | null {
  // cut by the start or the end of the recording: no evidence
  if (press === null || press['cut'] !== undefined) return null;
  const runA = asFields(press['run'])?.['median_a'];
  const standingA = asFields(asFields(press['inrush'])?.['fit'])?.['standstill_a'];
  const supply = asFields(press['supply']);
  const open = supply?.['open_v'];
  const under = supply?.['run_v'];
  return {
    cutOut: asList(press['stalls']).some((stall) => asFields(stall)?.['cut_out'] === true) || asList(press['events']).some((event) => asFields(event)?.['code'] === 'cut-out'),
    lowCommutation: asFields(press['bad_commutation']) !== null,
    beats: asFields(press['beat']) !== null,
    loadShare: isNumber(runA) && isNumber(standingA) && standingA > 0 ? runA / standingA : null,
    voltsShare: isNumber(open) && open > 0 && isNumber(under) ? under / open : null,
  };
}

function drainOf(fields: Fields): DrainFacts {
  const level = asFields(fields['asleep'])?.['level_a'];
  const limit = fields['limit_a'];
  const over = fields['over_limit'];
  return {
    asleepA: isNumber(level) ? level : null,
    limitA: isNumber(limit) ? limit : 0,
    overLimit: over === null ? null : over === true,
    wakeUps: asList(fields['wakeups']).length,
    pulls: asList(fields['pulls']).flatMap((pull) => {
      const { label, carries, low_a: lowA, high_a: highA } = asFields(pull) ?? {};
      if (typeof carries !== 'boolean') return [];
      // a change is after minus before: what the fuse carries is its opposite
      return [{ label: typeof label === 'string' ? label : '', carries, carriedA: isNumber(lowA) && isNumber(highA) ? { lowA: -highA, highA: -lowA } : null }];
    }),
  };
}

function asFields(value: unknown): Fields | null {
  return typeof value === 'object' && value !== null && !Array.isArray(value) ? (value as Fields) : null;
}

function asList(value: unknown): readonly unknown[] {
  return Array.isArray(value) ? value : [];
}

function isNumber(value: unknown): value is number {
  return typeof value === 'number' && Number.isFinite(value);
}
