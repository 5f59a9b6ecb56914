/** Time scales that several questions share. */

/** s; one period of 50 Hz mains: a mean over it is free of hum and of ripple */
export const MAINS_PERIOD_S = 0.02;
/** s; a level is read over at least this long: two mains periods. Contact bounce at make is over by then, ten times the usual (common practice, no published source) */
export const LEVEL_S = 2 * MAINS_PERIOD_S;
/** s; a contact takes a current away, or brings it, within this; a rotor that gains or loses speed takes its time constant */
export const CONTACT_S = 0.004;
/** s; a switch or relay that changes over is through (relay travel time: 5 to 15 ms, with margin), a slow clamp has followed a change within this, and shows the top of a rush no later. Common practice for clamps of 20 Hz (3 time constants: 24 ms) */
export const CLAMP_FOLLOWS_S = 0.05;
/** s; a hand that goes across a switch is through its middle within this, and one that lets go takes longer to press on the same way (common practice, no published source) */
export const HAND_CHANGES_S = 0.25;
/** s; the peak of a switch-on comes within this: some electrical time constants, a slow clamp and chatter delay it. Scored */
export const SWITCH_ON_S = 0.15;
/** readings, spread evenly, that are enough for a quantile of many: the 99th percentile of so many is sure to a fourteenth of its tail; a quarter for a median */
export const ENOUGH_READINGS = 20_001;
