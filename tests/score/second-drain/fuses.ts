import type { Mark } from '../../../src/core/trace.ts';
import type { Chance } from './chance.ts';
import { between, off, wake, type Load } from './loads.ts';
import type { PullTruth } from './truth.ts';

/** One fused circuit of the sleeping vehicle. */
export interface Circuit {
  readonly label: string;
  /** what it takes asleep, on average, A */
  readonly meanA: number;
  readonly load: Load;
}

export interface FuseWork {
  readonly loads: readonly Load[];
  readonly marks: readonly Mark[];
  readonly pulls: readonly PullTruth[];
  readonly firstTouchS: number;
  readonly endS: number;
}

/** Circuits that take something, but less than this, are normal keep-alive: to say they carry, or not, are both right. */
const CERTAIN_A = 0.006;

/**
 * A person pulls one fuse after the other from `fromS` on. With `refits` each goes back in before the next; the mark of a refit may
 * be missing. Hands shake the contact, a module wakes when its neighbour goes away, and a circuit put back starts up first.
 */
export function workThroughFuses(chance: Chance, circuits: readonly Circuit[], fromS: number, refits: boolean): FuseWork {
  const loads: Load[] = [];
  const marks: Mark[] = [];
  const pulls: PullTruth[] = [];
  const spacingS = chance.between(35, 90);
  const sloppy = chance.happens(0.5);
  const marksRefits = chance.happens(0.7);
  const wakesOnPull = chance.happens(0.4);
  const wakesOnRefit = chance.happens(0.6);
  let atS = fromS;
  for (const circuit of circuits) {
    const slipS = sloppy ? chance.between(-10, 10) : chance.between(-1, 1);
    const outS = refits ? atS + spacingS * chance.between(0.9, 1.2) : Infinity;
    marks.push({ timeS: Math.max(0, atS + slipS), kind: 'pull', label: circuit.label });
    pulls.push({ label: circuit.label, atS, changeA: -circuit.meanA, carries: circuit.meanA >= CERTAIN_A ? true : circuit.meanA === 0 ? false : null });
    loads.push(off(circuit.load, atS, outS));
    if (chance.happens(0.5)) loads.push(blip(chance, atS));
    if (wakesOnPull && chance.happens(0.5)) loads.push(disturbance(chance, atS + chance.between(0.05, 1.5), spacingS * 0.45));
    if (refits) {
      if (marksRefits) marks.push({ timeS: outS + (sloppy ? chance.between(-6, 6) : chance.between(-1, 1)), kind: 'refit', label: circuit.label });
      if (chance.happens(0.5)) loads.push(blip(chance, outS));
      if (wakesOnRefit && chance.happens(0.7)) loads.push(disturbance(chance, outS + 0.02, spacingS * 0.45));
      atS = outS + spacingS * chance.between(0.9, 1.2);
    } else atS += spacingS * chance.between(0.9, 1.3);
  }
  marks.sort((first, second) => first.timeS - second.timeS);
  return { loads, marks, pulls, firstTouchS: fromS, endS: atS };
}

/** The contact chatters under the hand for up to a second. */
function blip(chance: Chance, atS: number): Load {
  const startS = atS - chance.between(0, 0.8);
  return between(chance.between(-0.03, 0.4), startS, startS + chance.between(0.05, 0.9));
}

/** What a pull or a refit itself sets off: some module wakes for a while. */
function disturbance(chance: Chance, startS: number, mostS: number): Load {
  const lengthS = Math.min(mostS, chance.between(4, 30));
  return wake(chance.between(0.05, 0.9), startS, startS + lengthS, chance.between(0.5, 4), chance.between(0.3, 1));
}
