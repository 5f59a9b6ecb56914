/** Brushed DC motor: the textbook relations that a trace is read with. SI units; torque constant = speed constant. */

/** Current of a standing motor, A. */
export function stallCurrentA(volts: number, ohm: number): number {
  return volts / ohm;
}

/** Time constant with which the current falls from switch-on to run, s. */
export function mechanicalTimeS(ohm: number, inertiaKgM2: number, torquePerA: number): number {
  return (ohm * inertiaKgM2) / (torquePerA * torquePerA);
}

/**
 * Ripples of the current per revolution: least common multiple of brushes and commutator segments ("Commutation ripples per revolution =
 * LCM(brushes, commutator_segments)", public transcription of the TI DRV821x ripple counter's driver).
 */
export function ripplesPerRevolution(brushes: number, segments: number): number {
  let a = brushes;
  let b = segments;
  while (b !== 0) [a, b] = [b, a % b];
  return (brushes / a) * segments;
}

export interface SwitchOnPeak {
  readonly peakA: number;
  readonly atS: number;
}

/**
 * Peak of the current when volts are put on a motor at rest without load, by the two poles of s² + s/te + 1/(te tm) = 0. It stays below
 * V/R, the more the closer the two time constants are: a switch-on peak is not the stall current. Null for a motor that swings
 * (tm below 4 te), where the two-pole form has no real poles.
 */
export function switchOnPeak(volts: number, ohm: number, electricalS: number, mechanicalS: number): SwitchOnPeak | null {
  const root = 1 / (electricalS * electricalS) - 4 / (electricalS * mechanicalS);
  if (!(root > 0)) return null;
  const slow = (1 / electricalS - Math.sqrt(root)) / 2;
  const fast = (1 / electricalS + Math.sqrt(root)) / 2;
  const atS = Math.log(fast / slow) / (fast - slow);
  return { peakA: (volts / (ohm * electricalS)) * ((Math.exp(-slow * atS) - Math.exp(-fast * atS)) / (fast - slow)), atS };
}
