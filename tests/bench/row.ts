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
