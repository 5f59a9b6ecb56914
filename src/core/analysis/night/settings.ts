import { HALL_ZERO_A_PER_K } from '../../reference/sensors.ts';
import { DEFAULT_DRAIN_LIMIT_A } from '../options.ts';
import { TEMPERATURE_CHANGE_K } from '../uncertainty/sensor-advice.ts';

/**
 * What several questions of the key-off test share, each with its reason; what only one file asks is there. "Published" points to
 * reference/drain-limits.ts and time-outs.ts; what has no published source says so. One question has one number: a step, a rest or a share that
 * matters in one place matters in all.
 */

/** A change's price is this times the long-run variance times ln(blocks): 2 is the information criterion; 5 agrees with what people mark in tests/reference/data/steps. */
export const PENALTY_FACTOR = 5;

/** At most this many block means go into the search for change points: about 0.1 s of work. */
export const MOST_BLOCKS = 1 << 16;

/** Blocks are not narrower than this: hum of 50 and 60 Hz averages out, the blip of a hand is still a block of its own. */
export const BLOCK_S = 0.5;

/** A rest must last this long before it counts as one: the shortest sleep between wake-ups that published telematics cycles leave. */
export const REST_S = 30;

/** A rest this long is seen well enough to say that it is one, s (common practice, no published source). */
export const SURE_REST_S = 120;

/** A mark may be this early or late, s: a person looks, pulls, then presses, or the other way round (common practice, no published source). */
export const MARK_SLACK_S = 12;

/** The blip of a hand at the fuse: 0.1 to 3 s (common practice, no published source). Shorter excursions near a mark are no wake-ups. */
export const HAND_BLIP_S = 4;

/** A difference of so many standard errors is no chance: once in 16,000 by the normal distribution, less often than there are blocks in a night's doubtful places. */
export const CLEAR_SIGMAS = 4;

/** Values further from the middle than so many deviations are held to that bound, so that a spark moves no mean: one in 370 by the normal distribution. */
export const HELD_SIGMAS = 3;

/** Rest further away than this does not count for a moment: the zero of a clamp wanders, s. */
export const NEAR_S = 600;

/** Less than this is no part of a drain, A: a radio's memory takes 1 to 3 mA (Jeep KJ 2007, module table). */
export const NEGLIGIBLE_A = 0.003;
/** What may still be awake when the vehicle counts as at rest, A and share: a trifle beside the level, and the share of a whole that decides nothing (common practice, no published source). */
export const TRIFLE_A = 0.002;
export const TRIFLE_SHARE = 0.1;
/** What comes back is what went, a drift goes on as it was, and timers keep time, within this share (common practice, no published source). */
export const SAME_SHARE = 0.2;
/** A step this large is worth asking about, A: a fifth of the common limit. Smaller ones are distinguished from a drifting zero by their shape only; a sensor whose single readings scatter as much is of the Hall kind (Allegro ACS712 data sheet, 5 A type: 0.114 A from peak to peak). */
export const NOTABLE_A = SAME_SHARE * DEFAULT_DRAIN_LIMIT_A;

/** The zero of a Hall sensor moves by so much in a night outdoors, and not faster than in an hour, A. */
export const HALL_ZERO_A = HALL_ZERO_A_PER_K * TEMPERATURE_CHANGE_K.drain;

/** No zero moves further in a night, A: what is larger is a current. */
export const MOST_ZERO_A = CLEAR_SIGMAS * HALL_ZERO_A;

/** No difference of two readings is smaller, A: a hundredth of a milliamp. Keeps weights finite where a file holds one value over and over. */
export const LEAST_A = 1e-5;

/** So few values have no middle apart from their two ends, and no edge that could be left out. */
export const FEW = 4;

/** So many blocks show their own scatter, and noise hangs together for no longer: what swings slower is a current or a drift. */
export const MANY_BLOCKS = 64;

/** So many of a kind make a pattern, or tell their scatter (common practice, no published source). */
export const PATTERN = 24;

/** So many wake-ups by itself before the vehicle is said to keep waking, or to wake at a period: two may be chance, three have a rate. */
export const FEWEST_WAKE_UPS = 3;

/** Shorter excursions are the flash of a lamp or a spark: a module that wakes stays up for seconds (published: 45 s). */
export const SHORTEST_WAKE_S = 1.5;

/** The point of a distribution that rare steps and pulses do not reach: they fill less than half of the time. */
export const LOW_POINT = 0.35;

/** So many rows are kept of a whole recording where all would be too many. */
export const MOST_KEPT = 1 << 13;

/** The smallest lamps of a vehicle (5 W) draw this at 12 V, A. */
export const LAMP_A = 0.4;
