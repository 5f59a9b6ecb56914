import type { CompareResult } from '../../src/core/analysis/compare/results.ts';
import type { Direction } from '../../src/core/analysis/results.ts';
import type { TraceRef } from '../../src/core/wire/api.ts';
import { request } from '../net/api.ts';

/** One line of an overlay: time from the switch edge, magnitude of the current. */
export interface OverlayLine {
  readonly timeS: readonly number[];
  readonly currentA: readonly number[];
}

export interface Overlay {
  readonly direction: Direction;
  readonly before: OverlayLine;
  readonly after: OverlayLine;
}

export interface CompareAnswer {
  readonly result: CompareResult;
  readonly overlays: readonly Overlay[];
}

/** Sets two stored traces against each other. Throws ApiFailure with the reason when they cannot be compared. */
export async function compareTraces(before: TraceRef, after: TraceRef, signal: AbortSignal): Promise<CompareAnswer> {
  const response = await request('POST', '/api/compare', { before, after }, signal);
  return (await response.json()) as CompareAnswer;
}

export interface ReportOrder {
  readonly keys: readonly string[];
  readonly audience: 'customer' | 'file';
}

export function reportPath({ keys, audience }: ReportOrder): string {
  return `/api/report?traces=${keys.join(',')}&for=${audience}`;
}

/** The finished page as HTML. */
export async function fetchReport(order: ReportOrder, signal: AbortSignal): Promise<string> {
  return (await request('GET', reportPath(order), undefined, signal)).text();
}
