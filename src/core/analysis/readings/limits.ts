/** Loss in one section of a circuit that may indicate a problem, V (Kia Sportage 1997, testing for voltage drop). */
export const SECTION_LOSS_V = 0.5;
/** A ground side that drops no more is good, V (Cub Cadet SLTX1000 service manual: under 0.1 V good, above 0.2 V substantial). */
export const GOOD_BACK_V = 0.2;
/** Loss on the whole way of the feed that indicates a problem, V (BMW 325ix 1991, voltage drop test). */
export const FEED_LOSS_V = 1;
/** Supply range of class D, 12 V, and class G, 24 V: below it nothing is promised to work (ISO 16750-2, tables 1 and 2). */
export const LEAST_SUPPLY_V = { 12: 10.5, 24: 22 };
/** A 12 V system never shows more, V (ISO 16750-2, table 1). */
const MOST_12_V = 16;

/** 12 or 24 V, by the highest volts seen. */
export function systemOf(volts: readonly number[]): 12 | 24 {
  return volts.some((v) => Math.abs(v) > MOST_12_V) ? 24 : 12;
}
