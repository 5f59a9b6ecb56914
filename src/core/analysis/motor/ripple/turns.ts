/** orders of the rotation, from the first on, that make lines a comb: what comes once a turn and is short shows in all of them, the waves of an uneven rotor in the first two or three */
export const FEWEST_ORDERS = 5;
