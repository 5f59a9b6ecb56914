import { effect, signal } from '@preact/signals';
import type { CalibrationRecord } from '../../src/core/analysis/uncertainty/calibration.ts';
import type { NewCalibration } from '../../src/core/wire/calibration.ts';

/** How the scale is to be found. */
export type Way = 'one' | 'two' | 'shunt' | 'part' | 'zero-only';

/** A reading that was taken, and when, ms since 1970. */
export interface Taken {
  readonly mean: number;
  readonly uncertainty: number;
  readonly atMs: number;
}

export interface DraftPoint {
  readonly applied: number | null;
  readonly read: Taken | null;
}

/** A calibration on its way. It waits while a test is made between the two zeros, also when the page is opened anew in this tab. */
interface Draft {
  readonly channel: CalibrationRecord['channel'];
  readonly name: string | null;
  readonly zeroBefore: Taken | null;
  readonly zeroAfter: Taken | null;
  readonly way: Way;
  readonly points: readonly [DraftPoint, DraftPoint];
  readonly tolerancePercent: number | null;
  readonly shuntOhm: number | null;
  readonly reckonedOhm: number | null;
  readonly classPercent: number | null;
  readonly part: string;
  readonly by: string;
  readonly temperatureC: number | null;
  readonly dueDays: number | null;
}

const NO_POINT: DraftPoint = { applied: null, read: null };
const EMPTY: Draft = {
  channel: 'current', name: null, zeroBefore: null, zeroAfter: null, way: 'one', points: [NO_POINT, NO_POINT], tolerancePercent: null,
  shuntOhm: null, reckonedOhm: null, classPercent: null, part: '', by: '', temperatureC: null, dueDays: 365,
};
const KEY = 'amptrail-calibration';
const MS_PER_HOUR = 3_600_000;

export const draft = signal<Draft>(restored());
effect(() => {
  try {
    sessionStorage.setItem(KEY, JSON.stringify(draft.value));
  } catch {
    // a browser that keeps nothing still calibrates
  }
});

export function change(some: Partial<Draft>): void {
  draft.value = { ...draft.value, ...some };
}

/** What is still missing, in the order of the steps; null where all is there. */
export type Missing = 'zero' | 'known-value' | 'known-reading' | 'tolerance' | 'shunt' | 'part';

/** The calibration that the draft makes, or what it still lacks. */
export function calibrationOf(now: Draft): NewCalibration | Missing {
  const { way, zeroBefore, zeroAfter } = now;
  const points = way === 'one' ? now.points.slice(0, 1) : way === 'two' ? now.points : [];
  if (zeroBefore === null && (way === 'one' || way === 'zero-only')) return 'zero';
  if (points.some(({ applied }) => applied === null)) return 'known-value';
  if (points.some(({ read }) => read === null)) return 'known-reading';
  if (points.length > 0 && now.tolerancePercent === null) return 'tolerance';
  if (way === 'shunt' && (now.shuntOhm === null || now.classPercent === null)) return 'shunt';
  if (way === 'part' && now.part === '') return 'part';
  const between = zeroBefore === null || zeroAfter === null ? null : (zeroAfter.atMs - zeroBefore.atMs) / MS_PER_HOUR;
  return {
    channel: now.channel,
    by: now.by.trim(),
    temperature_c: now.temperatureC,
    due_days: now.dueDays,
    zero_before: zeroBefore?.mean ?? null,
    zero_after: zeroAfter?.mean ?? null,
    zero_scatter: zeroBefore === null ? null : Math.max(zeroBefore.uncertainty, zeroAfter?.uncertainty ?? 0),
    zero_hours: between !== null && between > 0 ? between : null,
    points: points.map(({ applied, read }) => ({ applied: applied ?? 0, read: read?.mean ?? 0, tolerance_percent: now.tolerancePercent ?? 0 })),
    shunt: way === 'shunt' && now.shuntOhm !== null ? { ohm: now.shuntOhm, reckoned_ohm: now.reckonedOhm ?? now.shuntOhm, class_percent: now.classPercent ?? 0 } : null,
    part: way === 'part' ? now.part : null,
  };
}

/** The next one is of the same person and place. */
export function nextDraft(): void {
  const { by, temperatureC, dueDays } = draft.value;
  draft.value = { ...EMPTY, by, temperatureC, dueDays };
}

function restored(): Draft {
  try {
    const kept = JSON.parse(sessionStorage.getItem(KEY) ?? 'null') as Partial<Draft> | null;
    return kept !== null && Array.isArray(kept.points) && kept.points.length === 2 ? { ...EMPTY, ...kept } : EMPTY;
  } catch {
    return EMPTY;
  }
}
