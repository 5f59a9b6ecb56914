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
