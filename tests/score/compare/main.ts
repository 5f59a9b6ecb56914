import { judgePair, PAIR_KINDS } from './pairs.ts';

/** How often the verdict of a comparison is right, and how often its bounds hold. Run: node --import tsx tests/score/compare/main.ts [seeds] */
const seeds = Number(process.argv[2] ?? 10);
let right = 0;
let all = 0;
let held = 0;
let bounds = 0;
let populationHeld = 0;
let population = 0;
for (const kind of PAIR_KINDS) {
  const found = new Map<string, number>();
  let why = '';
  for (let seed = 1; seed <= seeds; seed++) {
    const { result, run } = judgePair(kind, seed);
    const { finding } = result.verdict;
    found.set(finding, (found.get(finding) ?? 0) + 1);
    all++;
    if (finding === kind.expected) right++;
    else why = `seed ${seed}: ${result.verdict.because.join(' ')}`;
    for (const { trueA, populationA, low, high } of run) {
      bounds++;
      if (low <= trueA && trueA <= high) held++;
      if (populationA === null) continue;
      population++;
      if (low <= populationA && populationA <= high) populationHeld++;
    }
  }
  console.log(`${kind.name}: ${kind.expected} expected, found ${[...found].map(([finding, count]) => `${finding} ${count}`).join(', ')}${why === '' ? '' : `\n    ${why}`}`);
}
console.log(`right ${right} of ${all}; bounds of the running current hold for the presses made in ${held} of ${bounds}, for all it could make in ${populationHeld} of ${population}`);
