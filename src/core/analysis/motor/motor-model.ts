/**
 * What motors of vehicles are like: the limits of speed and size that every question asks by. Turns are of the rotor, before any gear.
 */

/** turns a second, 480 rpm; such motors turn at 900 rpm and more under load, starved or dragging ones at half of that. Common practice, no published source */
export const SLOWEST_TURN_HZ = 8;
/** the same, 900 rpm, the slowest under a usual load. Common practice, no published source */
export const USUAL_TURN_HZ = 15;
/** the same, 6600 rpm, as fast as they turn under load. Common practice, no published source (maxon RE 65: 3670 rpm) */
export const FASTEST_TURN_HZ = 110;
/** s; mechanical time constant of the quickest motors with what they drive: faster than that no rotor gains or loses its speed, while a contact makes and breaks within some milliseconds. Common practice, no published source */
export const QUICKEST_ROTOR_S = 0.012;
/** periods that must be seen for a frequency to be reported (TI DRV8215 datasheet: "consider at least 20 ripples") */
export const FEWEST_PERIODS = 20;
/** ripples a turn at the least: three segments and two brushes (driver for the TI DRV821x) */
export const FEWEST_PER_TURN = 6;
/** Hz; 26 ripples a turn at 6600 rpm are 2.9 kHz, 52 at 3670 rpm (maxon RE 65) 3.2 kHz. Common practice, no published source */
export const FASTEST_RIPPLE_HZ = 4000;
/** Hz; ripple is usually below this: a 10-segment seat motor at 3000 turns a minute makes 500 Hz, a window lift 600 (common practice, no published source) */
export const USUAL_RIPPLE_HZ = 1000;
/** orders of the turn in which an uneven rotor or what it drives is strongest. Common practice, no published source */
export const HIGHEST_ROTOR_ORDER = 4;
/** ripple over what comes once a turn, in amplitude, before the clamp; motors with bent shafts have as little. Scored */
export const WEAKEST_RIPPLE = 0.025;
