import { DEFAULT_DRAIN_LIMIT_A } from '../../../src/core/analysis/options.ts';
import type { ActuationOptions, DrainOptions } from '../../../src/core/analysis/options.ts';
import type { TestKind } from '../../../src/core/analysis/results.ts';
import type { LimitLine } from './uplot-chart.ts';
import { formatCurrent, language } from '../../../src/core/present/language.ts';

const words = language.screens.reading.limitLines;

interface Limits {
  readonly test: TestKind;
  readonly actuation: ActuationOptions;
  readonly drain: DrainOptions;
}

/** The lines to draw for what a person typed in; a motor runs both ways, so its limits are on both sides of zero. */
export function limitLines(settings: Limits | null): LimitLine[] {
  if (settings === null) return [];
  if (settings.test === 'drain') {
    const limitA = settings.drain.limitA ?? DEFAULT_DRAIN_LIMIT_A;
    return [{ atA: limitA, name: words.limit(formatCurrent(limitA)) }];
  }
  const { runLimitsA, flagLimitA, fuseRatingA } = settings.actuation;
  const lines: LimitLine[] = [];
  const both = (atA: number, name: string): void => {
    lines.push({ atA, name }, { atA: -atA, name });
  };
  if (runLimitsA !== undefined) {
    both(runLimitsA[0], words.runsFrom(formatCurrent(runLimitsA[0])));
    both(runLimitsA[1], words.runsUpTo(formatCurrent(runLimitsA[1])));
  }
  if (flagLimitA !== undefined) both(flagLimitA, words.flagAbove(formatCurrent(flagLimitA)));
  if (fuseRatingA !== undefined) both(fuseRatingA, words.fuse(formatCurrent(fuseRatingA)));
  return lines;
}
