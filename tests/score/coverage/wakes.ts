import type { WakeUp } from '../../../src/core/analysis/results.ts';
import { wakePeriod } from '../../../src/core/analysis/night/wake-ups/wake-period.ts';
import { chanceFrom, type Chance } from '../second-drain/chance.ts';
import { Held } from './held.ts';

/** Starts of the wake-ups of one night, and the period as tests/score/definitions.md has it. */
interface Starts {
  readonly startsS: readonly number[];
  readonly periodS: number;
}

/** Sleeps of such lengths, one after the other, through a night of 3 to 10 hours. */
function sleeping(chance: Chance, hours: readonly [number, number], sleepS: (atS: number) => number): number[] {
  const endS = 3600 * chance.between(...hours);
  const startsS: number[] = [];
  for (let atS = chance.between(300, 1800); atS < endS; atS += sleepS(atS)) startsS.push(atS);
  return startsS;
}

function clock(chance: Chance): Starts {
  const periodS = chance.between(240, 1800);
  return { startsS: sleeping(chance, [5, 10], () => periodS), periodS };
}

/** each sleep has a length of its own: the mean of the process */
function scattered(chance: Chance, periodS: number, share: number, hours: readonly [number, number] = [5, 10]): Starts {
  return { startsS: sleeping(chance, hours, () => periodS * (1 + share * chance.normal())), periodS };
}

/** the mean sleep of the recording */
function drifting(chance: Chance): Starts {
  const firstS = chance.between(240, 1000);
  const perHour = chance.oneOf([-1, 1]) * chance.between(0.005, 0.02);
  const startsS = sleeping(chance, [5, 10], (atS) => firstS * (1 + (perHour * atS) / 3600) * (1 + 0.001 * chance.normal()));
  return { startsS, periodS: (startsS[startsS.length - 1] - startsS[0]) / (startsS.length - 1) };
}

const KINDS: Readonly<Record<string, (chance: Chance) => Starts>> = {
  'a clock': clock,
  'a clock, a few': (chance) => {
    const periodS = chance.between(60, 180);
    return { startsS: Array.from({ length: chance.whole(5, 8) }, (_, k) => 1000 + k * periodS), periodS };
  },
  'a clock, some missed': (chance) => {
    const { startsS, periodS } = clock(chance);
    const missed = chance.between(0.05, 0.25);
    return { startsS: startsS.filter(() => !chance.happens(missed)), periodS };
  },
  'a clock that jitters': (chance) => {
    const periodS = chance.between(200, 500);
    const jitterS = periodS * chance.spread(0.002, 0.03);
    return { startsS: sleeping(chance, [7, 10], () => periodS).map((atS) => atS + jitterS * chance.normal()), periodS };
  },
  'a clock that drifts': drifting,
  'own sleeps, 4 to 15 %': (chance) => scattered(chance, chance.between(240, 900), chance.between(0.04, 0.15)),
  'own sleeps, a few': (chance) => scattered(chance, chance.between(900, 2400), chance.between(0.04, 0.15), [3, 6]),
  'own sleeps, 0.2 to 4 %': (chance) => scattered(chance, chance.between(300, 1800), chance.spread(0.002, 0.04)),
};

export const WAKE_KINDS: readonly string[] = Object.keys(KINDS);

/** Bounds of the period of `count` nights of a kind, whose starts are read to a whole reading, as a night without noise shows them. */
export function wakeCoverage(kind: string, seed: number, count: number): Held {
  const held = new Held();
  for (let k = 0; k < count; k++) {
    const chance = chanceFrom(seed + k);
    const { startsS, periodS } = KINDS[kind](chance);
    const spacingS = chance.oneOf([0.05, 0.1, 0.2, 0.5, 1]);
    const phaseS = chance.between(0, spacingS);
    const wakeUps = startsS.map((atS) => ({ start_s: phaseS + spacingS * Math.round((atS - phaseS) / spacingS), cause: null }) as WakeUp);
    const rhythm = wakePeriod(wakeUps, spacingS);
    if (rhythm !== null) held.see(periodS, rhythm.period_s, rhythm.low_s, rhythm.high_s);
  }
  return held;
}
