/**
 * Every threshold of the drain test, with its reason. "Published" points to reference/drain-limits.ts; the rest was chosen on the
 * generated traces of tests/score/drain, whose figures the test there prints.
 */

/** A change's price is this times the long-run variance times ln(blocks): 2 is the information criterion; 5 agrees with what people mark in tests/reference/data/steps. */
export const PENALTY_FACTOR = 5;

/** At most this many block means go into the search for change points: about 0.1 s of work. */
export const MOST_BLOCKS = 1 << 16;

/** Blocks are not narrower than this: hum of 50 and 60 Hz averages out, the blip of a hand is still a block of its own. */
export const BLOCK_S = 0.5;

/** A rest must last this long before it counts as one: the shortest sleep between wake-ups that published telematics cycles leave. */
export const REST_S = 30;

/** A rest this long is seen well enough to say that it is one, s. */
export const SURE_REST_S = 120;

/** Steps below this are told from a drifting zero by their shape only. */
export const DRIFT_STEP_A = 0.008;

/** A mark may be this early or late: a person looks, pulls, then presses, or the other way round. */
export const MARK_SLACK_S = 12;

/** The blip of a hand at the fuse: 0.1 to 3 s (common practice, no published source). Shorter excursions near a mark are no wake-ups. */
export const HAND_BLIP_S = 4;

/** Half-width of a 95 % interval in standard deviations, and its upper side (normal distribution). */
export const Z95 = 1.96;
export const UPPER_95 = 0.975;

/** A difference of so many standard errors is no chance. */
export const CLEAR_SIGMAS = 4;

/** Rest further away than this does not count for a moment: the zero of a clamp wanders, s. */
export const NEAR_S = 600;

/** Less than this is no part of a drain, A: a radio's memory takes 1 to 3 mA (Jeep KJ 2007, module table). */
export const NEGLIGIBLE_A = 0.003;
/** What may still be awake when the vehicle counts as at rest: a trifle beside the level (common practice, no published source). */
export const TRIFLE_A = 0.002;
export const TRIFLE_SHARE = 0.1;
/** Less than this is gone, A: a tenth of what a radio's memory takes. */
export const GONE_A = 0.0003;
/** A step this large is worth asking about, A: a fifth of the common limit. */
export const NOTABLE_A = 0.01;
/** Levels this near to each other are of one load, as a share: loads keep their draw. */
export const ALIKE_SHARE = 0.12;
/** What comes back is what went, and a drift goes on as it was, within this share (common practice, no published source). */
export const SAME_SHARE = 0.2;

/** The zero of a Hall sensor moves by so much in 10 C, A (Allegro ACS712 data sheet, 5 A type: 0.26 mV/C at 185 mV/A); a bay does not change faster than 10 C in an hour. */
export const HALL_ZERO_A = 0.014;

/** So many blocks show their own scatter. */
export const MANY_BLOCKS = 64;

/** The long-run variance is itself an estimate, and low when the noise hangs together for long: bounds are widened so that 95 % hold on generated nights. */
export const WIDER = 1.2;
