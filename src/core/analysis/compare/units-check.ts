import type { AnalysisResult } from '../results.ts';
import type { CompareProblem, Side } from './codes.ts';

/** A file in mA read as A is off by exactly this; no repair changes every current of a circuit alike by about as much. */
const MILLI = 1000;
/** How far from it the ratio may be: a repair in between may halve or double a current. */
const AROUND = 3;

/**
 * Which of two traces was probably read in the wrong unit: every current that both have differs by about a thousand. Null when nothing
 * speaks for it. Two levels at least must agree, since a single one may have changed so much by itself (a drain that was cured).
 */
export function mixedUnits(before: AnalysisResult, after: AnalysisResult): Side | null {
  const first = levelsA(before);
  const second = levelsA(after);
  const ratios = first.flatMap((level, i) => {
    const other = second[i];
    return level === null || other === undefined || other === null || level === 0 || other === 0 ? [] : [Math.abs(other / level)];
  });
  if (ratios.length < 2) return null;
  for (const [factor, which] of [[MILLI, 'second'], [1 / MILLI, 'first']] as const) {
    if (ratios.every((ratio) => ratio > factor / AROUND && ratio < factor * AROUND)) return which;
  }
  return null;
}

export function wrongUnitProblem(side: Side | null): CompareProblem[] {
  return side === null ? [] : [{ problem: 'mixed-units', code: 'wrong-unit', side }];
}

/** Levels that both traces of a test are likely to have, in the same order. */
function levelsA(result: AnalysisResult): (number | null)[] {
  if (result.test === 'drain') {
    const means = result.levels.map(({ mean_a: meanA }) => meanA);
    return means.length < 2 ? [] : [Math.min(...means), Math.max(...means)];
  }
  return (['forward', 'reverse'] as const).flatMap((direction) => {
    const own = result.actuations.filter((actuation) => actuation.direction === direction);
    const highest = (values: readonly number[]): number | null => (values.length === 0 ? null : Math.max(...values));
    return [
      highest(own.flatMap(({ run }) => (run === null ? [] : [run.median_a]))),
      highest(own.flatMap(({ inrush }) => (inrush === null ? [] : [inrush.peak_a]))),
      highest(own.flatMap(({ stalls }) => stalls.map(({ level_a: levelA }) => levelA))),
    ];
  });
}
