import { supplyReversal, type LeadVolts, type ReversalReadings } from '../analysis/readings/supply-reversal.ts';
import type { SeenInTrace } from './case.ts';
import type { ObservationCode } from './table/table.ts';
import { language } from '../present/language.ts';

const texts = language.caseFile;

const CODES: Readonly<Record<ReturnType<typeof supplyReversal>['outcome'], ObservationCode | null>> = {
  'both-ways': 'reverses-well',
  'one-way': 'feeds-one-way',
  'no-way': 'feeds-no-way',
  'no-return': 'volts-on-motor-minus',
  'volts-no-current': 'volts-no-current',
  'cannot-tell': null,
};

/** The +12/-12 check of a two-way motor as evidence; a sentence's end when it is none; null when it does not tell. */
export function readReversal(value: unknown): SeenInTrace | string | null {
  const readings = reversalFrom(value);
  if (typeof readings === 'string') return readings;
  const observation = CODES[supplyReversal(readings).outcome];
  return observation === null ? null : { observation, trace: 'reversal', said: saidOf(readings) };
}

/** Checks what came from outside: `{forward: {a_v, b_v, current_a?}, reverse: {…}}`, volts of both motor leads against the battery's negative post. */
function reversalFrom(value: unknown): ReversalReadings | string {
  if (typeof value !== 'object' || value === null) return texts.reversal;
  const { forward, reverse } = value as { forward?: unknown; reverse?: unknown };
  const one = leadsFrom(forward);
  const other = leadsFrom(reverse);
  if (one === null || other === null) return texts.eachWay;
  return { forward: one, reverse: other };
}

function leadsFrom(value: unknown): LeadVolts | null {
  if (typeof value !== 'object' || value === null) return null;
  const { a_v: aV, b_v: bV, current_a: currentA } = value as Record<string, unknown>;
  const isNumber = (given: unknown): given is number => typeof given === 'number' && Number.isFinite(given);
  if (!isNumber(aV) || !isNumber(bV)) return null;
  return { aV, bV, currentA: isNumber(currentA) ? currentA : null };
}

function saidOf({ forward, reverse }: ReversalReadings): string {
  return language.reason.read.leads([forward.aV, forward.bV], [reverse.aV, reverse.bV]);
}
