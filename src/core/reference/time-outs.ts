/**
 * How long parts of a parked vehicle stay awake by design, as published. A level that one of them may still draw is not a drain yet:
 * wait for the time-out. Read in the makers' service information unless the row says otherwise.
 */
export interface TimeOut {
  /** lower-case words with dashes */
  readonly name: string;
  /** counted from key-off, doors shut, s */
  readonly lengthS: number;
  /** the least that is drawn until then, A; null where the source gives no current */
  readonly leastA: number | null;
  readonly source: string;
}

const TIME_OUTS: readonly TimeOut[] = [
  { name: 'airbag-reserve', lengthS: 10, leastA: null, source: 'Pontiac 1998 GM manual: up to 10 s after power is removed' },
  { name: 'lamps', lengthS: 60, leastA: 0.6, source: 'Dodge Viper 1997: more than 600 mA after 1 min are lamps' },
  { name: 'first-settling', lengthS: 5 * 60, leastA: 0.1, source: 'Saturn Aura 2008: above 100 mA in the first 2 to 5 min' },
  { name: 'transmission-controller', lengthS: 20 * 60, leastA: 0.12, source: 'Jeep KJ 2007: 120 mA until 20 min' },
  { name: 'modules-cycling-down', lengthS: 20 * 60, leastA: 1, source: 'Chevrolet Optra 2009 GM manual: wait 20 min, several amps meanwhile' },
  { name: 'radio', lengthS: 30 * 60, leastA: 0.2, source: 'Jeep Compass 2021: 200 mA for 30 min after OFF' },
  { name: 'module-time-outs', lengthS: 30 * 60, leastA: null, source: 'Jeep Compass 2021: time-outs up to 30 min' },
  { name: 'awake-modules', lengthS: 60 * 60, leastA: 0.3, source: 'trade: 300 to 400 mA while awake, less than 50 mA one hour after shut-off (2carpros.com)' },
  { name: 'longest', lengthS: 75 * 60, leastA: null, source: 'Ford 2023 Edge, Battery Drain Check: rest of at least 75 min' },
];

/** The longest wait that a maker publishes before a parked vehicle is measured, s. */
export const LONGEST_TIME_OUT_S = Math.max(...TIME_OUTS.map((one) => one.lengthS));
/** The least that a module draws that is awake for a while by design, A: 80 to 240 mA in the low-power cycle of a telematics unit (Oldsmobile Aurora 2001, GM manual). */
export const LEAST_AWAKE_A = 0.08;
/** Time-outs up to this long draw less than an awake module, s (Jeep Compass 2021). */
const USUAL_TIME_OUT_S = 30 * 60;

/**
 * The time-out that a level above the limit must outlast before it counts as rest: the longest published one at a level that an awake
 * module draws, the usual one below that.
 */
export function timeOutFor(levelA: number): TimeOut {
  const longestS = levelA >= LEAST_AWAKE_A ? LONGEST_TIME_OUT_S : USUAL_TIME_OUT_S;
  return TIME_OUTS.find((one) => one.lengthS === longestS && one.leastA === null) ?? TIME_OUTS[TIME_OUTS.length - 1];
}

/** The published time-outs that may still be running `elapsedS` after key-off at a level of `levelA`, the next to end first. */
export function runningTimeOuts(elapsedS: number, levelA: number): TimeOut[] {
  return TIME_OUTS.filter((one) => one.lengthS > elapsedS && (one.leastA ?? 0) <= levelA).toSorted((a, b) => a.lengthS - b.lengthS);
}
