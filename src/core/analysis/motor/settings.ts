/**
 * The figures that steer the detectors of a motor test, each with its origin. "Scored" means: chosen on the tuning seeds 1 to 400 of
 * `npm run score -- --test actuation --tuning`, where a third more or less makes the named figure worse, and left alone by the second
 * generator (`--generator second`), whose mechanics and sensors differ.
 */

/** Telling a press of the switch from a quiet clamp. */
export const PRESS = {
  /** A; no current below this is taken for a press: cheap clamps resolve 10 to 60 mA (reference: Hall IC noise, ACS712 datasheet, 0.11 A p-p) */
  floorA: 0.04,
  /** s; contacts settle within a few milliseconds, hardly a hand opens and closes a switch faster than this (common practice, no published source) */
  handS: 0.15,
  /** s; at most this long a break can still be a lost contact when the motor comes back at speed. Scored: lost contacts found, against taps kept apart */
  coastS: 0.4,
} as const;

/** A motor stalled under power against one that turns. */
export const STALL = {
  /** stall current over running current, at least; an owners' wiki gives 15/8 for a window lift */
  overRun: 1.3,
} as const;

/** What counts as a switch-on peak and as settled. */
export const INRUSH = {
  /** peak over running level; resistive loads show 1.03 to 1.07, a cold bulb 1.4 (open data: starts) */
  overRun: 1.2,
} as const;

/** When the feed is too weak to judge the motor. */
export const SUPPLY = {
  /** of the open-circuit volts lost while standing, where a good feed too loses more than while running. Scored: verdicts of starved feeds against stalls on sound ones */
  starvedStall: 0.42,
  /** V; a charged 12 V battery with nothing flowing */
  restedV: 12.5,
  /** V at the feed of a 12 V motor while it runs; 12 V equipment must work down to 9 V (ISO 16750-2 table 1, code C), most down to 10.5 V (code D). Twice that at 24 V */
  runningV: 9,
  enoughV: 10.5,
  /** V; no 24 V equipment lives above this (ISO 16750-2 tables 1 and 2; 12 V equipment below 16 V) */
  highestV: 32,
  /** V; less than this between presses, with more while pressed, puts the lead at the motor */
  deadV: 3,
} as const;

/** 1 for a 12 V vehicle, 2 for one of 24 V, by the highest volts seen. */
export function nominalOf(topV: number): 1 | 2 {
  return topV > 2 * SUPPLY.runningV ? 2 : 1;
}

/** What speaks against a motor that ran and stopped. */
export const SUSPECT = {
  /** run over standing current; a motor works at 0.1 to 0.6 of it (common practice, no published source; a window lift: 0.5, wikilec.com) */
  hardShare: 0.6,
  freeShare: 0.1,
  /** up to here a load is usual; at half of the stall current a motor gives the most power it has (v = R i + k w), and nothing is left for a heavier day */
  usualShare: 0.4,
  /** of the running level; a run whose readings scatter more may hide what is wrong with its commutator, and does not speak for itself (common practice) */
  calmShare: 0.025,
  /** one way over the other; a weight that is lifted one way and lowered the other makes up to two of it (common practice, no published source) */
  oneWay: 2.5,
} as const;

/** Telling a motor from other loads by the current alone. */
export const LOAD = {
  /** A; no motor of a body circuit peaks higher, a cranking starter does (common practice, no published source) */
  starterPeakA: 150,
  /** peak over end level of a filament: 10 to 15 from cold (lamp makers' data), half of it through wire and clamp; from warm it is less, as a motor's */
  coldRatio: 6,
  /** s; a filament is hot within 50 ms, large ones take up to twice that (lamp makers' data) */
  filamentS: 0.1,
  /** s to half; ceramic and metal heaters take seconds to warm up, only large fans run up that slowly (common practice, no published source) */
  warmS: 0.35,
  /** s; L/R of the slowest windings of vehicle motors, and of the quickest (motor datasheets: 0.14 to 3 ms; coreless ones, which vehicles hardly have, 0.04). Coils of valves and solenoids take 5 to 50 ms (TI SSIY001): from twice the slowest winding on */
  slowestWindingS: 0.003,
  quickestWindingS: 0.0001,
  /** of the level; a load that moves the current this much more than the idle clamp does turns: the faintest commutators (motor datasheets give none; common practice) */
  aliveShare: 0.004,
  /** s; the bolt of a lock moves for 50 to 90 ms */
  latchMovesS: [0.035, 0.13],
  /** s; modules feed a lock for 0.2 to 1 s (common practice, no published source) */
  latchPulseS: 1.6,
} as const;

/** Lasting changes of level within a run. */
export const STEP = {
  /** s on either side over which a level must last */
  sideS: 0.2,
  /** of the scatter's cells, how many count as independent */
  independent: 6,
} as const;

/** A load that recurs. */
export const BEAT = {
  fewestPeriods: 3.5,
} as const;
