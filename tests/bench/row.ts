/** One line of `npm run bench`: a cost as a ratio to an anchor measured in the same run, so that any machine can judge it. */
export interface BenchRow {
  readonly name: string;
  /** the ratio, or the figure named in `unit` */
  readonly value: number;
  readonly unit: string;
  /** what the value is relative to */
  readonly anchor: string;
  /** for example "<= 3" */
  readonly goal: string;
  readonly met: boolean;
}

export type Bench = (quick: boolean) => Promise<BenchRow[]>;

/** A row whose verdict follows from its goal; a value that is no number has met none. */
export function judged(row: Omit<BenchRow, 'goal' | 'met'>, sign: '<=' | '>=' | '<', bound: number): BenchRow {
  const met = Number.isFinite(row.value) && (sign === '<=' ? row.value <= bound : sign === '<' ? row.value < bound : row.value >= bound);
  return { ...row, goal: `${sign} ${bound}`, met };
}

/** Smallest time of `repeats` runs, in seconds: the least disturbed one. */
export function bestTimeS(repeats: number, run: () => void): number {
  let bestS = Infinity;
  for (let i = 0; i < repeats; i++) {
    const startMs = performance.now();
    run();
    bestS = Math.min(bestS, (performance.now() - startMs) / 1000);
  }
  return bestS;
}

/** The same for work that waits; what is compared takes turns, so that a busy moment of the machine meets both. */
export async function bestTimesS<Names extends string>(repeats: number, runs: Readonly<Record<Names, () => Promise<unknown> | unknown>>): Promise<Record<Names, number>> {
  const names = Object.keys(runs) as Names[];
  const bestS = Object.fromEntries(names.map((name) => [name, Infinity])) as Record<Names, number>;
  for (let i = 0; i < repeats; i++) {
    for (const name of names) {
      const startMs = performance.now();
      await runs[name]();
      bestS[name] = Math.min(bestS[name], (performance.now() - startMs) / 1000);
    }
  }
  return bestS;
}

/** The value below which this part of the figures lies. */
export function quantile(figures: readonly number[], part: number): number {
  const sorted = figures.toSorted((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * part))] ?? Number.NaN;
}
