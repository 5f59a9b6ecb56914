import type { KnownGood, Placement } from '../analysis/compare/known-good/known-good.ts';
import type { UsualCurrents } from '../analysis/compare/known-good/types.ts';
import type { ManyResult } from '../analysis/compare/many/result.ts';
import type { CompareResult } from '../analysis/compare/results.ts';
import type { Direction } from '../analysis/results.ts';
import type { TraceRef } from './api.ts';

/**
 * Answers of the comparing part of the API:
 *
 *   POST   /api/compare       {before: TraceRef, after: TraceRef, test?, tolerance?}   → CompareAnswer
 *   POST   /api/compare-many  {traces: TraceRef[], test?}                              → ManyAnswer
 *   GET    /api/known-good                                                             → KnownGoodSet[]   (newest first)
 *   POST   /api/known-good    {circuit, traces: TraceRef[]}                            → KnownGoodSet
 *   PUT    /api/known-good/:id  the same                                               → KnownGoodSet
 *   POST   /api/known-good/usual      TypedCircuit                                     → KnownGoodSet   usual currents as a person knows them
 *   PUT    /api/known-good/:id/usual  TypedCircuit                                     → KnownGoodSet
 *   POST   /api/known-good/import     body: a set, or {schema: 'amptrail-known-good-list/1', sets}, as octet-stream → KnownGoodImported
 *   POST   /api/known-good/:id/remove  {}                                              → {}
 *   GET    /api/known-good/:id/place?trace=JOB/TRACE                                   → PlaceAnswer
 */
export interface Line {
  /** from the switch edge, s */
  readonly timeS: readonly number[];
  /** magnitude, A */
  readonly currentA: readonly number[];
}

/** One actuation of each trace, laid on the same switch edge. */
export interface Overlay {
  readonly direction: Direction;
  /** of the pair within its direction, from 1 */
  readonly number: number;
  readonly before: Line;
  readonly after: Line;
}

export interface CompareAnswer {
  readonly result: CompareResult;
  readonly overlays: readonly Overlay[];
  /** of two drain tests: both from the start of their recording; null for motor tests */
  readonly nights: Nights | null;
}

export interface Nights {
  readonly before: Line;
  readonly after: Line;
  /** of the second trace, A */
  readonly limitA: number;
  /** above this nothing of the levels asleep could be seen: a picture is cut off here, A */
  readonly cutA: number;
}

/** The current of one actuation; `trace`, `direction` and `number` as in ManyResult. */
export interface ActuationLine extends Line {
  readonly trace: number;
  readonly direction: Direction;
  readonly number: number;
}

export interface ManyAnswer {
  readonly result: ManyResult;
  /** of the actuations that stand out most, in their order */
  readonly lines: readonly ActuationLine[];
}

/** One witness of a set: enough to find the trace again, and to know it by its samples when it has moved. */
export interface KnownGoodMember extends TraceRef {
  readonly title: string;
  readonly vehicle: string;
  readonly start: string;
  readonly sha256: string | null;
}

/** `known-good/ID.json` of the data folder: what `amptrail limits` writes, with where it came from. `analyse --known-good` reads it. */
export interface KnownGoodSet extends KnownGood {
  readonly id: string;
  readonly created: string;
  /** none where the currents were typed in (`usual`) */
  readonly members: readonly KnownGoodMember[];
  /** to use as `--run-limits`; null when no running current was learnt */
  readonly run_limits_a: readonly [number, number] | null;
}

/** Usual currents of a circuit, as typed in. */
export interface TypedCircuit {
  readonly circuit: string;
  /** '' where nobody said */
  readonly vehicle_type: string;
  readonly place: string;
  readonly usual: UsualCurrents;
}

/** What a file brought into the library; what was there already is not kept twice. */
export interface KnownGoodImported {
  readonly taken: readonly KnownGoodSet[];
  readonly had: number;
}

export interface PlaceAnswer {
  readonly finding: string;
  readonly placements: readonly Placement[];
  /** true: the trace is one of the set's own, so that being inside says little */
  readonly member: boolean;
}
