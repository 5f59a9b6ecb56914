import type { KnownGoodLimit } from './known-good.ts';
import type { UsualCurrents, UsualRange } from './types.ts';
import { language } from '../../../present/language.ts';

const texts = language.knownGoodFile;

/** In the order in which people read them. */
export const USUAL_NAMES: readonly (keyof UsualCurrents)[] = ['run_a', 'stall_a', 'inrush_peak_a', 'asleep_a'];

/** Figures of a press, which become limits of both directions: a typed current says nothing of the way. */
const OF_A_PRESS = ['run_a', 'stall_a', 'inrush_peak_a'] as const;

/** Limits as they are learnt from traces, from typed currents; `traces: 0` and no coverage, since no trace is behind them. */
export function usualLimits(usual: UsualCurrents): KnownGoodLimit[] {
  return (['forward', 'reverse'] as const).flatMap((direction) =>
    OF_A_PRESS.flatMap((metric): KnownGoodLimit[] => {
      const range = usual[metric];
      return range === null ? [] : [{ direction, metric, low: range[0], high: range[1], traces: 0, coverage: 0, confidence: 0, method: 'typed' }];
    }),
  );
}

/** Typed currents out of whatever a file held; a sentence that says what is wrong with them otherwise. */
export function checkUsual(value: unknown): UsualCurrents | string {
  if (typeof value !== 'object' || value === null) return texts.usual;
  const given = value as Record<string, unknown>;
  const ranges: Partial<Record<keyof UsualCurrents, UsualRange | null>> = {};
  for (const name of USUAL_NAMES) {
    const range = given[name] ?? null;
    if (range !== null && !isRange(range)) return texts.notTwo(name);
    ranges[name] = range === null ? null : [range[0], range[1]];
  }
  const usual = ranges as UsualCurrents;
  return USUAL_NAMES.every((name) => usual[name] === null) ? texts.noCurrent : usual;
}

function isRange(range: unknown): range is UsualRange {
  if (!Array.isArray(range) || range.length !== 2) return false;
  const [low, high] = range as unknown[];
  return typeof low === 'number' && typeof high === 'number' && Number.isFinite(high) && low >= 0 && low < high;
}
