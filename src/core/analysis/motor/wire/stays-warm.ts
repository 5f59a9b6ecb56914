import { mean, slopeOf } from '../../../stats.ts';
import type { PressView } from '../motion/press-view.ts';
import type { Sampling } from '../sensor/sampling.ts';
import { clearOf, FEWEST, SMALL_PART } from '../signal/decision-levels.ts';
import { LEVEL_S, MAINS_PERIOD_S } from '../time-scales.ts';

/** The level of one press as a straight line, A. */
interface Line {
  readonly firstA: number;
  readonly lastA: number;
  /** standard deviation of either end by the clamp's noise */
  readonly errorA: number;
  readonly lastsS: number;
}

/**
 * Whether a level falls from press to press as only a standing winding's does: copper takes the heat up and keeps it. A heater falls by what it is made to, and as it warms towards
 * that, so it cools in the pauses. What it has regained there, at the most, gives its time constant, and its rate of falling then where it would end: further down than a resistive load goes
 * (1.03 to 1.07, open data: starts), it is none.
 */
export function staysWarm(all: readonly PressView[], { periodS }: Sampling): boolean {
  const views = all.filter(({ press, envelope }) => !press.startsMidway && !press.endsMidway && press.dropouts.length === 0 && envelope.cells * envelope.stepS > FEWEST * LEVEL_S);
  if (views.length < 2) return false;
  const lines = views.map(lineOf);
  let [regainedA, lostA, errorA2, pausesS] = [0, 0, 0, 0];
  for (let p = 1; p < lines.length; p++) {
    if (views[p].press.sign !== views[0].press.sign) return false;
    regainedA += lines[p].firstA - lines[p - 1].lastA;
    lostA += lines[0].firstA - lines[p - 1].lastA;
    errorA2 += lines[p].errorA ** 2 + lines[p - 1].errorA ** 2;
    pausesS += (views[p].press.startIndex - views[p - 1].press.endIndex) * periodS;
  }
  const unsureA = clearOf() * Math.sqrt(errorA2);
  if (lostA <= unsureA) return false;
  const mostRegained = (regainedA + unsureA) / (lostA - unsureA);
  const perS = mean(lines.map(({ firstA, lastA, lastsS }) => (firstA - lastA) / firstA / lastsS));
  const coolsPerS = (-Math.log(1 - Math.min(1, Math.max(0, mostRegained))) * (lines.length - 1)) / pausesS;
  return perS > SMALL_PART * coolsPerS;
}

function lineOf({ envelope, cellNoiseA }: PressView): Line {
  const edge = Math.round(LEVEL_S / envelope.stepS);
  const levels = envelope.levelA.subarray(edge, envelope.cells - edge);
  const cells = levels.map((_level, k) => k - (levels.length - 1) / 2);
  const lastsS = levels.length * envelope.stepS;
  const halfA = (slopeOf(cells, levels) * levels.length) / 2;
  // a line through n independent readings is known at its ends to twice their mean's error
  const errorA = (2 * cellNoiseA) / Math.sqrt(Math.max(1, lastsS / MAINS_PERIOD_S));
  return { firstA: mean(levels) - halfA, lastA: mean(levels) + halfA, errorA, lastsS };
}
