import type { DrainFinding, WakeUp } from '../results.ts';
import type { Rest } from './rest.ts';
import type { Picture } from './segments.ts';
import { AWAKE_A, LONGEST_SETTLING_S, REST_S, USUAL_SETTLING_S } from './settings.ts';
import type { Night } from './wake-ups.ts';

export interface Judgement {
  readonly finding: DrainFinding;
  /** false: what was found is no sleep, and `asleep` is null */
  readonly slept: boolean;
  /** how much longer to record; null when there is nothing to wait for */
  readonly waitS: number | null;
  readonly longestRestS: number;
}

/** Woken more often than this leaves no rest worth the name; published telematics cycles leave 9 minutes. */
const LONGEST_RESTLESS_S = 150;
/** and awake for at least this share of the time */
const RESTLESS_SHARE = 0.18;
/** A steady level above this looks like a module that waits (published: radio 200 mA for 30 minutes): the longer wait is asked for. */
const HIGH_PLATEAU_A = 0.2;
/** Rest under the limit needs no long proof; above it the next time-out may still come: published waits start at 20 minutes. */
const PLATEAU_S = 20 * 60;
const SETTLED_S = 5 * 60;
/** Level from the first sample on: the recording began asleep, unless it is shorter than this. */
const FLAT_S = 8 * 60;

/** The figures that the judgement rests on. */
export interface Figures {
  readonly levelA: number;
  readonly averageA: number;
  readonly limitA: number;
  /** half-width of the bounds when the zero is known to drift, else 0: what the zero may have added is not a drain */
  readonly zeroDoubtA: number;
  /** a person took the vehicle for asleep and pulled fuses */
  readonly pulled: boolean;
}

/** Decides between asleep (or drain), awake, waking and too short. */
export function judge(picture: Picture, rest: Rest | null, night: Night, figures: Figures): Judgement {
  const { levelA, averageA, limitA, zeroDoubtA, pulled } = figures;
  const elapsedS = picture.lastS - picture.firstS;
  const longestRestS = longestRest(night);
  const moreS = (needS: number): number => Math.max(60, Math.ceil(needS - elapsedS));
  const tooShort = (waitS: number): Judgement => ({ finding: 'too-short', slept: false, waitS, longestRestS });
  if (rest === null || elapsedS < REST_S) return tooShort(USUAL_SETTLING_S);
  const restedS = picture.lastS - rest.atS;
  if (levelA > AWAKE_A && !pulled) {
    if (restedS >= PLATEAU_S) return { finding: 'awake', slept: false, waitS: Math.max(0, LONGEST_SETTLING_S - elapsedS) || null, longestRestS };
    return tooShort(elapsedS < USUAL_SETTLING_S ? moreS(USUAL_SETTLING_S) : moreS(LONGEST_SETTLING_S));
  }
  const woken = night.wakeUps.filter((wake) => wake.cause === null || wake.cause === undefined);
  const share = awakeShare(woken, restedS);
  const restless = woken.length >= 3 && longestRestS < LONGEST_RESTLESS_S && share > RESTLESS_SHARE;
  if (!pulled && (restless || (woken.length === 2 && longestRestS < LONGEST_RESTLESS_S / 2 && share > 0.5))) {
    return { finding: 'waking', slept: false, waitS: null, longestRestS };
  }
  const over = Math.max(levelA, averageA) - zeroDoubtA > limitA;
  if (!over) {
    if (longestRestS < REST_S) return tooShort(REST_S * 4);
    return { finding: 'asleep', slept: true, waitS: null, longestRestS };
  }
  const plateauS = levelA > HIGH_PLATEAU_A ? USUAL_SETTLING_S : PLATEAU_S;
  const fromStart = levelA <= HIGH_PLATEAU_A && rest.atS - picture.firstS < 1 && restedS > FLAT_S;
  if (!pulled && levelA > limitA && (restedS < SETTLED_S || (elapsedS < plateauS && !fromStart))) return tooShort(moreS(USUAL_SETTLING_S));
  if (!pulled && longestRestS < 2 * REST_S) return tooShort(moreS(Math.min(LONGEST_SETTLING_S, elapsedS + USUAL_SETTLING_S)));
  return { finding: 'drain', slept: true, waitS: null, longestRestS };
}

function longestRest(night: Night): number {
  let longestS = 0;
  let startS = NaN;
  let endS = NaN;
  for (const rest of night.rests) {
    if (!(rest.startS - endS < 1)) startS = rest.startS;
    endS = rest.endS;
    longestS = Math.max(longestS, endS - startS);
  }
  return longestS;
}

function awakeShare(wakeUps: readonly WakeUp[], spanS: number): number {
  let awakeS = 0;
  for (const wake of wakeUps) awakeS += wake.end_s - wake.start_s;
  return spanS > 0 ? awakeS / spanS : 0;
}
