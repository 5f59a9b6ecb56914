/**
 * The figures that steer the detectors of a motor test, each with its origin. "Scored" means: chosen on the tuning seeds 1 to 400 of
 * `npm run score -- --test actuation --tuning`, where a third more or less makes the named figure worse, and left alone by the second
 * generator (`--generator second`), whose mechanics and sensors differ.
 */

/** Telling a press of the switch from a quiet clamp. */
export const PRESS = {
  /** A; no current below this is taken for a press: cheap clamps resolve 10 to 60 mA (reference: Hall IC noise, ACS712 datasheet, 0.11 A p-p) */
  floorA: 0.04,
  /** of the usual current while pressed; the switch-off tail of a slow clamp ends here. Scored: actuations F1 with clamps of 20 to 100 Hz */
  floorShare: 0.012,
  /** s; contacts settle within a few milliseconds, hardly a hand opens and closes a switch faster than this (common practice, no published source) */
  handS: 0.15,
  /** s; a shorter pulse is a disturbance, no press (common practice, no published source) */
  shortestS: 0.012,
  /** s; at most this long a break can still be a lost contact when the motor comes back at speed. Scored: lost contacts found, against taps told apart */
  coastS: 0.4,
} as const;

/** Telling a motor that stands under power from one that turns. */
export const STALL = {
  /** s; shorter plateaus cannot be told from a load peak. Scored: stalls F1 of repeated stalls, against heavy patches */
  shortestS: 0.06,
  /** stall current over running current, at least; an owners' wiki gives 15/8 for a window lift (outside numbers, section 6) */
  overRun: 1.3,
  /** stall current over switch-on peak, at least: the peak stays below V/R (RE 65 datasheet vector: 105.8 of 131.5 A), windings warm up by some 50 K (-20 %) */
  overPeak: 0.72,
  /** of the level; how far a plateau may wander. Scored: stalls F1 with windings that warm up, against heavy patches */
  flatShare: 0.05,
  /** share of the running ripple that must have died. Scored: stalls F1 against heavy patches that keep turning */
  rippleLeft: 0.5,
} as const;

/** What counts as a switch-on peak and as settled. */
export const INRUSH = {
  /** peak over running level; resistive loads show 1.03 to 1.07, a cold bulb 1.4 (open data: starts) */
  overRun: 1.2,
  /** of the fall from the peak that may be left when the current is called settled: 4.8 time constants */
  settledShare: 0.008,
} as const;

/** When the feed is too weak to judge the motor. */
export const SUPPLY = {
  /** of the open-circuit volts lost while running; 12 V equipment must work down to 10.5 V or 9 V (ISO 16750-2 table 1, codes D and C: 16 to 28 % below 12.5 V) */
  starvedRun: 0.22,
  /** the same while standing, where a good feed too loses more. Scored: verdicts of starved feeds against stalls on sound ones */
  starvedStall: 0.42,
  /** V; less than this between presses, with more while pressed, puts the lead at the motor */
  deadV: 3,
} as const;

/** What speaks against a motor that ran and stopped. */
export const SUSPECT = {
  /** run over standing current; a motor works at 0.1 to 0.6 of it (common practice, no published source; a window lift: 0.5, wikilec.com) */
  hardShare: 0.6,
  freeShare: 0.1,
  /** of a limit; bounds that reach further back than this leave it open */
  sureShare: 0.85,
  /** up to here a load is usual; at half of the stall current a motor gives the most power it has (v = R i + k w), and nothing is left for a heavier day */
  usualShare: 0.4,
  /** one way over the other; a weight that is lifted one way and lowered the other makes up to two of it (common practice, no published source) */
  oneWay: 2.5,
  /** depth of a beat over the running level; less is how gears and seals run (common practice, no published source) */
  beatShare: 0.2,
} as const;
