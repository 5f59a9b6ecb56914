import type { Chance } from './chance.ts';
import { between, chatter, polling, stage, type Load } from './loads.ts';

/** Everything that is on after the key is taken out, and when the last of it lets go. */
export interface Shutdown {
  readonly loads: readonly Load[];
  /** the last step, and where its tail has `TAIL_LEFT_A` left */
  readonly lastStepS: number;
  readonly settledS: number;
}

const TAIL_LEFT_A = 0.001;

/**
 * A vehicle that is parked at `startS`: lamps with their delay, perhaps a cooling fan, then modules that let go one after the other,
 * the last at `lastStepS`. `forever`: the last group never lets go.
 */
export function shutDown(chance: Chance, lastStepS: number, forever: boolean): Shutdown {
  const loads: Load[] = [];
  const stages = chance.whole(2, 7);
  let settledS = lastStepS;
  for (let index = 0; index < stages; index++) {
    const last = index === stages - 1;
    const offAtS = last ? (forever ? Infinity : lastStepS) : lastStepS * chance.between(0.03, 0.95);
    // the last group's step must be worth calling a step: the smallest published time-out is 120 mA
    const amountA = last ? chance.spread(0.05, 0.6) : chance.spread(0.02, 1.2);
    const tauS = chance.happens(0.6) ? 0 : chance.spread(0.2, last ? 4 : 30);
    loads.push(stage(amountA, offAtS, tauS));
    if (offAtS < Infinity && tauS > 0) settledS = Math.max(settledS, offAtS + tauS * Math.log(amountA / TAIL_LEFT_A));
    if (chance.happens(0.4)) loads.push(polling(chance.spread(0.02, 0.3), chance.between(1, 10), chance.between(0.03, 0.3), 0, offAtS));
    if (chance.happens(0.3)) loads.push(chatter(chance.spread(0.01, 0.15), chance.between(0.1, 0.6), chance.whole(1, 1e6), offAtS));
  }
  // a lamp that goes out with its delay, and one that a door keeps on for the first while
  if (chance.happens(0.7)) loads.push(between(chance.spread(0.3, 2), 0, chance.between(0.02, 0.5) * lastStepS, 3, 0.06));
  if (chance.happens(0.2)) loads.push(between(chance.spread(4, 14), 0, chance.between(0.05, 0.4) * lastStepS, 1));
  // a latch motor when the doors are locked
  if (chance.happens(0.4)) {
    const lockS = chance.between(0.01, 0.3) * lastStepS;
    loads.push(between(chance.between(3, 8), lockS, lockS + 0.4, 2, 0.03));
  }
  return { loads, lastStepS, settledS };
}
