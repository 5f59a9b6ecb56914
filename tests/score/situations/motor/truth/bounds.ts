/**
 * The bounds of tests/score/definitions.md, each with its reason there. Between a pair (`grey`) either answer is right: nobody could
 * say which it was.
 */
export const BOUNDS = {
  /** a rotor below this share of its no-load speed is stalled: what is left is the wind-up of the mechanism */
  standsBelow: 0.02,
  /** standing shorter than this while powered is an end of travel touched as the switch was let go */
  standGreyS: 0.05,
  /** longer than this it is a stall: no hand lets go of a switch that late by chance (a quick human reaction takes 0.15 s) */
  standSureS: 0.15,
  /** a cut-out has taken the power away when less than this share of the standing current is left */
  cutOffShare: 0.1,
  /** turning less than this is play in the gears, not a run; up to the second figure either may be said */
  playTurns: 1,
  playGreyTurns: 4,
  /** contacts have done bouncing within this time */
  bounceS: 0.01,
  /** an opening up to this is the feed; from here to the next it may as well be a second press; beyond it is one */
  breakSureS: 0.1,
  breakGreyS: 0.4,
  /** an opening needs this many readings to be seen */
  breakReadings: 3,
  /** a level nearer than this to a typed limit is at the limit: gain of a clamp, 1.5 % typical, twice */
  limitGrey: 0.03,
  /** share of the standing current: half the standing current means half the speed is lost to load */
  dragGreyFrom: 0.5,
  dragSureFrom: 0.7,
  idleGreyBelow: 0.14,
  /** shorter powered stretches show no run to speak of */
  shortPressS: 0.25,
  /** a level in the record must be clear by this many standard deviations of one reading to be asked for */
  plainSigma: 4,
  /** a line in the spectrum is clear from this amplitude over the noise's share in it */
  lineSigma: 8,
  /** ripples for a frequency (TI DRV8215 datasheet: "consider at least 20 ripples") */
  ripplesNeeded: 20,
} as const;
