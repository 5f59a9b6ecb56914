import type { DrainFinding, WakeUp } from '../../results.ts';
import { meanOf } from '../levels/segments.ts';
import { AWAKE_A, LONGEST_SETTLING_S, REST_S, USUAL_SETTLING_S } from '../settings.ts';
import type { Readings, Rest, SleepTimeline } from '../types.ts';

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
/** A level that never fell may be a module that waits: the published table's one takes 20 minutes. */
const PLATEAU_S = 20 * 60;
/**
 * A level over the limit is a settled floor when it came with a fall from 1.6 times the level or more, and has held for four
 * minutes and for a good part of the recording: stages of going to sleep follow each other, the floor stays.
 */
const SETTLED_S = 4 * 60;
const SETTLED_SHARE = 0.4;
/** a recording set to thirty minutes ends a sample or a few seconds before them */
const NEARLY = 0.98;
const BIG_FALL = 1.6;

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

/**
 * What is said of a night, and when: the one place that decides it.
 *
 * - `asleep` is given as soon as there is a settled floor. Under the limit a rest of half a minute is enough. Over the limit it must have
 *   held for four minutes and two fifths of the recording after a big fall; or from the first sample for 20 minutes, or until it came back
 *   after a wake-up; or have outlasted the usual time-outs; or a person must have taken it for asleep and pulled fuses. It is null when no
 *   level settled: never fell, fell just now, or stays at what awake modules draw.
 * - `too-short` means that the question cannot be answered yet: nothing settled, or the floor is over the limit and the usual time-outs
 *   (30 minutes; a level up to 200 mA that was there from the first sample: 20) are not over, so that it may still fall. A floor after a
 *   big fall is in `asleep` all the same, and the words say how long to wait (30 minutes, at some makers 75). Also when a single wake-up
 *   within half an hour lifts the average over the limit: how often it wakes has not been seen.
 * - `drain`: the floor is over the limit, and the time-outs are over or fuses were pulled.
 * - `waking`: the floor is within the limit, but the vehicle wakes by itself so often that the average is over it, or hardly rests.
 * - `awake`: it stays above 0.6 A for 20 minutes and more, or its floor never keeps still, as of a module that looks around every few
 *   seconds for half an hour and more.
 * - `asleep`: floor and average are within the limit.
 */
export function judge(readings: Readings, rest: Rest | null, night: SleepTimeline, figures: Figures): Judgement {
  const { levelA, averageA, limitA, zeroDoubtA, pulled } = figures;
  const elapsedS = readings.lastS - readings.firstS;
  const longestRestS = longestRest(night);
  const moreS = (needS: number): number => Math.max(60, Math.ceil(needS - elapsedS));
  const tooShort = (waitS: number, slept = false): Judgement => ({ finding: 'too-short', slept, waitS, longestRestS });
  if (rest === null || elapsedS < REST_S) return tooShort(USUAL_SETTLING_S);
  const restedS = readings.lastS - rest.atS;
  if (levelA > AWAKE_A && !pulled) {
    if (restedS >= PLATEAU_S || elapsedS >= LONGEST_SETTLING_S) return { finding: 'awake', slept: false, waitS: Math.max(0, LONGEST_SETTLING_S - elapsedS) || null, longestRestS };
    return tooShort(elapsedS < USUAL_SETTLING_S ? moreS(USUAL_SETTLING_S) : moreS(LONGEST_SETTLING_S));
  }
  if (!pulled && floorScatterA(readings, night) > Math.max(RESTLESS_A, RESTLESS_PART * levelA)) {
    if (elapsedS < USUAL_SETTLING_S) return tooShort(moreS(USUAL_SETTLING_S));
    return { finding: 'awake', slept: false, waitS: Math.max(0, LONGEST_SETTLING_S - elapsedS) || null, longestRestS };
  }
  const woken = night.wakeUps.filter((wake) => wake.cause === null || wake.cause === undefined);
  const share = awakeShare(woken, restedS);
  const restless = woken.length >= 3 && longestRestS < LONGEST_RESTLESS_S && share > RESTLESS_SHARE;
  if (!pulled && (restless || (woken.length === 2 && longestRestS < LONGEST_RESTLESS_S / 2 && share > 0.5))) {
    return { finding: 'waking', slept: longestRestS >= 2 * REST_S, waitS: null, longestRestS };
  }
  const levelOver = levelA - zeroDoubtA > limitA;
  if (!levelOver && longestRestS < REST_S && !pulled) return tooShort(REST_S * 4);
  if (!levelOver && averageA - zeroDoubtA > limitA && woken.length > 0) {
    if (woken.length === 1 && restedS < USUAL_SETTLING_S) return tooShort(Math.max(60, Math.ceil(USUAL_SETTLING_S - restedS)), true);
    return { finding: 'waking', slept: true, waitS: null, longestRestS };
  }
  if (!levelOver) return { finding: 'asleep', slept: true, waitS: null, longestRestS };
  const flatFromStart = rest.atS - readings.firstS < 1;
  const timedOut = elapsedS >= NEARLY * (flatFromStart && levelA <= HIGH_PLATEAU_A ? PLATEAU_S : USUAL_SETTLING_S);
  const held = restedS >= SETTLED_S && longestRestS >= 2 * REST_S;
  if (pulled || (timedOut && held)) return { finding: 'drain', slept: true, waitS: null, longestRestS };
  const shown = flatFromStart ? restedS >= PLATEAU_S || woken.length > 0 : restedS >= SETTLED_SHARE * elapsedS && fellFar(readings, rest, levelA);
  const settled = held && shown;
  return tooShort(moreS(timedOut ? Math.min(LONGEST_SETTLING_S, elapsedS + USUAL_SETTLING_S) : USUAL_SETTLING_S), settled);
}

/** The rest began with a fall from what awake modules draw. */
function fellFar(readings: Readings, rest: Rest, levelA: number): boolean {
  const before = readings.segments.filter((segment) => segment.endS <= rest.atS + 0.001);
  return before.some((segment) => segment.meanA > BIG_FALL * levelA);
}

/** Groups of blocks this long keep the beat of a module that looks around, and even out sensor noise and dimmed loads. */
const GROUP_S = 4;
/** A floor that scatters by more than this, and by more than this part of itself, from group to group is no rest. */
const RESTLESS_A = 0.05;
const RESTLESS_PART = 0.15;

/** Standard deviation of the floor between wake-ups, over groups of blocks, A. */
function floorScatterA(readings: Readings, night: SleepTimeline): number {
  const { meanA, widthS } = readings.blocks;
  const perGroup = Math.max(1, Math.round(GROUP_S / widthS));
  let count = 0;
  let mean = 0;
  let squares = 0;
  for (const { startBlock, endBlock } of night.rests) {
    for (let i = startBlock; i + perGroup <= endBlock; i += perGroup) {
      const groupA = meanOf(meanA, i, i + perGroup);
      count++;
      const apart = groupA - mean;
      mean += apart / count;
      squares += apart * (groupA - mean);
    }
  }
  return count < 2 ? 0 : Math.sqrt(squares / (count - 1));
}

function longestRest(night: SleepTimeline): number {
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
