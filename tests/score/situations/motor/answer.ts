import type { Cut, Finding, LoadKind, Span } from './truth/types.ts';

/** The parts of an `analyse --json` document (CONTRACT 3.1) that are judged, with missing fields as null or empty. */
export interface ReportedPress extends Span {
  readonly sign: 1 | -1 | null;
  readonly finding: Finding | null;
  readonly cut: Cut | null;
  readonly stalls: readonly Span[];
  readonly breaks: readonly Span[];
  readonly events: readonly { readonly code: string; readonly atS: number }[];
  readonly steps: readonly { readonly atS: number; readonly changeA: number; readonly lowA: number; readonly highA: number }[];
  readonly beat: { readonly periodS: number } | null;
  readonly chopped: { readonly hz: number | null; readonly duty: number | null; readonly meanA: number | null } | null;
  readonly run: (Span & Bounded) | null;
  readonly inrush: Bounded | null;
  readonly ripple: Bounded | null;
  readonly source: Bounded | null;
  readonly openV: number | null;
}

export interface Bounded {
  readonly value: number;
  readonly low: number | null;
  readonly high: number | null;
}

export interface Answer {
  readonly finding: Finding | null;
  readonly basis: string | null;
  readonly loadKind: LoadKind | null;
  readonly backgroundA: number | null;
  readonly problems: readonly string[];
  readonly presses: readonly ReportedPress[];
}

type Json = { readonly [key: string]: unknown };

export function answerOf(document: unknown): Answer {
  const root = object(document) ?? {};
  const verdict = object(root['verdict']) ?? {};
  return {
    finding: text(verdict['finding']) as Finding | null,
    basis: text(verdict['basis']) ?? text(root['basis']),
    loadKind: text(object(root['load'])?.['kind']) as LoadKind | null,
    backgroundA: number(root['background_a']),
    problems: list(root['problems']).map((problem) => text(problem['code']) ?? ''),
    presses: list(root['actuations']).map(pressOf),
  };
}

function pressOf(press: Json): ReportedPress {
  const direction = text(press['direction']);
  const beat = object(press['beat']);
  const chopped = object(press['chopped']);
  const run = object(press['run']);
  return {
    ...span(press),
    sign: direction === 'forward' ? 1 : direction === 'reverse' ? -1 : null,
    finding: text(press['finding']) as Finding | null,
    cut: text(press['cut']) as Cut | null,
    stalls: list(press['stalls']).map(span),
    breaks: list(press['dropouts']).map(span),
    events: list(press['events']).map((event) => ({ code: text(event['code']) ?? '', atS: number(event['at_s']) ?? 0 })),
    steps: list(press['steps']).map((step) => ({ atS: number(step['at_s']) ?? 0, changeA: number(step['change_a']) ?? 0, lowA: number(step['low_a']) ?? 0, highA: number(step['high_a']) ?? 0 })),
    beat: beat === null ? null : { periodS: number(beat['period_s']) ?? 0 },
    chopped: chopped === null ? null : { hz: number(chopped['frequency_hz']), duty: number(chopped['duty']), meanA: number(chopped['mean_a']) },
    run: run === null ? null : { ...span(run), ...bounded(run, 'median_a', ['low_a', 'high_a'])! },
    inrush: bounded(object(press['inrush']), 'peak_a', ['low_peak_a', 'high_peak_a'], ['low_a', 'high_a'], ['peak_low_a', 'peak_high_a']),
    ripple: bounded(object(press['ripple']), 'frequency_hz', ['low_hz', 'high_hz']),
    source: bounded(object(press['supply']), 'source_ohm', ['low_ohm', 'high_ohm']),
    openV: number(object(press['supply'])?.['open_v']),
  };
}

function bounded(from: Json | null, value: string, ...bounds: readonly (readonly [string, string])[]): Bounded | null {
  const reported = from === null ? null : number(from[value]);
  if (from === null || reported === null) return null;
  const given = bounds.find(([low]) => number(from[low]) !== null);
  return { value: reported, low: given === undefined ? null : number(from[given[0]]), high: given === undefined ? null : number(from[given[1]]) };
}

function span(from: Json): Span {
  return { startS: number(from['start_s']) ?? 0, endS: number(from['end_s']) ?? 0 };
}

function object(value: unknown): Json | null {
  return typeof value === 'object' && value !== null && !Array.isArray(value) ? (value as Json) : null;
}

function list(value: unknown): Json[] {
  return Array.isArray(value) ? value.map((entry) => object(entry) ?? {}) : [];
}

function text(value: unknown): string | null {
  return typeof value === 'string' ? value : null;
}

function number(value: unknown): number | null {
  return typeof value === 'number' && Number.isFinite(value) ? value : null;
}
