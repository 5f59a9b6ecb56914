/** Copper wire: what a length of it adds to the resistance of a feed. Pure figures; each with its source. */

/** ohm mm²/m at 20 °C: annealed copper, 100 % IACS (IEC 60228, read) */
const COPPER_OHM_MM2_PER_M = 0.017241;
/** 1/K: the factor that IEC 60228 uses for its temperature table, K_t = 1/(1 + 0.004 (t - 20)) */
export const COPPER_PER_KELVIN = 0.004;

/** Diameter of an AWG size, mm: 0.005 in x 92^((36-n)/39) (ASTM B258). Sizes 0, 00, 000, 0000 are 0, -1, -2, -3. */
function awgDiameterMm(awg: number): number {
  return 0.005 * 25.4 * 92 ** ((36 - awg) / 39);
}

/** Cross-section of a solid AWG wire, mm². */
export function awgAreaMm2(awg: number): number {
  const diameterMm = awgDiameterMm(awg);
  return (Math.PI / 4) * diameterMm * diameterMm;
}

/** Maximum resistance of a flexible (class 5) plain copper conductor at 20 °C, ohm/km, by nominal mm² (IEC 60228, read). */
const CLASS_5_OHM_PER_KM: ReadonlyMap<number, number> = new Map([
  [0.5, 39.0], [0.75, 26.0], [1, 19.5], [1.5, 13.3], [2.5, 7.98], [4, 4.95], [6, 3.3], [10, 1.91], [16, 1.21], [25, 0.78], [35, 0.554], [50, 0.386],
]);

/**
 * Resistance of a copper conductor, ohm. `lengthM` counts supply and return wire where both are of this size. Nominal sizes of the table take
 * the table's maximum (strands are thinner than their name), others the plain formula.
 */
export function wireOhm(areaMm2: number, lengthM: number, temperatureC: number): number {
  const perM = (CLASS_5_OHM_PER_KM.get(areaMm2) ?? (COPPER_OHM_MM2_PER_M / areaMm2) * 1000) / 1000;
  return perM * lengthM * (1 + COPPER_PER_KELVIN * (temperatureC - 20));
}
