import type { Finding } from './types.ts';

export interface Bounds {
  readonly lowA: number;
  readonly highA: number;
}

export interface SaidPull extends Partial<Bounds> {
  readonly label: string;
  readonly atS: number;
  readonly changeA: number | null;
  readonly carries: boolean | null;
}

/** The fields of the answer that are judged, checked for their type: the judge trusts nothing. */
export interface NightDocument {
  readonly finding: Finding;
  readonly levelRows: number;
  /** `withoutZeroA`: half of its bounds less the part for a zero that is not known; null where the answer names no such part */
  readonly asleep: (Bounds & { readonly atS: number; readonly levelA: number; readonly withoutZeroA: number | null }) | null;
  readonly wakeups: readonly { readonly startS: number; readonly endS: number; readonly peakA: number }[];
  readonly periodS: number | null;
  readonly periodBoundsS: { readonly lowS: number; readonly highS: number } | null;
  readonly averageA: number | null;
  readonly overLimit: boolean | null;
  readonly pulls: readonly SaidPull[];
  readonly unexplainedA: number | null;
  readonly daysToEmpty: number | null;
  readonly keyOffS: number | null;
  readonly possiblePulls: readonly (Partial<Bounds> & { readonly fromS: number; readonly toS: number; readonly changeA: number })[];
}

const FINDINGS: readonly string[] = ['asleep', 'drain', 'awake', 'waking', 'too-short', 'unclear'] satisfies Finding[];

/** Reads an answer; a sentence when it is no document of the contract. */
export function documentOf(answer: unknown): NightDocument | string {
  const from = record(answer);
  const finding = record(from?.verdict)?.finding;
  if (from === null || from.test !== 'drain') return 'no document of the drain test';
  if (typeof finding !== 'string' || !FINDINGS.includes(finding)) return `finding ${String(finding)} is not a word of the contract`;
  const asleep = record(from.asleep);
  const said = asleep === null ? null : { atS: number(asleep.at_s), levelA: number(asleep.level_a), lowA: number(asleep.low_a), highA: number(asleep.high_a) };
  if (said !== null && Object.values(said).some((value) => value === null)) return 'asleep without its moment, level or bounds';
  return {
    finding: finding as Finding,
    levelRows: list(from.levels).length,
    asleep: said === null ? null : ({ ...said, withoutZeroA: withoutZero(asleep?.uncertainty) } as NightDocument['asleep']),
    wakeups: list(from.wakeups).map((one) => ({ startS: number(one.start_s) ?? Number.NaN, endS: number(one.end_s) ?? Number.NaN, peakA: number(one.peak_a) ?? Number.NaN })),
    periodS: number(from.wake_period_s),
    periodBoundsS: periodBounds(from),
    averageA: number(from.average_a),
    overLimit: typeof from.over_limit === 'boolean' ? from.over_limit : null,
    pulls: list(from.pulls).map(pullOf),
    unexplainedA: number(from.unexplained_a),
    daysToEmpty: number(record(from.battery)?.days_to_empty),
    keyOffS: number(from.key_off_s),
    possiblePulls: list(from.possible_pulls).map((one) => ({ fromS: number(one.from_s) ?? Number.NaN, toS: number(one.to_s) ?? Number.NaN, changeA: number(one.change_a) ?? Number.NaN })),
  };
}

/** Parts are standard uncertainties (CONTRACT 3, JCGM 100:2008); 1.96 of them make bounds of 95 %. */
function withoutZero(parts: unknown): number | null {
  const sizes = list(parts).map((part) => ({ source: part.source, size: number(part.contribution) ?? 0 }));
  if (!sizes.some(({ source }) => source === 'zero-unknown')) return null;
  return 1.96 * Math.hypot(...sizes.filter(({ source }) => source !== 'zero-unknown').map(({ size }) => size));
}

function pullOf(one: Record<string, unknown>): SaidPull {
  const lowA = number(one.low_a);
  const highA = number(one.high_a);
  return {
    label: typeof one.label === 'string' ? one.label : '',
    atS: number(one.at_s) ?? Number.NaN,
    changeA: number(one.change_a),
    ...(lowA === null || highA === null ? {} : { lowA, highA }),
    carries: typeof one.carries === 'boolean' ? one.carries : null,
  };
}

/** The bounds of the period stand in the answer's rhythm, or beside the period. */
function periodBounds(from: Record<string, unknown>): NightDocument['periodBoundsS'] {
  const rhythm = record(from.wake_rhythm);
  const lowS = number(rhythm?.low_s) ?? number(from.low_wake_period_s);
  const highS = number(rhythm?.high_s) ?? number(from.high_wake_period_s);
  return lowS === null || highS === null ? null : { lowS, highS };
}

function record(value: unknown): Record<string, unknown> | null {
  return typeof value === 'object' && value !== null && !Array.isArray(value) ? (value as Record<string, unknown>) : null;
}

function list(value: unknown): Record<string, unknown>[] {
  return Array.isArray(value) ? value.map(record).filter((one) => one !== null) : [];
}

function number(value: unknown): number | null {
  return typeof value === 'number' && Number.isFinite(value) ? value : null;
}
