import type { CompareResult } from '../../../src/core/analysis/compare/results.ts';
import { DRAWN_PAIRS, judgeDrawn } from './drawn.ts';
import { judgeNight, NIGHT_KINDS } from './night.ts';
import { judgePair, PAIR_KINDS } from './pairs.ts';

/**
 * How often the verdict of a comparison is right, and how often its 95 % bounds hold, over pairs whose difference is known.
 * `npm run score -- --test compare [--count N]`: N seeds of each kind, 4 by default.
 */
export function scoreAll(args: readonly string[]): void {
  const at = args.indexOf('--count');
  const seeds = at < 0 ? 4 : Number(args[at + 1]);
  scoreMotors(seeds);
  scoreNights(seeds);
  scoreDrawn(seeds);
}

function scoreMotors(seeds: number): void {
  const made = new Held();
  const could = new Held();
  const counts = PAIR_KINDS.map((kind) =>
    count(seeds, kind.name, kind.expected, (seed) => {
      const { result, run } = judgePair(kind, seed);
      for (const { trueA, populationA, low, high } of run) {
        made.see(trueA, low, high);
        if (populationA !== null) could.see(populationA, low, high);
      }
      return result;
    }),
  );
  console.log(`motors: ${total(counts)}; bounds of the running current hold for the presses made in ${made.held} of ${made.all}, for all the circuit could make in ${could.held} of ${could.all}`);
}

function scoreNights(seeds: number): void {
  const asleep = new Held();
  const counts = NIGHT_KINDS.map((kind) =>
    count(seeds, kind.name, kind.expected, (seed) => {
      const { result, trueA } = judgeNight(kind, seed);
      const pair = result.pairs.find(({ metric }) => metric === 'asleep_a');
      if (pair !== undefined && pair.low !== null && pair.high !== null) asleep.see(trueA, pair.low, pair.high);
      return result;
    }),
  );
  console.log(`nights: ${total(counts)}; bounds of the change asleep hold in ${asleep.held} of ${asleep.all}`);
}

function scoreDrawn(seeds: number): void {
  const run = new Held();
  let misread = 0;
  const counts = DRAWN_PAIRS.map(({ before, after, expected }) =>
    count(seeds, `${before}, then ${after}`, expected, (seed) => {
      const judged = judgeDrawn(before, after, seed);
      for (const { trueA, low, high } of judged.run) run.see(trueA, low, high);
      if (judged.readRight) return judged.result;
      misread++;
      return null;
    }),
  );
  console.log(`drawn motors: ${total(counts)} pairs that were read right by themselves (${misread} were not); bounds of the running current hold in ${run.held} of ${run.all}`);
}

/** One kind of pair over all seeds: how many were right, and the reasons of one that was not. */
function count(seeds: number, name: string, expected: string, judge: (seed: number) => CompareResult | null): { right: number; all: number } {
  const found = new Map<string, number>();
  let why = '';
  for (let seed = 1; seed <= seeds; seed++) {
    const result = judge(seed);
    if (result === null) continue;
    const { finding, because } = result.verdict;
    found.set(finding, (found.get(finding) ?? 0) + 1);
    if (finding !== expected) why = `seed ${seed}: ${because.join(' ')}`;
  }
  console.log(`${name}: ${expected} expected, found ${[...found].map(([finding, times]) => `${finding} ${times}`).join(', ')}${why === '' ? '' : `\n    ${why}`}`);
  return { right: found.get(expected) ?? 0, all: [...found.values()].reduce((sum, times) => sum + times, 0) };
}

class Held {
  held = 0;
  all = 0;
  see(trueValue: number, low: number, high: number): void {
    this.all++;
    if (low <= trueValue && trueValue <= high) this.held++;
  }
}

function total(counts: readonly { right: number; all: number }[]): string {
  return `right ${counts.reduce((sum, { right }) => sum + right, 0)} of ${counts.reduce((sum, { all }) => sum + all, 0)}`;
}
